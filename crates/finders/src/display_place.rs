//! How high should a display hang, and how far should it tilt, for those who watch it?
//!
//! Each height is tried on a copy with the tilt that shares the angle between the outermost
//! eyes, as far as the mount tilts, and with less where something fails at that. Heights at which nothing fails make stretches; of them
//! the one is best at which the seat that looks up most looks up least.

use std::f64::consts::PI;

use analysis::{Analysis, Known, Means, Missing, item_label};
use checks::Finding;
use checks::hanging::raised;
use model::{Edit, Item, Space};
use units::{Dimension, step};

use crate::region::Stop;
use crate::trial::{Key, Trial, Trials, stop, told};

/// Where a display can hang.
#[derive(Clone, Debug)]
pub struct DisplayPlace {
    /// The item.
    pub item: String,
    /// What it is called.
    pub label: String,
    /// The space that it is in.
    pub space: String,
    /// The height of its middle as it is, m.
    pub present_m: f64,
    /// Heights of its middle at which nothing fails that a height can mend, m.
    pub stretches: Vec<Stretch>,
    /// What fails at every height.
    pub always: Vec<Stop>,
    /// The best of them.
    pub best: Option<DisplayBest>,
    /// Where there is none: the height at which the fewest fail, and what fails there besides.
    pub least_bad: Option<(f64, Vec<Stop>)>,
}

impl DisplayPlace {
    /// One sentence on where it can hang.
    pub fn says(&self, analysis: &Analysis) -> String {
        let label = &self.label;
        if self.stretches.is_empty() {
            let near = self.least_bad.as_ref().map(|(height_m, stops)| {
                let stops: Vec<String> = stops.iter().map(Stop::to_string).collect();
                format!(
                    " The fewest fail with its middle {} above the floor: {}.",
                    analysis.exact(*height_m, Dimension::Length),
                    stops.join(", ")
                )
            });
            return format!(
                "{label} can hang at no height without a check that fails.{}",
                near.unwrap_or_default()
            );
        }
        let texts: Vec<String> = (self.stretches.iter())
            .map(|stretch| stretch.text(analysis))
            .collect();
        format!(
            "The middle of {label} can hang {} above the floor.",
            texts.join(", or ")
        )
    }

    /// One sentence on the best height and tilt, and what the seat that looks up most has there.
    pub fn best_says(&self, analysis: &Analysis) -> Option<String> {
        let best = self.best.as_ref()?;
        let tilt = best.tilt_rad.map_or_else(String::new, |tilt| {
            format!(", tilted {} down", analysis.exact(tilt, Dimension::Angle))
        });
        Some(format!(
            "Hang the middle of {} {} above the floor{tilt}. {}",
            self.label,
            analysis.exact(best.height_m, Dimension::Length),
            best.because
        ))
    }
}

impl Stretch {
    /// From the lowest to the highest, for people.
    pub fn text(&self, analysis: &Analysis) -> String {
        let [low, high] =
            [self.low_m, self.high_m].map(|height_m| analysis.exact(height_m, Dimension::Length));
        format!("{low} to {high}")
    }
}

/// Heights at which nothing fails.
#[derive(Clone, Debug)]
pub struct Stretch {
    /// The lowest, m.
    pub low_m: f64,
    /// What stops it from being lower; nothing at the end of what was tried.
    pub below: Option<Stop>,
    /// The highest, m.
    pub high_m: f64,
    /// What stops it from being higher.
    pub above: Option<Stop>,
}

/// The best height and tilt.
#[derive(Clone, Debug)]
pub struct DisplayBest {
    /// The height of its middle, m.
    pub height_m: f64,
    /// Its tilt downwards, rad, where its mount tilts.
    pub tilt_rad: Option<f64>,
    /// The greatest angle up to its middle or top that any seat has, as the check tells it.
    pub because: String,
    /// What puts it there.
    pub edits: Vec<Edit>,
}

/// How far down and up it is tried from where it hangs, m.
const DOWN_MOST_M: f64 = 1.5;
const UP_MOST_M: f64 = 1.0;
/// How finely, m.
const STEP_M: f64 = 0.05;
/// An end of a stretch is told this well, m.
const FINE_M: f64 = 1e-3;
/// What a bracket is set to, rad.
const TILT_STEP: f64 = 0.5 * PI / 180.0;

/// Where a display can hang above and below where it does.
pub fn display_place(analysis: &Analysis, item: &Item) -> Known<DisplayPlace> {
    let space = analysis.space_of(item)?;
    let picture = analysis.picture(item)?;
    let hung = Hung {
        analysis,
        trials: Trials::new(analysis, space)?,
        item,
        space,
        present_m: picture.centre.z.value(),
    };
    let lowest_m = (hung.present_m - DOWN_MOST_M).max(picture.height().value() / 2.0);
    let count = ((hung.present_m + UP_MOST_M - lowest_m) / STEP_M)
        .ceil()
        .max(1.0) as u32;
    let heights: Vec<f64> = (0..=count)
        .map(|at| lowest_m + f64::from(at) * STEP_M)
        // Not so low that what hangs below it would be in the floor.
        .filter(|height_m| raised(analysis, item, height_m - hung.present_m).is_some())
        .collect();
    if heights.is_empty() {
        return Err(hung.unplaced());
    }
    let trials: Vec<Trial> = (heights.iter())
        .map(|height_m| hung.trial(*height_m))
        .collect::<Known<_>>()?;
    let mut keys: Vec<Key> = trials
        .iter()
        .flat_map(|trial| trial.failing().map(|(key, _)| key.clone()))
        .collect();
    keys.sort();
    keys.dedup();
    keys.retain(|key| trials.iter().all(|trial| trial.fails(key)));
    let always_keys = keys;
    let always = (always_keys.iter())
        .filter_map(|key| trials[0].finding(key).map(stop))
        .collect();
    let good = |trial: &Trial| trial.failing().all(|(key, _)| always_keys.contains(key));
    let mut stretches: Vec<Stretch> = Vec::new();
    let mut open: Option<usize> = None;
    for at in 0..=heights.len() {
        let is_good = trials.get(at).is_some_and(good);
        match (open, is_good) {
            (None, true) => open = Some(at),
            (Some(first), false) => {
                let (low_m, below) = match first {
                    0 => (heights[0], None),
                    _ => hung.end(heights[first], heights[first - 1], &always_keys)?,
                };
                let (high_m, above) = match heights.get(at) {
                    None => (heights[at - 1], None),
                    Some(bad) => hung.end(heights[at - 1], *bad, &always_keys)?,
                };
                stretches.push(Stretch {
                    low_m,
                    below,
                    high_m,
                    above,
                });
                open = None;
            }
            _ => {}
        }
    }
    let best = hung.best(&stretches, &always_keys)?;
    let least_bad = if stretches.is_empty() {
        hung.least_bad(&heights, &trials, &always_keys)
    } else {
        None
    };
    Ok(DisplayPlace {
        item: item.id.clone(),
        label: item_label(item).to_owned(),
        space: space.id.clone(),
        present_m: hung.present_m,
        stretches,
        always,
        best,
        least_bad,
    })
}

/// A display whose height is asked for.
struct Hung<'a> {
    analysis: &'a Analysis,
    trials: Trials,
    item: &'a Item,
    space: &'a Space,
    present_m: f64,
}

/// A height that was tried.
struct HungAt {
    edits: Vec<Edit>,
    tilt_rad: Option<f64>,
    trial: Trial,
}

/// The tilt that is asked for, then parts of it down to none.
fn less_and_less(asked: Option<f64>) -> Vec<Option<f64>> {
    let Some(asked) = asked else {
        return vec![None];
    };
    let mut tilts: Vec<f64> = [1.0, 0.75, 0.5, 0.25, 0.0]
        .map(|part| (asked * part / TILT_STEP + 1e-6).floor() * TILT_STEP)
        .to_vec();
    tilts.dedup();
    tilts.into_iter().map(Some).collect()
}

impl Hung<'_> {
    fn trial(&self, height_m: f64) -> Known<Trial> {
        Ok(self.hung_at(height_m)?.trial)
    }

    /// Hung at a height, with the tilt that serves best there: a flat mount may leave no room to
    /// its wall for as much as the seats ask for, and then the least that fails is the best.
    fn hung_at(&self, height_m: f64) -> Known<HungAt> {
        let asked = self.tilt(height_m - self.present_m)?;
        let mut best: Option<(usize, HungAt)> = None;
        for tilt_rad in less_and_less(asked) {
            let edits = self.edits(height_m, tilt_rad)?;
            let trial = self.trials.of(&edits)?;
            let failing = trial.failing().count();
            if best.as_ref().is_none_or(|(fewest, _)| failing < *fewest) {
                let hung = HungAt {
                    edits,
                    tilt_rad,
                    trial,
                };
                best = Some((failing, hung));
            }
            if failing == 0 {
                break;
            }
        }
        Ok(best.expect("at least one tilt is tried").1)
    }

    fn unplaced(&self) -> Missing {
        let what = format!("the height of {} on its wall", item_label(self.item));
        let at = format!("item.{}.on.height", self.item.id);
        Missing::new(what, at, Means::Decide)
    }

    /// What hangs it at a height with a tilt.
    fn edits(&self, height_m: f64, tilt_rad: Option<f64>) -> Known<Vec<Edit>> {
        let by_m = height_m - self.present_m;
        let raised = raised(self.analysis, self.item, by_m);
        let mut edits = raised.ok_or_else(|| self.unplaced())?;
        if let Some(tilt) = tilt_rad {
            let printer = self.analysis.printer();
            let text = printer.print(tilt, Dimension::Angle, None);
            edits.push(Edit::set(format!("item.{}.tilt", self.item.id), text));
        }
        Ok(edits)
    }

    /// The tilt that shares the angle between the outermost eyes, as far as the mount has it,
    /// with the display raised by so much; nothing where it has no mount that tilts.
    fn tilt(&self, by_m: f64) -> Known<Option<f64>> {
        let analysis = self.analysis;
        let allowed = analysis
            .mount_of(self.item)
            .and_then(|(_, kit)| analysis.number(kit.tilt_down.as_ref()));
        let Some(allowed) = allowed else {
            return Ok(None);
        };
        let picture = match analysis.picture_pulled_down(self.item) {
            Some(picture) => picture?,
            None => analysis.picture(self.item)?,
        };
        let (centre, normal) = (picture.centre.value(), picture.face.normal.value());
        let below = |eye: [f64; 3]| {
            let ahead = (eye[0] - centre[0]) * normal[0] + (eye[1] - centre[1]) * normal[1];
            (centre[2] + by_m - eye[2]).atan2(ahead)
        };
        let eyes: Vec<f64> = analysis
            .seats_in(self.space)
            .filter_map(|(_, place)| Some(below(place.ok()?.eye.value())))
            .collect();
        let least = eyes.iter().copied().fold(f64::INFINITY, f64::min);
        let most = eyes.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        if eyes.is_empty() {
            return Ok(None);
        }
        let best = ((least + most) / 2.0).clamp(0.0, allowed.value());
        Ok(Some((best / TILT_STEP + 1e-6).floor() * TILT_STEP))
    }

    /// Where between a height at which nothing fails and one at which something does, and
    /// what does.
    fn end(&self, good_m: f64, bad_m: f64, but: &[Key]) -> Known<(f64, Option<Stop>)> {
        let (mut good_m, mut bad_m) = (good_m, bad_m);
        let first = |trial: &Trial| {
            let found = trial.failing().find(|(key, _)| !but.contains(key));
            found.map(|(_, finding)| stop(finding))
        };
        let mut stops = first(&self.trial(bad_m)?);
        while (bad_m - good_m).abs() > FINE_M {
            let middle = (good_m + bad_m) / 2.0;
            match first(&self.trial(middle)?) {
                Some(found) => (bad_m, stops) = (middle, Some(found)),
                None => good_m = middle,
            }
        }
        Ok((good_m, stops))
    }

    /// Where the fewest fail, of those the height nearest to where it hangs.
    fn least_bad(
        &self,
        heights: &[f64],
        trials: &[Trial],
        but: &[Key],
    ) -> Option<(f64, Vec<Stop>)> {
        let failing = |trial: &Trial| -> Vec<Stop> {
            let keys = trial.failing().filter(|(key, _)| !but.contains(key));
            keys.map(|(_, finding)| stop(finding)).collect()
        };
        let all = heights.iter().zip(trials);
        let all = all.map(|(height_m, trial)| (*height_m, failing(trial)));
        all.min_by(|(one_m, one), (other_m, other)| {
            let off = |height_m: &f64| (height_m - self.present_m).abs();
            one.len()
                .cmp(&other.len())
                .then(off(one_m).total_cmp(&off(other_m)))
        })
    }

    /// The height at which the margin of the worst seat's angle up is greatest: of those that
    /// fit if there are any.
    fn best(&self, stretches: &[Stretch], but: &[Key]) -> Known<Option<DisplayBest>> {
        let fine = step(self.analysis.printer().system, Dimension::Length, None);
        let mut best: Option<((bool, f64), DisplayBest, Option<Finding>)> = None;
        for stretch in stretches {
            let length_m = stretch.high_m - stretch.low_m - 2.0 * fine;
            let count = (length_m / STEP_M).ceil().max(1.0) as u32;
            for at in 0..=count {
                let part = f64::from(at) / f64::from(count);
                let height_m = stretch.low_m + fine + length_m.max(0.0) * part;
                let HungAt {
                    edits,
                    tilt_rad,
                    trial,
                } = self.hung_at(height_m)?;
                if trial.failing().any(|(key, _)| !but.contains(key)) {
                    continue;
                }
                let worst = trial
                    .of_check("vertical-angle")
                    .filter_map(|finding| Some((finding.margin.as_ref()?.value(), finding)))
                    .min_by(|a, b| a.0.total_cmp(&b.0));
                let (margin, seat) = match worst {
                    Some((margin, finding)) => (margin, Some(finding.clone())),
                    None => (0.0, None),
                };
                let worth = (trial.fits(but), margin);
                let is_better = best.as_ref().is_none_or(|(known, ..)| {
                    (worth.0 && !known.0) || (worth.0 == known.0 && worth.1 > known.1 + 1e-9)
                });
                if is_better {
                    let found = DisplayBest {
                        height_m,
                        tilt_rad,
                        because: String::new(),
                        edits,
                    };
                    best = Some((worth, found, seat));
                }
            }
        }
        Ok(best.map(|(_, best, seat)| DisplayBest {
            because: seat.map_or_else(String::new, |seat| told(self.analysis, &best.edits, &seat)),
            ..best
        }))
    }
}
