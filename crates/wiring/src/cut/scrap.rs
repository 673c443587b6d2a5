//! How do the same spools give the least scrap?
//!
//! A short end that stays on a spool is of no use: below a length that the shop sets it counts as
//! scrap. The spools opened stay as planned; cuts move from one to another, or change places,
//! as long as the scrap gets less. A local search: never worse than the plan, not proven least.

use units::Metres;

use super::{Cut, CutPlan, OpenedSpool, Spool};

/// Steps after which the search ends; each lessens the scrap.
const STEPS_MAX: usize = 1000;
/// Less than this is rounding, m.
const ROUNDING_M: f64 = 1e-9;

impl CutPlan {
    /// Ends shorter than this, which no cable will ever be cut from.
    pub fn scrap(&self, below: Metres) -> Metres {
        Metres(
            self.opened
                .iter()
                .map(|spool| scrap_m(spool.left.0, below.0))
                .sum(),
        )
    }
}

fn scrap_m(left_m: f64, below_m: f64) -> f64 {
    match left_m {
        left_m if left_m < below_m && left_m > ROUNDING_M => left_m,
        _ => 0.0,
    }
}

/// A way to bring a cut from one opened spool to another, or to change two.
#[derive(Clone, Copy)]
struct Swap {
    spools: [usize; 2],
    /// Positions among each spool's cuts; nothing where the cut moves alone.
    cuts: [Option<usize>; 2],
    gain_m: f64,
}

/// The same plan with its cuts laid so that less is scrap.
pub fn with_least_scrap(
    mut plan: CutPlan,
    spools: &[Spool],
    cuts: &[Cut],
    below: Metres,
) -> CutPlan {
    for _ in 0..STEPS_MAX {
        let Some(best) = best_swap(&plan.opened, spools, cuts, below.0) else {
            break;
        };
        let [a, b] = best.spools;
        let taken = best.cuts[0].map(|at| plan.opened[a].cuts.remove(at));
        let given = best.cuts[1].map(|at| plan.opened[b].cuts.remove(at));
        let length = |cut: Option<usize>| cut.map_or(0.0, |cut| cuts[cut].length.0);
        let by_m = length(taken) - length(given);
        plan.opened[a].left = Metres(plan.opened[a].left.0 + by_m);
        plan.opened[b].left = Metres(plan.opened[b].left.0 - by_m);
        plan.opened[b].cuts.extend(taken);
        plan.opened[a].cuts.extend(given);
        for spool in [a, b] {
            let longest = |a: &usize, b: &usize| {
                (cuts[*b].length.0)
                    .total_cmp(&cuts[*a].length.0)
                    .then(a.cmp(b))
            };
            plan.opened[spool].cuts.sort_by(longest);
        }
    }
    plan
}

fn best_swap(opened: &[OpenedSpool], spools: &[Spool], cuts: &[Cut], below_m: f64) -> Option<Swap> {
    let mut best: Option<Swap> = None;
    for a in 0..opened.len() {
        for b in 0..opened.len() {
            if a == b || spools[opened[a].spool].kind != spools[opened[b].spool].kind {
                continue;
            }
            let before_m = [a, b].map(|spool| scrap_m(opened[spool].left.0, below_m));
            for (at, cut) in opened[a].cuts.iter().enumerate() {
                let others = (opened[b].cuts.iter().enumerate())
                    .map(|(at, cut)| (Some(at), cuts[*cut].length.0));
                for (other, other_m) in std::iter::once((None, 0.0)).chain(others) {
                    let by_m = cuts[*cut].length.0 - other_m;
                    // A spool left empty would not have been opened: the plan stands.
                    let empties = other.is_none() && opened[a].cuts.len() == 1;
                    if by_m <= 0.0 || by_m > opened[b].left.0 + ROUNDING_M || empties {
                        continue;
                    }
                    let after_m = scrap_m(opened[a].left.0 + by_m, below_m)
                        + scrap_m((opened[b].left.0 - by_m).max(0.0), below_m);
                    let gain_m = before_m[0] + before_m[1] - after_m;
                    if gain_m > ROUNDING_M.max(best.map_or(0.0, |best| best.gain_m + ROUNDING_M)) {
                        best = Some(Swap {
                            spools: [a, b],
                            cuts: [Some(at), other],
                            gain_m,
                        });
                    }
                }
            }
        }
    }
    best
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cut::plan;

    fn spool(length_m: f64) -> Spool {
        Spool {
            kind: "wire".to_owned(),
            length: Metres(length_m),
            available: Some(1),
        }
    }

    fn cut(length_m: f64) -> Cut {
        Cut {
            kind: "wire".to_owned(),
            length: Metres(length_m),
        }
    }

    #[test]
    fn two_short_ends_become_one_long_one() {
        // 15 + 4 leaves 1 m and 13 + 3 leaves 4 m, both scrap below 5 m; 13 + 4 + 3 fills one spool
        // and 15 leaves 5 m on the other, which is kept.
        let spools = [spool(20.0), spool(20.0)];
        let cuts = [15.0, 13.0, 4.0, 3.0].map(cut);
        let below = Metres(5.0);
        let planned = plan(&spools, &cuts).unwrap();
        let laid = with_least_scrap(planned.clone(), &spools, &cuts, below);
        assert!(laid.scrap(below).0 <= planned.scrap(below).0);
        assert!(laid.scrap(below).0 < 1e-9, "{laid:?}");
        assert_eq!(laid.length_opened, planned.length_opened);
        let mut all: Vec<usize> = laid
            .opened
            .iter()
            .flat_map(|spool| spool.cuts.clone())
            .collect();
        all.sort_unstable();
        assert_eq!(all, [0, 1, 2, 3]);
        for spool in &laid.opened {
            let used: f64 = spool.cuts.iter().map(|cut| cuts[*cut].length.0).sum();
            assert!((20.0 - used - spool.left.0).abs() < 1e-9);
        }
    }

    #[test]
    fn an_end_as_long_as_the_shop_asks_is_kept() {
        let spools = [spool(20.0)];
        let cuts = [cut(15.0)];
        let planned = plan(&spools, &cuts).unwrap();
        assert!(planned.scrap(Metres(5.0)).0 < 1e-9);
        assert!((planned.scrap(Metres(5.1)).0 - 5.0).abs() < 1e-9);
    }
}
