//! How large can a picture be where it hangs, and what stops it there?
//!
//! The checks of pictures are asked at widths from a hand to the whole wall, each on a copy
//! of the job. What fails at one width and not at a smaller one stops the picture; where
//! exactly is found by halving. What comes next once a stop is removed is the next in the
//! list, since each is looked at alone.

use analysis::{Analysis, Known, Means, Missing, item_label};
use checks::Finding;
use model::{Edit, Item, Kit};
use units::{Dimension, step};

use crate::region::Stop;
use crate::trial::{Key, Trial, Trials, fails, fits, stop, told};

/// The largest picture of a screen or display.
#[derive(Clone, Debug)]
pub struct LargestPicture {
    /// The item.
    pub item: String,
    /// What it is called.
    pub label: String,
    /// The space that it is in.
    pub space: String,
    /// Width over height.
    pub aspect: f64,
    /// The width that it has, m.
    pub present_m: f64,
    /// The largest width at which nothing fails that a width can mend, m.
    pub largest_m: Option<f64>,
    /// What stops it from being larger, nearest first.
    pub stops: Vec<SizeStop>,
    /// What is too small at the largest width: no width serves everything.
    pub too_small: Vec<Stop>,
    /// What fails at every width.
    pub always: Vec<Stop>,
    /// The largest width at which all fits, uncertainty included, and what orders it.
    pub order: Option<Order>,
}

impl LargestPicture {
    /// A width for people, with its diagonal.
    pub fn size_text(&self, analysis: &Analysis, width_m: f64) -> String {
        let diagonal_m = diagonal(width_m, self.aspect);
        format!(
            "{} wide, {} diagonal",
            analysis.exact(width_m, Dimension::Length),
            analysis.diagonal(diagonal_m)
        )
    }

    /// One sentence on how large it can be and what stops it there.
    pub fn says(&self, analysis: &Analysis) -> String {
        let label = &self.label;
        match (self.largest_m, self.stops.first()) {
            (Some(width_m), Some(stop)) => format!(
                "The picture of {label} can be {}; then {} stops it.",
                self.size_text(analysis, width_m),
                stop.stop
            ),
            (Some(width_m), None) => format!(
                "Nothing stops the picture of {label} up to {}, as wide as its wall.",
                self.size_text(analysis, width_m)
            ),
            (None, _) => format!("No size of the picture of {label} serves everything."),
        }
    }

    /// One sentence on what to order, where a width fits with all uncertainty.
    pub fn order_says(&self, analysis: &Analysis) -> Option<String> {
        let width_m = self.order.as_ref()?.width_m;
        Some(format!(
            "Order {} with a picture {}.",
            self.label,
            self.size_text(analysis, width_m)
        ))
    }
}

fn diagonal(width_m: f64, aspect: f64) -> f64 {
    width_m * (1.0 + aspect.powi(2)).sqrt() / aspect
}

/// A width to order.
#[derive(Clone, Debug)]
pub struct Order {
    /// The width, m.
    pub width_m: f64,
    /// What orders it.
    pub edits: Vec<Edit>,
}

/// What stops a picture from being larger.
#[derive(Clone, Debug)]
pub struct SizeStop {
    /// What it is.
    pub stop: Stop,
    /// The width at which it does, m.
    pub width_m: f64,
    /// What its check says just beyond.
    pub because: String,
}

/// As many stops are told: who has removed these asks again.
const STOPS_MAX: usize = 8;
/// Widths tried before halving.
const WIDTHS: u32 = 24;
/// The smallest width tried, m.
const WIDTH_LEAST_M: f64 = 0.3;
/// Widths are told this well, m.
const FINE_M: f64 = 5e-4;

/// The largest picture of a screen or display where its middle is.
pub fn largest_picture(analysis: &Analysis, item: &Item) -> Known<LargestPicture> {
    let space = analysis.space_of(item)?;
    let picture = analysis.picture(item)?;
    let present_m = picture.width().value();
    let most_m = analysis.shape(space).wall_length(picture.lit.wall)?.value() * 1.05;
    let sized = Sized {
        analysis,
        trials: Trials::new(analysis, space)?,
        item,
        aspect: picture.aspect,
        present_m,
    };
    let widths: Vec<f64> = (0..=WIDTHS)
        .map(|at| {
            WIDTH_LEAST_M + (most_m - WIDTH_LEAST_M).max(0.1) * f64::from(at) / f64::from(WIDTHS)
        })
        .collect();
    let trials: Vec<Trial> = (widths.iter())
        .map(|width_m| sized.trial(*width_m))
        .collect::<Known<_>>()?;
    let mut keys: Vec<&Key> = trials
        .iter()
        .flat_map(|trial| trial.failing().map(|(key, _)| key))
        .collect();
    keys.sort();
    keys.dedup();
    let (mut brackets, mut always, mut always_keys) = (Vec::new(), Vec::new(), Vec::new());
    let last = trials.len() - 1;
    for key in keys {
        // A picture beyond its wall is told at once and nothing else of it: what failed just
        // before has not ended there.
        let told = |at: &usize| trials[*at].finding(key).is_some();
        let seen = (0..=last).rev().find(told).unwrap_or(last);
        match (0..=seen).rev().find(|at| !trials[*at].fails(key)) {
            None => {
                always.extend(trials[0].finding(key).map(stop));
                always_keys.push(key.clone());
            }
            Some(good) if good < seen => brackets.push((good, key)),
            Some(_) => {}
        }
    }
    brackets.sort();
    // Those between the same two widths belong together: any of them may be the nearest.
    let enough = brackets.get(STOPS_MAX - 1).map_or(last, |(good, _)| *good);
    let mut stops = brackets
        .into_iter()
        .take_while(|(good, _)| *good <= enough)
        .map(|(good, key)| {
            let at = |at: usize| (widths[at], trials[at].finding(key).cloned());
            sized.stop(key, at(good), at(good + 1))
        })
        .collect::<Known<Vec<SizeStop>>>()?;
    stops.sort_by(|a, b| a.width_m.total_cmp(&b.width_m));
    stops.truncate(STOPS_MAX);
    let largest_m = stops.first().map_or(most_m, |stop| stop.width_m);
    let at_largest = sized.trial(largest_m)?;
    let too_small: Vec<Stop> = at_largest
        .failing()
        .filter(|(key, _)| !always_keys.contains(key))
        .map(|(_, finding)| stop(finding))
        .collect();
    let order = match too_small.is_empty() {
        true => sized.order(largest_m, &always_keys)?,
        false => None,
    };
    Ok(LargestPicture {
        item: item.id.clone(),
        label: item_label(item).to_owned(),
        space: space.id.clone(),
        aspect: picture.aspect,
        present_m,
        largest_m: too_small.is_empty().then_some(largest_m),
        stops,
        too_small,
        always,
        order,
    })
}

/// A picture whose width is asked for.
struct Sized<'a> {
    analysis: &'a Analysis,
    trials: Trials,
    item: &'a Item,
    aspect: f64,
    present_m: f64,
}

impl Sized<'_> {
    fn trial(&self, width_m: f64) -> Known<Trial> {
        let edits = self.edits(width_m, |length_m| format!("{length_m:.5} m"))?;
        self.trials.of(&edits)
    }

    /// What orders a width: the picture, and what surrounds it as wide as it is.
    fn edits(&self, width_m: f64, written: impl Fn(f64) -> String) -> Known<Vec<Edit>> {
        let ask = |what: &str| {
            let what = format!("{what} of {}", item_label(self.item));
            Missing::new(what, format!("item.{}.is", self.item.id), Means::Decide)
        };
        let kit = self
            .analysis
            .kit_of(self.item)
            .ok_or_else(|| ask("the kit"))?;
        let by_width = match kit {
            Kit::Screen(kit) => kit.picture_width.is_some(),
            Kit::Display(_) => false,
            _ => return Err(ask("a picture")),
        };
        let path = format!("kit.{}.{}", kit.kind(), self.item.is);
        let mut edits = vec![if by_width {
            Edit::set(format!("{path}.picture_width"), written(width_m))
        } else {
            let diagonal_m = diagonal(width_m, self.aspect);
            Edit::set(format!("{path}.diagonal"), written(diagonal_m))
        }];
        if let Some(size) = &kit.common().size {
            let wider = width_m - self.present_m;
            for (index, growth) in [wider, wider / self.aspect].into_iter().enumerate() {
                let side = size[index].value().ok_or_else(|| ask("the outside size"))?;
                let side = (side + growth).max(0.01);
                edits.push(Edit::set(format!("{path}.size.{index}"), written(side)));
            }
        }
        Ok(edits)
    }

    fn finding(&self, width_m: f64, key: &Key) -> Known<Option<Finding>> {
        let edits = self.edits(width_m, |length_m| format!("{length_m:.5} m"))?;
        self.trials.finding_of(&edits, key)
    }

    /// Where between two widths something begins to fail: where the line through both
    /// margins crosses zero, halving where that gains less.
    fn stop(&self, key: &Key, good: Tried, bad: Tried) -> Known<SizeStop> {
        let ((mut good_m, mut within), (mut bad_m, mut beyond)) = (good, bad);
        let mut halves = false;
        while bad_m - good_m > FINE_M {
            let length_m = bad_m - good_m;
            let crossing = match (margin(within.as_ref()), margin(beyond.as_ref())) {
                (Some(a), Some(b)) if !halves && a >= 0.0 && b < 0.0 => {
                    let at_m = good_m + length_m * a / (a - b);
                    // To the far side of the nearer end, so that both ends come near.
                    let aside_m = 0.4 * FINE_M * if a < -b { 1.0 } else { -1.0 };
                    (at_m + aside_m).clamp(good_m + 0.3 * FINE_M, bad_m - 0.3 * FINE_M)
                }
                _ => good_m + length_m / 2.0,
            };
            let found = self.finding(crossing, key)?;
            if fails(found.as_ref()) {
                (bad_m, beyond) = (crossing, found);
            } else {
                (good_m, within) = (crossing, found);
            }
            halves = !halves && bad_m - good_m > length_m / 2.0;
        }
        Ok(SizeStop {
            stop: beyond.as_ref().map_or_else(
                || Stop {
                    check: key.0,
                    label: key.1.clone(),
                },
                stop,
            ),
            width_m: good_m,
            because: match &beyond {
                Some(finding) => {
                    let edits = self.edits(bad_m, |length_m| format!("{length_m:.5} m"))?;
                    told(self.analysis, &edits, finding)
                }
                None => String::new(),
            },
        })
    }

    /// The largest width up to `most_m` at which nothing is tight either.
    fn order(&self, most_m: f64, but: &[Key]) -> Known<Option<Order>> {
        let printer = self.analysis.printer();
        let fine = step(printer.system, Dimension::Length, None);
        let written = |length_m: f64| {
            let whole = (length_m / fine + 1e-6).floor() * fine;
            printer.print(whole, Dimension::Length, None)
        };
        // What was in the way at one width is asked first at the next.
        let mut in_the_way: Vec<Key> = Vec::new();
        let mut ordered = |width_m: f64| -> Known<(Vec<Edit>, bool)> {
            let edits = self.edits(width_m, written)?;
            for key in &in_the_way {
                let found = self.trials.finding_of(&edits, key)?;
                if !fits(found.as_ref()) {
                    return Ok((edits, false));
                }
            }
            let trial = self.trials.of(&edits)?;
            let before = in_the_way.len();
            in_the_way.extend(trial.unfit(but).cloned());
            Ok((edits, in_the_way.len() == before))
        };
        // Downwards a hundredth at a time, then as near as it is written.
        let mut step_m = most_m / 100.0;
        let mut bad_m = most_m;
        let mut good: Option<(f64, Vec<Edit>)> = None;
        for count in 0..40 {
            let width_m = most_m - f64::from(count) * step_m;
            let (edits, fits) = ordered(width_m)?;
            if fits {
                good = Some((width_m, edits));
                break;
            }
            bad_m = width_m;
        }
        let Some(mut good) = good else {
            return Ok(None);
        };
        while step_m > fine {
            step_m /= 2.0;
            let middle = (good.0 + bad_m) / 2.0;
            match ordered(middle)? {
                (edits, true) => good = (middle, edits),
                (_, false) => bad_m = middle,
            }
        }
        Ok(Some(Order {
            width_m: good.0,
            edits: good.1,
        }))
    }
}

/// A width and what one check found there.
type Tried = (f64, Option<Finding>);

fn margin(finding: Option<&Finding>) -> Option<f64> {
    Some(finding?.margin.as_ref()?.value())
}
