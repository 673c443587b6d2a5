//! What would the same subs come to if the seats stood further forward or back?

use subwoofers::{Arrangement, Place, Score, Transfers, score};
use units::Metres;

use crate::frame::point;
use crate::ready::{Ready, plain};
use crate::study::Placed;

/// All seats moved by one distance along their look.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Row {
    /// Forward, towards the picture; negative is back.
    pub forward: Metres,
    /// What the subs come to there.
    pub score: Score,
    /// Whether it is better than where the seats are.
    pub is_better: bool,
}

/// Steps either way and their size, m: what a row is moved by without moving the room's plan.
const STEPS: i32 = 5;
const STEP_M: f64 = 0.15;

impl Ready {
    /// The seats moved together by steps along their look, those that leave the room left out;
    /// empty where nobody knows where they look. Best estimate: the spread between rooms is that
    /// of the seats where they are.
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
        let listening = modes.listening(&self.solved.room.finish, &sources, &self.lines);
        let arrangement = Arrangement {
            subs: subs.iter().map(|sub| sub.setting).enumerate().collect(),
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
            let heard = listening.from_each(&ears);
            let places = subs.iter().enumerate().map(|(at, sub)| Place {
                kind: sub.kind.clone(),
                pressures: heard
                    .iter()
                    .map(|of_ear| plain(of_ear[at].clone()))
                    .collect(),
            });
            let table = Transfers::new(&self.lines, &self.inputs.importance, places.collect());
            let table = table.expect("the table is whole");
            Some((Metres(forward), score(&table, &self.goal, &arrangement)))
        };
        let Some((_, here)) = at_step(0) else {
            return Vec::new();
        };
        (-STEPS..=STEPS)
            .filter_map(at_step)
            .map(|(forward, score)| Row {
                forward,
                score,
                is_better: score.cost < here.cost,
            })
            .collect()
    }
}
