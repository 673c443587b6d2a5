//! What does a room of any shape do to low sound? The wave equation, solved in its modes.
//!
//! A closed polyhedron of air goes in; out come the modes it has with rigid walls and what each of
//! its surfaces does to them. The long part ends there: choosing absorption, moving a source,
//! drawing a field or trying fifty uncertain absorptions are products with small matrices.
//!
//! - [`Room`]: the air, by its faces; refused when not closed.
//! - [`Solver`]: lays the grid, finds the [`Modes`]. A second or two for a large living room to 200 Hz.
//! - [`Finish`]: what the surfaces are made of, as [`Admittance`], and the [`Air`].
//! - [`Modes`]: frequencies, decays, [`Place`]s and responses. [`Listening`] keeps the ears' side
//!   of all responses, so that a source may be anywhere at once.
//!
//! What was found can be kept as bytes ([`Modes::kept`]) and read again ([`Solver::restored`]).
//!
//! # Method
//!
//! Finite elements of degree 2 to 8 on a rectangular grid turned to the walls. Cells that a sloped
//! or skew wall cuts are integrated exactly over the air in them, by the divergence theorem, so
//! there are no staircases and no mesh to generate; a rigid wall is the natural condition of the
//! weak form and needs nothing on the cut. The lowest eigenpairs come from block Lanczos around a
//! shift; Sylvester's law of inertia says how many there must be, so none is missed. Damping is
//! projected onto the modes, with the static answers of ears and surfaces added to them.
//!
//! # Where it stops
//!
//! Flat, locally reacting surfaces and still air. Above the frequency asked for, responses are no
//! longer right. Furniture and people are not in the room unless they are faces of it.
//!
//! ```
//! use geometry::Point3;
//! use units::Hertz;
//! use waves::{Admittance, Finish, Room, Settings, Solver};
//!
//! let room = Room::prism(&[[0.0, 0.0], [4.0, 0.0], [4.0, 3.0], [0.0, 3.0]], 0.0, 2.4)?;
//! let solver = Solver::new(&room, Settings::up_to(Hertz(80.0)))?;
//! let ear = Point3::new(2.5, 1.4, 1.1);
//! let modes = solver.run(&[ear], &mut |_| std::ops::ControlFlow::Continue(()))?;
//! assert!((modes.modes()[1].frequency_hz - 343.0 / 8.0).abs() < 0.01);
//!
//! let finish = Finish::new(vec![Admittance::diffuse(0.1); room.surfaces()]);
//! let sub = modes.place(Point3::new(0.3, 0.3, 0.2)).expect("in the room");
//! let ear = modes.place(ear).expect("in the room");
//! let response = modes.response(&finish, &sub, &ear, &[Hertz(40.0)]);
//! assert!(waves::level_db(response[0]) > 0.0);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod admittance;
mod block;
mod cut;
mod element;
mod fronts;
mod grid;
mod keep;
mod krylov;
mod line;
mod mesh;
mod modes;
mod room;
mod solver;
mod system;
mod triangulate;

pub use admittance::{Admittance, Air};
pub use keep::LAYOUT;
pub use modes::{Decay, Finish, Listening, Mode, Modes, Patch, Place, level_db};
pub use room::{Face, Room, RoomError};
pub use solver::{Settings, Size, SolveError, Solver, Uniform};

/// A complex number.
pub type Complex = faer::c64;
