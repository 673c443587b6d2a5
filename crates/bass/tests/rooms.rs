//! Rooms of jobs as the wave equation sees them.

use std::ops::ControlFlow;
use std::sync::Arc;

use analysis::Analysis;
use bass::{Asked, Placed, Ready, Solved, planned, planned_subs, room, sub_places};
use subwoofers::Grid;
use units::{Decibels, Dimension, Hertz, Seconds};

const DEMO: &str = include_str!("../../../jobs/harbour-lane-settled.toml");
const JOINED: &str = include_str!("../../../jobs/l-shaped.toml");

/// The one limit that the demo sets for itself.
const ELEVATION: model::LimitName = model::LimitName {
    name: "elevation_tolerance",
    dimension: Dimension::Angle,
};

fn analysis(text: &str) -> Analysis {
    let job = model::read(text, &[ELEVATION]).expect("the job reads");
    Analysis::new(Arc::new(job))
}

fn solve(analysis: &Analysis, space: &str, top: f64) -> Solved {
    let space = analysis.space(space).expect("a space of the job");
    Solved::new(analysis, space, Hertz(top), &mut |_| {
        ControlFlow::Continue(())
    })
    .expect("it solves")
}

fn ready(analysis: &Analysis, space: &str, solved: Solved) -> Ready {
    let space = analysis.space(space).expect("a space of the job");
    let going = |_| ControlFlow::Continue(());
    Ready::new(solved, analysis, space, Decibels(115.0), &going).expect("its seats are known")
}

fn few() -> Asked {
    Asked {
        subs: 2,
        grid: Grid::new(&[Decibels(0.0)], Seconds(0.004), 2, true).expect("0 dB is there"),
        runners_up: 2,
        wanted: Decibels(115.0),
        crossover: Hertz(80.0),
    }
}

#[test]
fn a_space_holds_the_air_of_its_survey() {
    let job = analysis(DEMO);
    for id in ["living", "loft"] {
        let space = job.space(id).expect("a space of the demo");
        let surveyed = job.shape(space).volume().expect("it closes").value();
        let built = room(&job, space).expect("it closes");
        assert!(
            (built.room.volume().0 - surveyed).abs() < 1e-3 * surveyed,
            "{id}"
        );
        assert_eq!(built.surfaces.len(), built.finish.surfaces.len());
    }
}

#[test]
fn an_archway_joins_the_air_of_two_spaces() {
    let job = analysis(JOINED);
    let volumes: f64 = (0..job.space_count())
        .map(|at| {
            job.shape(job.space_number(at))
                .volume()
                .expect("it closes")
                .value()
        })
        .sum();
    for at in 0..job.space_count() {
        let space = job.space_number(at);
        let built = room(&job, space).expect("it closes");
        assert_eq!(built.spaces.len(), job.space_count(), "{:?}", built.assumed);
        // Both rooms, and the archway's own depth between them.
        let between = built.room.volume().0 - volumes;
        assert!(
            between > 0.0 && between < 1.5,
            "{between} m³ in the archway"
        );
    }
}

/// The kitchen's archway as a door.
fn with_a_door(stands_open: bool) -> String {
    let door = match stands_open {
        true => "kind = \"door\"\nstands_open = true",
        false => "kind = \"door\"",
    };
    JOINED.replace("kind = \"archway\"", door)
}

#[test]
fn a_door_joins_two_spaces_while_it_stands_open() {
    let shut = analysis(&with_a_door(false));
    let open = analysis(&with_a_door(true));
    let spaces = |job: &Analysis| {
        let built = room(job, job.space_number(0)).expect("it closes");
        (built.spaces.len(), built.doors.len())
    };
    assert_eq!(spaces(&shut), (1, 1));
    assert_eq!(spaces(&open), (open.space_count(), 0));
    let arch = analysis(JOINED);
    let volume = |job: &Analysis| {
        let built = room(job, job.space_number(0)).expect("it closes");
        built.room.volume().0
    };
    assert!((volume(&open) - volume(&arch)).abs() < 1e-9);
}

#[test]
fn an_open_door_to_no_space_opens_to_a_large_one() {
    let open = DEMO.replacen("kind = \"door\"", "kind = \"door\"\nstands_open = true", 1);
    let job = analysis(&open);
    let space = (0..job.space_count())
        .map(|at| job.space_number(at))
        .find(|space| {
            space
                .opening
                .iter()
                .any(|one| one.stands_open == Some(true))
        })
        .expect("one door stands open");
    let built = room(&job, space).expect("it closes");
    let openings = built.finish.surfaces.iter();
    let large = openings.filter(|one| matches!(one, waves::Admittance::Opening { .. }));
    assert_eq!(large.count(), 1);
    assert!(
        built
            .assumed
            .iter()
            .any(|said| said.starts_with("open as the survey says"))
    );
}

#[test]
fn a_rug_with_a_place_gives_way_where_it_lies() {
    let job = analysis(DEMO);
    let space = job.space("loft").expect("the demo's loft");
    let built = room(&job, space).expect("it closes");
    let rug = built
        .surfaces
        .iter()
        .position(|surface| surface.name == "carpet");
    let rug = rug.expect("the carpet is a surface of its own");
    assert!(built.surfaces[rug].is_part && rug + 1 == built.finish.surfaces.len());
    let spread = built.assumed.iter();
    let mut spread = spread.filter(|said| said.contains("spread evenly"));
    // Two walls of panels and a curtain, whose places nobody noted.
    let told = spread.next().expect("it is told");
    assert_eq!(told.matches(", ").count(), 3, "{told}");
    assert!(spread.next().is_none());
}

#[test]
fn an_outdoor_area_has_no_modes() {
    let job = analysis(DEMO);
    let terrace = job.space("terrace").expect("the demo has one");
    assert!(room(&job, terrace).unwrap_err().what.contains("outdoors"));
}

#[test]
fn subs_stand_clear_of_doors_and_seats() {
    let job = analysis(DEMO);
    let space = job.space("loft").expect("the demo's loft");
    let places = sub_places(&job, space, &planned_subs(&job, space)).expect("walls are known");
    assert!(places.len() > 20, "{} places", places.len());
    for place in &places {
        for (seat, at) in job.seats_in(space) {
            let plan = at.expect("seats are measured").plan.value();
            let off = (plan[0] - place.at[0]).hypot(plan[1] - place.at[1]);
            assert!(off > 0.4, "{} is {off:.2} m from {}", place.words, seat.id);
        }
    }
    let door = space
        .opening
        .iter()
        .find(|opening| opening.kind == model::OpeningKind::Door);
    let door = job
        .opening_rect(space, door.expect("a door"))
        .expect("it is measured");
    let wall = &space.walls[door.wall].id;
    for place in &places {
        if let Some((at, from_left)) = &place.wall
            && at == wall
        {
            let inside = *from_left > door.left.value() && *from_left < door.right.value();
            assert!(!inside, "{} is before the door", place.words);
        }
    }
}

#[test]
fn a_study_tells_what_two_subs_gain() {
    let job = analysis(DEMO);
    let space = job.space("loft").expect("the demo's loft");
    let solved = solve(&job, "loft", 130.0);
    let ready = ready(&job, "loft", solved);
    let (placed, _) = planned(&job, space);
    let told = ready
        .study(&few(), &placed, &|_| ControlFlow::Continue(()))
        .expect("a study");
    assert_eq!(told.seats.len(), space.seat.len());
    let spread = |at: usize| told.best[at].ranked[0].score;
    assert!(
        spread(1).cost < spread(0).cost,
        "two subs are no worse than one"
    );
    assert!(told.best[1].is_proven);
    assert!(told.best[1].ranked[0].equals_best);
    let planned = told.planned.as_ref().expect("the demo plans a sub");
    let best = &told.best[planned.subs.len() - 1].ranked[0];
    assert!(best.score.cost <= planned.score.cost + 1e-6);
    // Alone, no place beats the best for one.
    let least = told
        .places
        .iter()
        .map(|place| place.score.cost)
        .fold(f64::INFINITY, f64::min);
    assert!((least - spread(0).cost).abs() < 1e-9);
    assert!(
        !told.modes.is_empty()
            && told
                .modes
                .windows(2)
                .all(|two| two[0].frequency.0 <= two[1].frequency.0 + 2.0)
    );
    assert!(
        told.modes
            .iter()
            .all(|mode| mode.t60_s > 0.02 && mode.t60_s < 20.0)
    );
}

#[test]
fn a_moved_sub_is_answered_without_the_search() {
    let job = analysis(DEMO);
    let space = job.space("loft").expect("the demo's loft");
    let ready = ready(&job, "loft", solve(&job, "loft", 130.0));
    let (placed, _) = planned(&job, space);
    let told = ready.judge(&placed, None).expect("it stands in the room");
    assert_eq!(told.levels.len(), space.seat.len());
    assert_eq!(told.levels[0].len(), ready.frequencies().len());
    // The level at a seat is the field there.
    let at = ready.frequencies()[30];
    let ears: Vec<[f64; 3]> = ready.seats().iter().map(|(_, ear)| *ear).collect();
    for (field, seat) in ready.field(&placed, &ears, at).iter().zip(&told.levels) {
        let field = field.expect("ears are in the room");
        assert!(
            (field.0 - seat[30].0).abs() < 1e-6,
            "{field:?} {:?}",
            seat[30]
        );
    }
    // Two subs at one place are one sub 6.02 dB up, and evenness is the same.
    let twice: Vec<Placed> = [placed.clone(), placed.clone()].concat();
    let both = ready.judge(&twice, None).expect("it stands in the room");
    assert!((both.score.gain.0 - told.score.gain.0 - 6.0206).abs() < 1e-3);
    assert!((both.score.spread.0 - told.score.spread.0).abs() < 1e-9);
    let outside = Placed {
        at: [-5.0, 0.0, 0.2],
        ..placed[0].clone()
    };
    assert!(ready.judge(&[outside], None).is_none());
}

#[test]
fn a_kept_solve_answers_like_the_first() {
    let job = analysis(DEMO);
    let space = job.space("loft").expect("the demo's loft");
    let (placed, _) = planned(&job, space);
    let first = solve(&job, "loft", 130.0);
    let bytes = first.kept();
    let kept = |bytes: &[u8]| {
        let kept = Solved::from_kept(&job, space, Hertz(130.0), bytes);
        kept.expect("the survey is whole")
    };
    let again = kept(&bytes).expect("the bytes are whole");
    assert_eq!(again.key(), first.key());
    let level = |solved: Solved| {
        let told = ready(&job, "loft", solved).judge(&placed, None);
        told.expect("it stands in the room").levels
    };
    assert_eq!(level(first), level(again));
    let mut damaged = bytes;
    let last = damaged.len() - 1;
    damaged[last] ^= 1;
    assert!(kept(&damaged).is_none() && kept(&damaged[..9]).is_none());
}

#[test]
fn a_finish_and_a_cupboard_change_what_a_study_says_but_not_the_solve() {
    let job = analysis(DEMO);
    let mark = |job: &Analysis| {
        let space = job.space("loft").expect("the demo's loft");
        Ready::mark_of(job, space, Hertz(130.0)).expect("the survey is whole")
    };
    let edited = |at: &str, value: &str| {
        job.edited(&[model::Edit::set(at, value)])
            .expect("the edit fits")
    };
    let (key, told) = mark(&job);
    let softer = mark(&edited(
        "space.loft.finishes.floor",
        "carpet_heavy_on_concrete",
    ));
    assert!(softer.0 == key && softer.1 != told);
    let renamed = mark(&edited("item.sub.name", "Bass box"));
    assert_eq!(renamed, (key, told));
}

#[test]
fn a_lamp_costs_no_new_solve_and_a_wall_does() {
    let job = analysis(DEMO);
    let space = job.space("living").expect("the demo's living room");
    let top = Hertz(60.0);
    let solved = solve(&job, "living", 60.0);
    assert_eq!(
        Solved::key_of(&job, space, top).as_deref(),
        Ok(solved.key())
    );
    let edited = |at: &str, value: &str| {
        job.edited(&[model::Edit::set(at, value)])
            .expect("the edit fits")
    };
    let softer = edited("space.living.finishes.floor", "carpet_heavy_on_concrete");
    let longer = edited("space.living.ceiling.height", "8' 9\"");
    let again = |job: &Analysis| {
        let space = job.space("living").expect("still there");
        solved.refinished(job, space, top).expect("it closes")
    };
    let refinished = again(&softer).expect("the shape is the same");
    assert_ne!(refinished.room.finish, solved.room.finish);
    assert!(again(&longer).is_none(), "another height is another room");
}
