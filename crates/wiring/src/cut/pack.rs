//! Do these pieces fit into these spools?
//!
//! Spool-by-spool search (bin completion; Korf, AAAI 2002, from memory): the longest piece left
//! must lie somewhere, so each spool length is tried for it with every maximal
//! set of other pieces beside it, least waste first. Only maximal sets are
//! tried, because a piece that still fits can be moved in from another spool
//! without harm. A state that has failed is kept and not tried again.

use std::collections::BTreeSet;

/// One spool and the sizes cut from it, longest first.
#[derive(Clone, Debug)]
pub(super) struct Bin {
    pub length: u64,
    pub sizes: Vec<u64>,
}

/// What the search came to.
pub(super) enum Packing {
    Found(Vec<Bin>),
    Impossible,
    Unknown,
}

/// Patterns kept for one spool in one state; more than this and the search is no proof.
const PATTERNS_MAX: usize = 5_000;

/// Puts a size into the first bin with room; false when there is none.
pub(super) fn first_fit(bins: &mut [Bin], size: u64) -> bool {
    let roomy = bins
        .iter_mut()
        .find(|bin| bin.sizes.iter().sum::<u64>() + size <= bin.length);
    roomy.map(|bin| bin.sizes.push(size)).is_some()
}

/// Packs all `sizes` (descending) into `bins` or shows that it can't be done; takes what it
/// spends from `effort` and answers `Unknown` when that runs out.
pub(super) fn pack(bins: &[u64], sizes: &[u64], effort: &mut usize) -> Packing {
    let room: u64 = bins.iter().sum();
    let sum: u64 = sizes.iter().sum();
    if room < sum {
        return Packing::Impossible;
    }
    let mut search = Search {
        sizes: counted(sizes.iter().copied()),
        bins: counted(bins.iter().copied()),
        failed: BTreeSet::new(),
        effort,
        whole: true,
    };
    let mut packed = Vec::new();
    if search.fill(room - sum, &mut packed) {
        return Packing::Found(packed);
    }
    if search.whole {
        Packing::Impossible
    } else {
        Packing::Unknown
    }
}

/// Packs all `sizes` (descending) into `bins` by first fit or spool by spool; `None` proves nothing.
pub(super) fn pack_quickly(bins: &[u64], sizes: &[u64]) -> Option<Vec<Bin>> {
    let room: u64 = bins.iter().sum();
    let waste = room.checked_sub(sizes.iter().sum())?;
    if let Some(found) = first_fit_packing(bins, sizes) {
        return Some(found);
    }
    // A fair share of the waste on each spool leaves small pieces for the last spools, where
    // least waste first would have used them up. Which share does it depends on the pieces.
    let share = waste as f64 / bins.len() as f64;
    let factors = [0.0, 0.25, 0.5, 0.75, 1.0, 1.25, 1.5, 2.0, 3.0];
    factors
        .iter()
        .find_map(|factor| fill_in_turn(bins, sizes, (share * factor) as u64))
}

fn first_fit_packing(bins: &[u64], sizes: &[u64]) -> Option<Vec<Bin>> {
    let empty = |length: &u64| Bin {
        length: *length,
        sizes: Vec::new(),
    };
    let mut packed: Vec<Bin> = bins.iter().rev().map(empty).collect();
    sizes
        .iter()
        .all(|size| first_fit(&mut packed, *size))
        .then_some(())?;
    packed.retain(|bin| !bin.sizes.is_empty());
    Some(packed)
}

/// Fills spool by spool, longest pieces first, with the first set that wastes at most `allowed`,
/// or else the set that wastes least.
fn fill_in_turn(bins: &[u64], sizes: &[u64], allowed: u64) -> Option<Vec<Bin>> {
    let mut left = counted(sizes.iter().copied());
    let mut packed = Vec::new();
    for length in bins {
        let Some(first) = left.iter().position(|size| size.1 > 0 && size.0 <= *length) else {
            continue;
        };
        let mut filling = Filling {
            sizes: &left,
            allowed,
            best: (u64::MAX, Vec::new()),
            steps: FILLING_STEPS_MAX,
        };
        let mut counts = vec![0; left.len()];
        counts[first] = 1;
        filling.extend(first, length - left[first].0, &mut counts);
        let counts = filling.best.1;
        let on_it = left.iter().zip(&counts);
        let sizes = on_it
            .flat_map(|(size, count)| std::iter::repeat_n(size.0, *count))
            .collect();
        packed.push(Bin {
            length: *length,
            sizes,
        });
        for (size, count) in left.iter_mut().zip(counts) {
            size.1 -= count;
        }
    }
    left.iter().all(|size| size.1 == 0).then_some(packed)
}

/// Sets looked at for one spool before the best so far is taken.
const FILLING_STEPS_MAX: usize = 20_000;

struct Filling<'a> {
    sizes: &'a [(u64, usize)],
    allowed: u64,
    /// Waste and set.
    best: (u64, Vec<usize>),
    steps: usize,
}

impl Filling<'_> {
    /// True once a set is good enough or the steps are spent.
    fn extend(&mut self, at: usize, room: u64, counts: &mut Vec<usize>) -> bool {
        if room < self.best.0 {
            self.best = (room, counts.clone());
        }
        if room <= self.allowed || self.steps == 0 {
            return true;
        }
        self.steps -= 1;
        for next in at..self.sizes.len() {
            let (size, count) = self.sizes[next];
            if counts[next] == count || size > room {
                continue;
            }
            counts[next] += 1;
            let done = self.extend(next, room - size, counts);
            counts[next] -= 1;
            if done {
                return true;
            }
        }
        false
    }
}

/// Distinct values, descending, with how often each occurs.
fn counted(values: impl Iterator<Item = u64>) -> Vec<(u64, usize)> {
    let mut sorted: Vec<u64> = values.collect();
    sorted.sort_by(|a, b| b.cmp(a));
    let mut counts: Vec<(u64, usize)> = Vec::new();
    for value in sorted {
        match counts.last_mut() {
            Some(last) if last.0 == value => last.1 += 1,
            _ => counts.push((value, 1)),
        }
    }
    counts
}

struct Search<'a> {
    sizes: Vec<(u64, usize)>,
    bins: Vec<(u64, usize)>,
    failed: BTreeSet<(Vec<usize>, Vec<usize>)>,
    effort: &'a mut usize,
    /// False once anything has been left untried.
    whole: bool,
}

/// How many of each size lie on one spool, and what they leave of it.
struct Pattern {
    waste: u64,
    counts: Vec<usize>,
}

impl Search<'_> {
    fn fill(&mut self, slack: u64, packed: &mut Vec<Bin>) -> bool {
        let Some(first) = self.sizes.iter().position(|size| size.1 > 0) else {
            return true;
        };
        let counts = |of: &[(u64, usize)]| of.iter().map(|entry| entry.1).collect::<Vec<usize>>();
        let state = (counts(&self.sizes), counts(&self.bins));
        if self.failed.contains(&state) {
            return false;
        }
        for bin in (0..self.bins.len()).rev() {
            let (length, left) = self.bins[bin];
            if left == 0 || length < self.sizes[first].0 {
                continue;
            }
            for pattern in self.patterns(first, length, slack) {
                if *self.effort == 0 {
                    self.whole = false;
                    return false;
                }
                *self.effort -= 1;
                self.bins[bin].1 -= 1;
                for (size, count) in self.sizes.iter_mut().zip(&pattern.counts) {
                    size.1 -= count;
                }
                let done = self.fill(slack - pattern.waste, packed);
                self.bins[bin].1 += 1;
                for (size, count) in self.sizes.iter_mut().zip(&pattern.counts) {
                    size.1 += count;
                }
                if done {
                    let on_it = self.sizes.iter().zip(&pattern.counts);
                    let sizes = on_it.flat_map(|(size, count)| std::iter::repeat_n(size.0, *count));
                    packed.push(Bin {
                        length,
                        sizes: sizes.collect(),
                    });
                    return true;
                }
            }
        }
        if self.whole {
            self.failed.insert(state);
        }
        false
    }

    /// Maximal patterns with the piece at `first` on a spool of this length, least waste first.
    fn patterns(&mut self, first: usize, length: u64, slack: u64) -> Vec<Pattern> {
        let mut found = Vec::new();
        let mut counts = vec![0; self.sizes.len()];
        counts[first] = 1;
        // Sum of all sizes from each place on: what a spool can still gain.
        let mut tail = vec![0; self.sizes.len() + 1];
        for i in (0..self.sizes.len()).rev() {
            let spare = self.sizes[i].1 - usize::from(i == first);
            tail[i] = tail[i + 1] + self.sizes[i].0 * spare as u64;
        }
        let listing = Listing {
            sizes: &self.sizes,
            tail: &tail,
            first,
            slack,
        };
        let mut steps = PATTERNS_MAX * 20;
        let room = length - self.sizes[first].0;
        let whole = listing.extend(first, room, &mut counts, &mut found, &mut steps);
        self.whole &= whole;
        // Listing costs too: without this a state with many patterns would be free.
        *self.effort = self.effort.saturating_sub((PATTERNS_MAX * 20 - steps) / 50);
        found.sort_by(|a, b| a.waste.cmp(&b.waste).then_with(|| b.counts.cmp(&a.counts)));
        found
    }
}

struct Listing<'a> {
    sizes: &'a [(u64, usize)],
    tail: &'a [u64],
    first: usize,
    slack: u64,
}

impl Listing<'_> {
    /// False when the list had to be cut short.
    fn extend(
        &self,
        at: usize,
        room: u64,
        counts: &mut Vec<usize>,
        found: &mut Vec<Pattern>,
        steps: &mut usize,
    ) -> bool {
        if *steps == 0 {
            return false;
        }
        *steps -= 1;
        // Even all that is left would waste more than there is to waste.
        if room > self.slack + self.tail[at] {
            return true;
        }
        let Some(size) = self.sizes.get(at) else {
            let spare = |i: usize| self.sizes[i].1 > counts[i];
            let fits = (self.first..self.sizes.len()).any(|i| spare(i) && self.sizes[i].0 <= room);
            if !fits {
                if found.len() == PATTERNS_MAX {
                    return false;
                }
                found.push(Pattern {
                    waste: room,
                    counts: counts.clone(),
                });
            }
            return true;
        };
        let spare = size.1 - usize::from(at == self.first);
        let most = spare.min((room / size.0) as usize);
        for count in (0..=most).rev() {
            counts[at] += count;
            let whole = self.extend(at + 1, room - size.0 * count as u64, counts, found, steps);
            counts[at] -= count;
            if !whole {
                return false;
            }
        }
        true
    }
}
