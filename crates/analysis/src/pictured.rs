//! How light goes round in a room with a picture on its wall, kept by where the picture lies.
//!
//! Another screen or other paint leaves a picture where it is, and two remedies may move it
//! to the same place: the room's patches and the view factors among them are the same then.

use std::cell::RefCell;
use std::rc::Rc;

use light::mesh::Spot;
use light::room_light::RoomLight;

/// Places that are kept, of some 300 kB each; the oldest goes.
const PLACES_MOST: usize = 8;

/// One empty room's rooms with a picture.
#[derive(Default)]
pub(crate) struct Pictured {
    places: RefCell<Vec<(Spot, Rc<RoomLight>)>>,
}

impl Pictured {
    /// The room with a picture on its wall, `empty` always being the same; none where the
    /// picture leaves it no patches.
    pub(crate) fn room(&self, empty: &RoomLight, lit: Spot) -> Option<Rc<RoomLight>> {
        let mut places = self.places.borrow_mut();
        if let Some((_, room)) = places.iter().find(|(there, _)| *there == lit) {
            return Some(Rc::clone(room));
        }
        let room = Rc::new(empty.with_picture(lit)?);
        if places.len() == PLACES_MOST {
            places.remove(0);
        }
        places.push((lit, Rc::clone(&room)));
        Some(room)
    }
}

#[cfg(test)]
mod tests {
    //! A room that is kept is the one that would be worked out anew.

    use geometry::{Ceiling, Plan, Point2, Point3, Solid, Surface, Vec2};
    use light::compass::Compass;
    use light::horizon::Horizon;
    use light::room_light::Room;
    use units::{Metres, Radians};

    use super::*;

    fn den() -> RoomLight {
        let corners = [(0.0, 0.0), (0.0, 4.0), (6.0, 4.0), (6.0, 0.0)];
        let plan = Plan::new(corners.map(|(x, y)| Point2::new(x, y)).to_vec()).unwrap();
        let ceiling = Ceiling::flat(Metres(2.4)).unwrap();
        RoomLight::new(&Room {
            solid: &Solid::new(plan, ceiling, vec![]).unwrap(),
            compass: Compass::of(Vec2::new(1.0, 0.0), Radians(0.0)).unwrap(),
            horizon: &Horizon::default(),
            windows: &[],
            patch_m: 2.0,
        })
        .unwrap()
    }

    /// On the wall x = 0, two metres wide.
    fn picture(from_left: f64) -> Spot {
        let at = |y: f64, z: f64| Point3::new(0.0, from_left + y, z);
        Spot {
            corners: [at(0.0, 0.8), at(2.0, 0.8), at(2.0, 1.925), at(0.0, 1.925)],
            surface: Surface::Wall(0),
        }
    }

    #[test]
    fn kept_rooms_are_those_that_would_be_worked_out_anew() {
        let (empty, pictured) = (den(), Pictured::default());
        // More places than are kept, some of them again while they are and some after.
        let places = [0, 1, 0, 2, 3, 4, 5, 6, 7, 8, 9, 9, 5, 0, 1];
        for place in places {
            let lit = picture(0.3 + 0.1 * f64::from(place));
            let room = pictured.room(&empty, lit).unwrap();
            assert!(Rc::ptr_eq(&room, &pictured.room(&empty, lit).unwrap()));
            assert!(pictured.places.borrow().len() <= PLACES_MOST);
            let (kept, anew) = (room.enclosure(), empty.with_picture(lit).unwrap());
            assert_eq!(kept.patches(), anew.enclosure().patches());
            let n = kept.patches().len();
            for (i, j) in (0..n).flat_map(|i| (0..n).map(move |j| (i, j))) {
                assert_eq!(kept.factor(i, j), anew.enclosure().factor(i, j));
            }
        }
    }
}
