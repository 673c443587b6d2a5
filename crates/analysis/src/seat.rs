//! Eyes and ears of those who sit, and which way they look.

use model::{Item, Seat, Space};
use uncertainty::{Uncertain, Vector2, Vector3};

use crate::settled::SettledAt;
use crate::{Analysis, Known, Means, Missing, Parts};

/// Eye height of a seated adult, m, and its 95 % interval: from memory, ISO 7250-1 eye
/// height sitting over a 0.42 m seat less what the cushion sinks.
const EYE_HEIGHT_M: f64 = 1.10;
const EYE_HEIGHT_TOLERANCE_M: f64 = 0.08;

/// From the hip's joint to the eye of a seated adult, m, and its 95 % interval: from memory,
/// between the medians of women and men in ISO 7250-1, 0.735 and 0.790 m.
pub const EYE_OVER_HIP_M: f64 = 0.76;
const EYE_OVER_HIP_TOLERANCE_M: f64 = 0.06;

/// A seat's head.
#[derive(Clone, Debug, PartialEq)]
pub struct SeatPlace {
    /// The head in plan.
    pub plan: Vector2,
    /// Between the eyes.
    pub eye: Vector3,
    /// Between the ears.
    pub ear: Vector3,
    /// How far above level the eyes look at rest, rad; zero for who sits upright.
    pub pitch: Uncertain,
}

impl Analysis {
    /// Where a seat's head is. An eye height that nobody measured is taken from a table of
    /// body sizes, with the spread of that table.
    pub fn seat(&self, space: &Space, seat: &Seat) -> Known<SeatPlace> {
        let at = self.space_at(&space.id).expect("a space of this job");
        let index = space.seat.iter().position(|one| one.id == seat.id);
        let index = index.expect("a seat of this space");
        let place = self.kept_settled(
            SettledAt::Seat(at, index),
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
        let recline = self.number(seat.recline.as_ref()).unwrap_or_default();
        let pitch = self.number(seat.pitch.as_ref());
        let upright = SeatPlace {
            eye: plan.at_height(eye_height),
            ear: plan.at_height(ear_height),
            plan,
            pitch: pitch.clone().unwrap_or_default(),
        };
        if recline.value() <= 0.0 {
            return Ok(upright);
        }
        let pitch = pitch.unwrap_or_else(|| {
            let what = format!("how far up the eyes at seat {} look at rest", seat.id);
            let half = recline.value() / 2.0;
            self.assumed(&what, &format!("{path}.pitch"), half, half)
        });
        let lever = self.assumed(
            &format!("from hip to eye at seat {}", seat.id),
            &format!("{path}.lever"),
            EYE_OVER_HIP_M,
            EYE_OVER_HIP_TOLERANCE_M,
        );
        // Which way is back, only a picture says; without one the head goes down alone.
        let back = (self
            .picture_faced(space)
            .and_then(|item| self.picture(item)))
        .map(|picture| (&upright.plan - &picture.centre.in_plan()).unit())
        .ok();
        Ok(upright.leant(&recline, &lever, back.as_ref(), pitch))
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
    /// Leant back about the hip by an angle θ: R sin θ back and R (1 − cos θ) down, R from hip
    /// to eye, m.
    fn leant(
        self,
        angle: &Uncertain,
        lever: &Uncertain,
        back: Option<&Vector2>,
        pitch: Uncertain,
    ) -> Self {
        let by = lever * angle.sin();
        let down = lever * (1.0 - angle.cos());
        let plan = match back {
            Some(back) => &self.plan + &back.scaled(&by),
            None => self.plan,
        };
        Self {
            eye: plan.at_height(&self.eye.z - &down),
            ear: plan.at_height(&self.ear.z - &down),
            plan,
            pitch,
        }
    }

    /// Distance from the ear to a point.
    pub fn distance_to(&self, point: &Vector3) -> Uncertain {
        (point - &self.ear).norm()
    }
}
