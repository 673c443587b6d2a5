//! Which choice of spools is the best that packs?

use super::pack::{Bin, Packing, first_fit, pack, pack_quickly};

/// Spools of one length.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stock {
    pub length: u64,
    pub count: usize,
}

/// A packing with what is known about better ones.
pub(super) struct Found {
    pub bins: Vec<Bin>,
    pub bound: u64,
    pub proven: bool,
}

/// What the search came to.
pub(super) enum Search {
    Found(Found),
    Impossible,
    Undecided,
}

/// Choices of spools listed before the list counts as too long.
const CHOICES_MAX: usize = 100_000;
/// Patterns tried over all choices, a second or so.
const EFFORT_MAX: usize = 500_000;
/// Patterns tried for one choice, so that a stubborn one leaves some for the next.
const EFFORT_PER_CHOICE_MAX: usize = 20_000;

/// Total length, then number of spools, then how many of each length.
type Choice = (u64, usize, Vec<usize>);

/// The best packing of `sizes` (descending) into spools of `stock` (descending by length).
pub(super) fn best(stock: &[Stock], sizes: &[u64]) -> Search {
    let sum: u64 = sizes.iter().sum();
    let start = greedy(stock, sizes);
    let ceiling = start.as_ref().map(|bins| (total(bins), bins.len()));

    let mut list = List {
        stock,
        sum,
        ceiling,
        choices: Vec::new(),
        whole: true,
    };
    list.extend(&mut Vec::new(), 0, 0);
    let List {
        mut choices, whole, ..
    } = list;
    choices.sort();

    let bins_of = |counts: &[usize]| -> Vec<u64> {
        let spools = stock.iter().zip(counts);
        spools
            .flat_map(|(spool, count)| std::iter::repeat_n(spool.length, *count))
            .collect()
    };
    // Whether a quick packing works hardly ever turns back to no as the choices grow, so halving
    // finds a good plan early; choices beyond it need no search.
    let mut quick = start;
    let (mut low, mut high) = (0, choices.len());
    while low < high {
        let middle = low + (high - low) / 2;
        match pack_quickly(&bins_of(&choices[middle].2), sizes) {
            Some(bins) => {
                quick = Some(bins);
                high = middle;
            }
            None => low = middle + 1,
        }
    }
    choices.truncate(high);

    let mut effort = EFFORT_MAX;
    let mut doubted: Option<u64> = (!whole).then_some(sum);
    for (total, _, counts) in choices {
        if effort == 0 {
            doubted = Some(doubted.unwrap_or(total));
            break;
        }
        let share = effort.min(EFFORT_PER_CHOICE_MAX);
        let mut left = share;
        let packing = pack(&bins_of(&counts), sizes, &mut left);
        effort -= share - left;
        match packing {
            Packing::Found(bins) => {
                let (bound, proven) = (doubted.unwrap_or(total), doubted.is_none());
                return Search::Found(Found {
                    bins,
                    bound,
                    proven,
                });
            }
            Packing::Impossible => {}
            Packing::Unknown => doubted = Some(doubted.unwrap_or(total)),
        }
    }
    match (quick, doubted) {
        (Some(bins), _) => {
            let bound = doubted.unwrap_or(total(&bins));
            Search::Found(Found {
                bins,
                bound,
                proven: doubted.is_none(),
            })
        }
        (None, None) => Search::Impossible,
        (None, Some(_)) => Search::Undecided,
    }
}

fn total(bins: &[Bin]) -> u64 {
    bins.iter().map(|bin| bin.length).sum()
}

/// Choices of spools that hold the sum and beat the ceiling.
struct List<'a> {
    stock: &'a [Stock],
    sum: u64,
    ceiling: Option<(u64, usize)>,
    choices: Vec<Choice>,
    whole: bool,
}

impl List<'_> {
    fn extend(&mut self, counts: &mut Vec<usize>, total: u64, spools: usize) {
        if !self.whole {
            return;
        }
        if self
            .ceiling
            .is_some_and(|(length, count)| (total, spools) >= (length, count))
        {
            return;
        }
        let Some(next) = self.stock.get(counts.len()).copied() else {
            if total >= self.sum {
                if self.choices.len() == CHOICES_MAX {
                    self.whole = false;
                    return;
                }
                self.choices.push((total, spools, counts.clone()));
            }
            return;
        };
        // Spools after this one can add only so much: skip counts that can't reach the sum.
        let later: u64 = self.stock[counts.len() + 1..]
            .iter()
            .map(|s| s.length * s.count as u64)
            .sum();
        for count in 0..=next.count {
            let with = total + next.length * count as u64;
            if with + later < self.sum {
                continue;
            }
            counts.push(count);
            self.extend(counts, with, spools + count);
            counts.pop();
        }
    }
}

/// Which spool of the stock left to open for a piece, given the sum of all pieces left.
type Rule = fn(&[Stock], u64, u64) -> Option<usize>;

fn longest(left: &[Stock], size: u64, _: u64) -> Option<usize> {
    left.iter()
        .position(|spool| spool.count > 0 && spool.length >= size)
}

fn shortest(left: &[Stock], size: u64, _: u64) -> Option<usize> {
    left.iter()
        .rposition(|spool| spool.count > 0 && spool.length >= size)
}

/// The shortest spool that ends the job, else the longest.
fn finishing(left: &[Stock], size: u64, rest: u64) -> Option<usize> {
    shortest(left, rest, rest).or_else(|| longest(left, size, rest))
}

/// The best of a few first-fit-decreasing packings that open spools by different rules.
fn greedy(stock: &[Stock], sizes: &[u64]) -> Option<Vec<Bin>> {
    let rules: [Rule; 3] = [longest, shortest, finishing];
    let packings = rules
        .iter()
        .filter_map(|rule| open_and_fit(stock, sizes, *rule));
    packings.min_by_key(|bins| (total(bins), bins.len()))
}

fn open_and_fit(stock: &[Stock], sizes: &[u64], rule: Rule) -> Option<Vec<Bin>> {
    let mut left = stock.to_vec();
    let mut bins: Vec<Bin> = Vec::new();
    let mut rest: u64 = sizes.iter().sum();
    for size in sizes {
        if !first_fit(&mut bins, *size) {
            let open = rule(&left, *size, rest)?;
            left[open].count -= 1;
            bins.push(Bin {
                length: left[open].length,
                sizes: vec![*size],
            });
        }
        rest -= size;
    }
    // A spool may turn out longer than it need be.
    for bin in &mut bins {
        let used: u64 = bin.sizes.iter().sum();
        let fits = left
            .iter()
            .rposition(|spool| spool.count > 0 && spool.length >= used);
        if let Some(smaller) = fits.filter(|smaller| left[*smaller].length < bin.length) {
            let freed = left.iter().position(|spool| spool.length == bin.length);
            if let Some(freed) = freed {
                left[freed].count += 1;
            }
            left[smaller].count -= 1;
            bin.length = left[smaller].length;
        }
    }
    Some(bins)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Least (total, spools) by trying every assignment of every piece: the slow truth.
    fn by_force(stock: &[Stock], sizes: &[u64]) -> Option<(u64, usize)> {
        let bins: Vec<u64> = stock
            .iter()
            .flat_map(|s| std::iter::repeat_n(s.length, s.count))
            .collect();
        fn place(bins: &[u64], room: &mut [u64], sizes: &[u64], best: &mut Option<(u64, usize)>) {
            let Some((size, rest)) = sizes.split_first() else {
                let used = bins
                    .iter()
                    .zip(room.iter())
                    .filter(|(length, room)| length != room);
                let key = used.fold((0, 0), |sum, (length, _)| (sum.0 + length, sum.1 + 1));
                *best = Some(best.map_or(key, |best| best.min(key)));
                return;
            };
            for i in 0..bins.len() {
                if room[i] >= *size {
                    room[i] -= size;
                    place(bins, room, rest, best);
                    room[i] += size;
                }
            }
        }
        let mut best = None;
        place(&bins, &mut bins.clone(), sizes, &mut best);
        best
    }

    #[test]
    fn agrees_with_trying_everything() {
        // A fixed linear congruential sequence: the same cases on every machine.
        let mut state = 12345_u64;
        let mut next = |below: u64| {
            state = state
                .wrapping_mul(6364136223846793005)
                .wrapping_add(1442695040888963407);
            (state >> 33) % below
        };
        for case in 0..300 {
            let mut lengths: Vec<u64> = (0..1 + next(3)).map(|_| 20 + next(40)).collect();
            lengths.sort_by(|a, b| b.cmp(a));
            lengths.dedup();
            let stock: Vec<Stock> = lengths
                .iter()
                .map(|length| Stock {
                    length: *length,
                    count: 1 + next(2) as usize,
                })
                .collect();
            let mut sizes: Vec<u64> = (0..1 + next(6)).map(|_| 4 + next(26)).collect();
            sizes.sort_by(|a, b| b.cmp(a));
            let truth = by_force(&stock, &sizes);
            match best(&stock, &sizes) {
                Search::Found(found) => {
                    let key = (total(&found.bins), found.bins.len());
                    assert_eq!(Some(key), truth, "case {case}: {stock:?} {sizes:?}");
                    assert!(found.proven && found.bound == key.0, "case {case}");
                }
                Search::Impossible => assert_eq!(truth, None, "case {case}: {stock:?} {sizes:?}"),
                Search::Undecided => panic!("case {case} undecided"),
            }
        }
    }
}
