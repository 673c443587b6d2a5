//! From which spools is each cable cut, so that the least length of spool is opened?
//!
//! One-dimensional cutting stock. First aim: least total length of spools
//! opened; second: fewest spools. Lengths are whole tenths of a millimetre
//! inside, cuts rounded up and spools down, so a plan never promises cable that
//! is not there.
//!
//! Method: first-fit decreasing gives a plan to beat, and quick packings of
//! larger and larger choices of spools better it. Every choice that still beats
//! it and is not shorter than the sum of the cuts is then tried in order of the
//! two aims, each by an exact search that fills one spool at a time (`pack`).
//! The first that packs is the optimum, proven when every choice before it has
//! been refuted. Effort is counted, not timed, so the same job gives the same
//! plan; a search that runs out leaves `proven` false and `length_bound` says
//! how much better a plan could be at most. In random trials every job with up
//! to five odd remnants in stock is proven; with twenty the plan stays within
//! some 2 % of the bound.
//!
//! Slack and end allowance belong in the cuts before they come here.

mod pack;
mod scrap;
mod spools;

pub use scrap::with_least_scrap;

use std::collections::BTreeMap;

use units::Metres;

use units::guard::positive;

/// Spools of one kind and length in stock.
#[derive(Clone, Debug, PartialEq)]
pub struct Spool {
    /// Kind of cable; cuts are taken from spools of the same kind.
    pub kind: String,
    /// Length on the spool.
    pub length: Metres,
    /// How many there are; `None` when more can be had.
    pub available: Option<usize>,
}

/// A cable to cut.
#[derive(Clone, Debug, PartialEq)]
pub struct Cut {
    /// Kind of cable.
    pub kind: String,
    /// Length with slack and ends.
    pub length: Metres,
}

/// One spool that is opened.
#[derive(Clone, Debug, PartialEq)]
pub struct OpenedSpool {
    /// Index into the spools given.
    pub spool: usize,
    /// Indices into the cuts given, longest first.
    pub cuts: Vec<usize>,
    /// What stays on the spool.
    pub left: Metres,
}

/// Which cuts come from which spools.
#[derive(Clone, Debug, PartialEq)]
pub struct CutPlan {
    /// Spools opened, by kind, then longest first.
    pub opened: Vec<OpenedSpool>,
    /// Total length of spools opened.
    pub length_opened: Metres,
    /// No plan opens less than this.
    pub length_bound: Metres,
    /// Whether both aims are proven to be met.
    pub proven: bool,
}

/// Why no plan can be made.
#[derive(Clone, Debug, PartialEq)]
pub enum CutError {
    /// A spool's length is not above zero, or longer than 100 km.
    SpoolLength {
        /// Index of the spool.
        spool: usize,
    },
    /// A cut's length is not above zero, or longer than 100 km.
    CutLength {
        /// Index of the cut.
        cut: usize,
    },
    /// No spool in stock is long enough for this cut.
    TooLong {
        /// Index of the cut.
        cut: usize,
    },
    /// The spools of this kind do not hold all its cuts.
    NotEnough {
        /// Kind of cable.
        kind: String,
    },
    /// The spools of this kind may hold its cuts, but the search ended before it knew.
    Undecided {
        /// Kind of cable.
        kind: String,
    },
}

impl std::fmt::Display for CutError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::SpoolLength { spool } => {
                write!(f, "the length of spool {spool} is not between 0 and 100 km")
            }
            Self::CutLength { cut } => {
                write!(f, "the length of cut {cut} is not between 0 and 100 km")
            }
            Self::TooLong { cut } => write!(f, "no spool in stock is long enough for cut {cut}"),
            Self::NotEnough { kind } => {
                write!(f, "the spools of {kind} in stock do not hold all its cuts")
            }
            Self::Undecided { kind } => {
                write!(
                    f,
                    "no plan found for {kind}: the spools in stock are nearly all used, add one"
                )
            }
        }
    }
}

impl std::error::Error for CutError {}

const UNITS_PER_METRE: f64 = 1e4;
/// A part of a unit that is taken for rounding of the input, not for length.
const ROUNDING_UNITS: f64 = 1e-4;
const LONGEST_M: f64 = 1e5;

fn units_of(length: Metres, round: fn(f64) -> f64, nudge: f64) -> Option<u64> {
    let m = positive(length.0).filter(|m| *m <= LONGEST_M)?;
    let units = round(m * UNITS_PER_METRE + nudge);
    (units >= 1.0).then_some(units as u64)
}

/// A length in units and the index of the spool or cut that has it.
type Indexed = (u64, usize);

/// A plan for all cuts, kind by kind.
pub fn plan(spools: &[Spool], cuts: &[Cut]) -> Result<CutPlan, CutError> {
    let mut kinds: BTreeMap<&str, (Vec<Indexed>, Vec<Indexed>)> = BTreeMap::new();
    for (i, spool) in spools.iter().enumerate() {
        let units = units_of(spool.length, f64::floor, ROUNDING_UNITS);
        let units = units.ok_or(CutError::SpoolLength { spool: i })?;
        kinds.entry(&spool.kind).or_default().0.push((units, i));
    }
    for (i, cut) in cuts.iter().enumerate() {
        let units = units_of(cut.length, f64::ceil, -ROUNDING_UNITS);
        let units = units.ok_or(CutError::CutLength { cut: i })?;
        kinds.entry(&cut.kind).or_default().1.push((units, i));
    }
    let mut plan = CutPlan {
        opened: Vec::new(),
        length_opened: Metres(0.0),
        length_bound: Metres(0.0),
        proven: true,
    };
    for (kind, (stock, pieces)) in kinds {
        if !pieces.is_empty() {
            plan_kind(kind, stock, pieces, spools, &mut plan)?;
        }
    }
    Ok(plan)
}

fn plan_kind(
    kind: &str,
    mut stock: Vec<Indexed>,
    mut pieces: Vec<Indexed>,
    spools: &[Spool],
    plan: &mut CutPlan,
) -> Result<(), CutError> {
    stock.sort_by(|a, b| b.0.cmp(&a.0).then(a.1.cmp(&b.1)));
    pieces.sort_by(|a, b| b.0.cmp(&a.0).then(a.1.cmp(&b.1)));
    let in_stock = |index: usize| {
        spools[index]
            .available
            .unwrap_or(pieces.len())
            .min(pieces.len())
    };
    let longest = stock
        .iter()
        .find(|(_, index)| in_stock(*index) > 0)
        .map_or(0, |spool| spool.0);
    if pieces[0].0 > longest {
        return Err(CutError::TooLong { cut: pieces[0].1 });
    }
    // Spools of one length are alike to the search, whichever entry they stand in.
    let mut counts: BTreeMap<u64, usize> = BTreeMap::new();
    for (length, index) in &stock {
        *counts.entry(*length).or_default() += in_stock(*index);
    }
    let lengths: Vec<spools::Stock> = counts
        .iter()
        .rev()
        .map(|(length, count)| spools::Stock {
            length: *length,
            count: (*count).min(pieces.len()),
        })
        .collect();
    let sizes: Vec<u64> = pieces.iter().map(|piece| piece.0).collect();
    let found = match spools::best(&lengths, &sizes) {
        spools::Search::Found(found) => found,
        spools::Search::Impossible => {
            return Err(CutError::NotEnough {
                kind: kind.to_string(),
            });
        }
        spools::Search::Undecided => {
            return Err(CutError::Undecided {
                kind: kind.to_string(),
            });
        }
    };

    // Hand the packed sizes back to the cuts and spools they came from.
    let mut cuts_of_size: BTreeMap<u64, Vec<usize>> = BTreeMap::new();
    for (size, index) in pieces.iter().rev() {
        cuts_of_size.entry(*size).or_default().push(*index);
    }
    let mut spools_of_length: BTreeMap<u64, Vec<usize>> = BTreeMap::new();
    for (length, index) in stock.iter().rev() {
        let of_length = spools_of_length.entry(*length).or_default();
        of_length.extend(std::iter::repeat_n(*index, in_stock(*index)));
    }
    let mut bins = found.bins;
    bins.sort_by(|a, b| b.length.cmp(&a.length).then_with(|| b.sizes.cmp(&a.sizes)));
    for bin in bins {
        let spool = spools_of_length.get_mut(&bin.length).and_then(Vec::pop);
        let spool = spool.expect("the search opens no more spools than there are");
        let cuts = bin.sizes.iter().map(|size| {
            let cut = cuts_of_size.get_mut(size).and_then(Vec::pop);
            cut.expect("the search packs no more cuts than there are")
        });
        let cuts = cuts.collect();
        let used: u64 = bin.sizes.iter().sum();
        let left = Metres((bin.length - used) as f64 / UNITS_PER_METRE);
        plan.opened.push(OpenedSpool { spool, cuts, left });
        plan.length_opened = plan.length_opened + Metres(bin.length as f64 / UNITS_PER_METRE);
    }
    plan.length_bound = plan.length_bound + Metres(found.bound as f64 / UNITS_PER_METRE);
    plan.proven &= found.proven;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use units::table::{number, rows};

    const FOOT_M: f64 = 0.3048;

    fn spool(feet: f64, available: Option<usize>) -> Spool {
        Spool {
            kind: "16/2".into(),
            length: Metres(feet * FOOT_M),
            available,
        }
    }

    fn cut(feet: f64) -> Cut {
        Cut {
            kind: "16/2".into(),
            length: Metres(feet * FOOT_M),
        }
    }

    fn assert_sound(plan: &CutPlan, spools: &[Spool], cuts: &[Cut]) {
        let mut seen = vec![0; cuts.len()];
        let mut opened = vec![0; spools.len()];
        for bin in &plan.opened {
            opened[bin.spool] += 1;
            let mut used = 0.0;
            for index in &bin.cuts {
                seen[*index] += 1;
                used += cuts[*index].length.0;
                assert_eq!(cuts[*index].kind, spools[bin.spool].kind);
            }
            assert!(used <= spools[bin.spool].length.0 + 1e-6);
            assert!((spools[bin.spool].length.0 - used - bin.left.0).abs() < 1e-2);
        }
        assert!(seen.iter().all(|count| *count == 1));
        for (spool, count) in spools.iter().zip(opened) {
            assert!(spool.available.is_none_or(|available| count <= available));
        }
    }

    #[test]
    fn published_instances_reach_their_optimum() {
        let mut seen = 0;
        for row in rows(include_str!("cutting-stock.csv")) {
            let spools: Vec<Spool> = row[1]
                .split_whitespace()
                .map(|entry| {
                    let (feet, count) = entry.split_once('x').unwrap();
                    spool(number(feet), count.parse().ok())
                })
                .collect();
            let cuts: Vec<Cut> = row[3]
                .split_whitespace()
                .map(|feet| cut(number(feet)))
                .collect();
            assert_eq!(cuts.len(), row[2].parse::<usize>().unwrap(), "{}", row[0]);
            let plan = plan(&spools, &cuts).unwrap();
            assert_sound(&plan, &spools, &cuts);
            let feet = plan.length_opened.0 / FOOT_M;
            assert!(
                (feet - number(row[5])).abs() < 1e-3,
                "{}: {feet} ft",
                row[0]
            );
            assert_eq!(
                plan.opened.len(),
                row[6].parse::<usize>().unwrap(),
                "{}",
                row[0]
            );
            assert!(plan.proven, "{}", row[0]);
            seen += 1;
        }
        assert_eq!(seen, 8);
    }

    #[test]
    fn a_hundred_random_sets_are_never_worse_than_the_solver() {
        let mut seen = 0;
        for row in rows(include_str!("cut/random-cuts.csv")) {
            let spools: Vec<Spool> = (row[1].split_whitespace())
                .map(|entry| {
                    let (length, count) = entry.split_once('x').unwrap();
                    spool(length.parse().unwrap(), Some(count.parse().unwrap()))
                })
                .collect();
            let cuts: Vec<Cut> = (row[2].split_whitespace())
                .map(|length| cut(length.parse().unwrap()))
                .collect();
            let plan = plan(&spools, &cuts).unwrap();
            assert_sound(&plan, &spools, &cuts);
            let opened_ft = plan.length_opened.0 / 0.3048;
            let solver_ft: f64 = row[3].parse().unwrap();
            // The solver's answer is proven least in all but one set; spools are rounded down
            // and cuts up by a tenth of a millimetre.
            assert!(
                opened_ft <= solver_ft + 0.01,
                "{}: {opened_ft} {solver_ft}",
                row[0]
            );
            if row[4] == "True" {
                assert!(
                    opened_ft >= solver_ft - 0.01,
                    "{}: {opened_ft} {solver_ft}",
                    row[0]
                );
            }
            seen += 1;
        }
        assert_eq!(seen, 100);
    }

    #[test]
    fn kinds_do_not_mix() {
        let spools = [
            spool(500.0, Some(1)),
            Spool {
                kind: "cat 6".into(),
                ..spool(1000.0, None)
            },
        ];
        let cuts = [
            cut(100.0),
            Cut {
                kind: "cat 6".into(),
                ..cut(200.0)
            },
        ];
        let plan = plan(&spools, &cuts).unwrap();
        assert_sound(&plan, &spools, &cuts);
        assert_eq!(plan.opened.len(), 2);
    }

    #[test]
    fn remnants_are_used_before_a_whole_spool() {
        let spools = [
            spool(500.0, None),
            spool(62.0, Some(1)),
            spool(48.0, Some(1)),
        ];
        let cuts = [cut(60.0), cut(30.0), cut(15.0)];
        let plan = plan(&spools, &cuts).unwrap();
        assert!((plan.length_opened.0 / FOOT_M - 110.0).abs() < 1e-3);
        assert!(plan.proven);
    }

    #[test]
    fn errors_name_the_entry() {
        let stock = [spool(100.0, Some(1))];
        assert_eq!(
            plan(&stock, &[cut(101.0)]),
            Err(CutError::TooLong { cut: 0 })
        );
        let two = [cut(60.0), cut(60.0)];
        assert_eq!(
            plan(&stock, &two),
            Err(CutError::NotEnough {
                kind: "16/2".into()
            })
        );
        assert_eq!(
            plan(&stock, &[cut(f64::NAN)]),
            Err(CutError::CutLength { cut: 0 })
        );
        assert_eq!(
            plan(&[spool(-5.0, None)], &[]),
            Err(CutError::SpoolLength { spool: 0 })
        );
        assert_eq!(plan(&[], &[cut(1.0)]), Err(CutError::TooLong { cut: 0 }));
        assert_eq!(
            plan(&[spool(9.0, Some(0))], &[cut(1.0)]),
            Err(CutError::TooLong { cut: 0 })
        );
        assert!(plan(&stock, &[]).unwrap().opened.is_empty());
    }
}
