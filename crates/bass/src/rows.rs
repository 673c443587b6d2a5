//! What would the same subs come to if the seats stood further forward or back?

use subwoofers::{Arrangement, Difference, Place, Score, Transfers, score};
use units::{Decibels, Metres};
use waves::Listening;

use crate::frame::point;
use crate::ready::{ROOMS, Ready, deviation, plain, scaled};
use crate::study::Placed;

/// All seats moved by one distance along their look.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Row {
    /// Forward, towards the picture; negative is back.
    pub forward: Metres,
    /// What the subs come to there.
    pub score: Score,
    /// How far √MSV may be off, dB, 95 %: twice its deviation over rooms with half to twice the
    /// absorption.
    pub spread_off: Decibels,
    /// How it is beside where the seats are.
    pub beside: Beside,
}

/// How a row is beside where the seats are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Beside {
    /// It is where they are.
    Here,
    /// Better in the rooms that it may be.
    Better,
    /// As good, as far as the room is known.
    Equal,
    /// Worse.
    Worse,
}

/// Steps either way and their size, m: what a row is moved by without moving the room's plan.
const STEPS: i32 = 5;
const STEP_M: f64 = 0.15;

impl Ready {
    /// The seats moved together by steps along their look, those that leave the room left out;
    /// empty where nobody knows where they look. Each is weighed against where the seats are in all
    /// the rooms that it may be.
    ///
    /// Sources and receivers may change places, so the subs listen and the ears are moved.
    pub fn rows(&self, subs: &[Placed]) -> Vec<Row> {
        let modes = &self.solved.modes;
        let looks: Option<Vec<[f64; 2]>> = self.inputs.looks.iter().copied().collect();
        let sources: Option<Vec<_>> = subs.iter().map(|sub| modes.place(point(sub.at))).collect();
        let (Some(looks), Some(sources)) = (looks, sources) else {
            return Vec::new();
        };
        if sources.is_empty() {
            return Vec::new();
        }
        let rooms = ROOMS.map(|scale| {
            let finish = scaled(&self.solved.room.finish, scale);
            modes.listening(&finish, &sources, &self.lines)
        });
        let arrangement = Arrangement {
            subs: subs.iter().map(|sub| sub.setting).enumerate().collect(),
        };
        let heard = |room: &Listening, ears: &[waves::Place]| {
            let heard = room.from_each(ears);
            let places = subs.iter().enumerate().map(|(at, sub)| Place {
                kind: sub.kind.clone(),
                pressures: heard
                    .iter()
                    .map(|of_ear| plain(of_ear[at].clone()))
                    .collect(),
            });
            let table = Transfers::new(&self.lines, &self.inputs.importance, places.collect());
            let table = table.expect("the table is whole");
            score(&table, &self.goal, &arrangement)
        };
        let at_step = |step: i32| {
            let forward = f64::from(step) * STEP_M;
            let ears = self.seats().iter().zip(&looks).map(|((_, ear), look)| {
                let moved = [
                    ear[0] + look[0] * forward,
                    ear[1] + look[1] * forward,
                    ear[2],
                ];
                modes.place(point(moved))
            });
            let ears = ears.collect::<Option<Vec<_>>>()?;
            Some((step, rooms.each_ref().map(|room| heard(room, &ears))))
        };
        let Some((_, here)) = at_step(0) else {
            return Vec::new();
        };
        (-STEPS..=STEPS)
            .filter_map(at_step)
            .map(|(step, there)| {
                let spreads = there.map(|score| score.spread.0);
                Row {
                    forward: Metres(f64::from(step) * STEP_M),
                    score: there[0],
                    spread_off: Decibels(2.0 * deviation(&spreads)),
                    beside: match step {
                        0 => Beside::Here,
                        _ => beside(
                            &here.map(|score| score.cost),
                            &there.map(|score| score.cost),
                        ),
                    },
                }
            })
            .collect()
    }
}

/// How costs in some rooms are beside those where the seats are, room by room.
fn beside(here: &[f64], there: &[f64]) -> Beside {
    let less: Vec<f64> = here
        .iter()
        .zip(there)
        .map(|(here, there)| here - there)
        .collect();
    let apart = Difference::over(&less);
    match apart {
        apart if apart.is_equal() => Beside::Equal,
        apart if apart.mean > 0.0 => Beside::Better,
        _ => Beside::Worse,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_row_is_better_only_where_the_rooms_agree() {
        assert_eq!(beside(&[9.0, 8.0, 10.0], &[5.0, 4.1, 6.2]), Beside::Better);
        assert_eq!(beside(&[9.0, 8.0, 10.0], &[5.0, 9.0, 10.5]), Beside::Equal);
        assert_eq!(beside(&[5.0, 4.1, 6.2], &[9.0, 8.0, 10.0]), Beside::Worse);
    }
}
