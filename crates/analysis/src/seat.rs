//! Eyes and ears of those who sit, and which way they look.

use model::{Item, Seat, Space};
use uncertainty::{Uncertain, Vector2, Vector3};

use crate::{Analysis, Known, Means, Missing, Parts};

/// Eye height of a seated adult, m, and its 95 % interval: from memory, ISO 7250-1 eye
/// height sitting over a 0.42 m seat less what the cushion sinks.
const EYE_HEIGHT_M: f64 = 1.10;
const EYE_HEIGHT_TOLERANCE_M: f64 = 0.08;

/// A seat's head.
#[derive(Clone, Debug)]
pub struct SeatPlace {
    /// The head in plan.
    pub plan: Vector2,
    /// Between the eyes.
    pub eye: Vector3,
    /// Between the ears.
    pub ear: Vector3,
}

impl Analysis {
    /// Where a seat's head is. An eye height that nobody measured is taken from a table of
    /// body sizes, with the spread of that table.
    pub fn seat(&self, space: &Space, seat: &Seat) -> Known<SeatPlace> {
        let at = self.space_at(&space.id).expect("a space of this job");
        let index = space.seat.iter().position(|one| one.id == seat.id);
        let index = index.expect("a seat of this space");
        let place = self.kept(
            |answers| answers.seats.get(at)?.get(index),
            || {
                self.shape_and(at, Parts::SEATS);
                self.seat_anew(space, seat)
            },
        );
        place.clone()
    }

    fn seat_anew(&self, space: &Space, seat: &Seat) -> Known<SeatPlace> {
        let path = format_args!("space.{}.seat.{}", space.id, seat.id);
        let at = seat.at.as_ref().ok_or_else(|| {
            Missing::new(
                format!("where seat {} stands", seat.id),
                format!("{path}.at"),
                Means::Tape,
            )
        })?;
        let plan = self.shape(space).corner_from(
            self,
            space,
            &at.from,
            &at.and,
            format_args!("{path}.at"),
        )?;
        let riser = self.number(seat.riser.as_ref()).unwrap_or_default();
        let eye_height = self.number(seat.eye.as_ref()).unwrap_or_else(|| {
            let what = format!(
                "the eye height at seat {}, taken from a table of body sizes",
                seat.id
            );
            self.assumed(
                &what,
                &format!("{path}.eye"),
                EYE_HEIGHT_M,
                EYE_HEIGHT_TOLERANCE_M,
            ) + &riser
        });
        let ear_height = self
            .number(seat.ear.as_ref())
            .unwrap_or_else(|| eye_height.clone());
        Ok(SeatPlace {
            eye: plan.at_height(eye_height),
            ear: plan.at_height(ear_height),
            plan,
        })
    }

    /// The picture that people in a space look at: its zone's, else its only one.
    pub fn picture_faced<'a>(&'a self, space: &'a Space) -> Known<&'a Item> {
        let zones = self.zones_in(space);
        let named = zones
            .filter_map(|zone| self.item(zone.faces.as_deref()?))
            .next();
        let mut pictures = self.pictures_in(space);
        let only = pictures.next().filter(|_| pictures.next().is_none());
        named.or(only).ok_or_else(|| {
            let what = format!("which picture the seats of {} face", space.label());
            Missing::new(what, format!("space.{}", space.id), Means::Decide)
        })
    }

    /// The direction in plan from a head to the middle of the picture that it looks at.
    pub fn look_direction(&self, space: &Space, seat: &SeatPlace) -> Known<Vector2> {
        let picture = self.picture(self.picture_faced(space)?)?;
        Ok((&picture.centre.in_plan() - &seat.plan).unit())
    }

    /// Seats of a space with their heads, those that can't be placed included.
    pub fn seats_in<'a>(
        &'a self,
        space: &'a Space,
    ) -> impl Iterator<Item = (&'a Seat, Known<SeatPlace>)> {
        space.seat.iter().map(|seat| (seat, self.seat(space, seat)))
    }
}

/// A seat's row; the first when it does not say.
pub fn row_of(seat: &Seat) -> u32 {
    seat.row.unwrap_or(1)
}

/// A seat's weight among the others.
pub fn importance_of(seat: &Seat) -> f64 {
    f64::from(seat.importance.unwrap_or(1))
}

impl SeatPlace {
    /// Distance from the ear to a point.
    pub fn distance_to(&self, point: &Vector3) -> Uncertain {
        (point - &self.ear).norm()
    }
}
