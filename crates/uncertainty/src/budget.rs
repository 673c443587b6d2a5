//! What each source contributes, sorted by source.

use std::fmt;
use std::ops::Deref;
use std::sync::Arc;

use smallvec::SmallVec;

use crate::{SourceId, Uncertain};

/// `u_i(y)` of each source, signed, in the value's own unit, sorted by source. Copies share
/// it: a point of a room is handed on far more often than it is computed with.
#[derive(Clone, Default)]
pub(crate) struct Budget(Option<Arc<[(SourceId, f64)]>>);

impl Budget {
    pub const EMPTY: Self = Self(None);

    /// Every share times a factor.
    pub fn weighted(&self, factor: f64) -> Self {
        if factor == 0.0 || self.is_empty() {
            return Self::EMPTY;
        }
        self.iter().map(|(id, u)| (*id, factor * u)).collect()
    }

    /// As [`Budget::weighted`], where it stands if nobody shares it.
    pub fn into_weighted(mut self, factor: f64) -> Self {
        if factor == 0.0 {
            return Self::EMPTY;
        }
        match self.0.as_mut().and_then(Arc::get_mut) {
            Some(own) => {
                own.iter_mut().for_each(|(_, u)| *u *= factor);
                self
            }
            None => self.weighted(factor),
        }
    }

    /// `a · left + b · right`.
    pub fn sum(a: f64, left: &Self, b: f64, right: &Self) -> Self {
        // Numbers of one room mostly rest on the same walls.
        if have_same_sources(left, right) {
            let both = left.iter().zip(right.iter());
            return both.map(|((id, u), (_, v))| (*id, a * u + b * v)).collect();
        }
        let mut sum = Shares::new();
        merge(left, right, |id, u, v| sum.push((id, a * u + b * v)));
        budget_of(&sum)
    }
}

impl Deref for Budget {
    type Target = [(SourceId, f64)];

    fn deref(&self) -> &Self::Target {
        self.0.as_deref().unwrap_or_default()
    }
}

impl fmt::Debug for Budget {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        (**self).fmt(out)
    }
}

impl PartialEq for Budget {
    fn eq(&self, other: &Self) -> bool {
        match (&self.0, &other.0) {
            // A share is never NaN where its value is a number.
            (Some(one), Some(other)) => Arc::ptr_eq(one, other) || one == other,
            _ => self.is_empty() && other.is_empty(),
        }
    }
}

impl FromIterator<(SourceId, f64)> for Budget {
    fn from_iter<I: IntoIterator<Item = (SourceId, f64)>>(shares: I) -> Self {
        let shares: Arc<[_]> = shares.into_iter().collect();
        Self((!shares.is_empty()).then_some(shares))
    }
}

fn have_same_sources(left: &[(SourceId, f64)], right: &[(SourceId, f64)]) -> bool {
    left.len() == right.len() && left.iter().zip(right).all(|((a, _), (b, _))| a == b)
}

/// A budget while it is being added up: up to so many sources without asking for memory.
type Shares = SmallVec<[(SourceId, f64); 32]>;

fn budget_of(shares: &Shares) -> Budget {
    Budget((!shares.is_empty()).then(|| Arc::from(shares.as_slice())))
}

/// With more parts than this, adding all shares at once is faster than merging in turn.
const MANY: usize = 40;

/// The budget of `Σ weight · part`.
pub(crate) fn combined(parts: &[(f64, &Uncertain)]) -> Budget {
    if parts.len() > MANY {
        return sorted_sum(parts);
    }
    // Two buffers take turns.
    let (mut one, mut other) = (Shares::new(), Shares::new());
    let (mut budget, mut sum) = (&mut one, &mut other);
    for (weight, part) in parts {
        if *weight == 0.0 || part.budget.is_empty() {
            continue;
        }
        sum.clear();
        if budget.is_empty() {
            (part.budget.iter()).for_each(|(id, u)| sum.push((*id, weight * u)));
        } else if have_same_sources(budget, &part.budget) {
            let both = budget.iter_mut().zip(part.budget.iter());
            both.for_each(|((_, a), (_, b))| *a += weight * b);
            continue;
        } else {
            merge(budget, &part.budget, |id, a, b| {
                sum.push((id, a + weight * b))
            });
        }
        std::mem::swap(&mut budget, &mut sum);
    }
    budget_of(budget)
}

/// As merging in turn does: the shares of each source are added in the order of the parts.
fn sorted_sum(parts: &[(f64, &Uncertain)]) -> Budget {
    let shares = || {
        (parts.iter())
            .filter(|(weight, _)| *weight != 0.0)
            .flat_map(|(weight, part)| part.budget.iter().map(move |(id, u)| (*id, weight * u)))
    };
    // Sources are numbered from nought and from the half of all numbers.
    let half = |SourceId(id): SourceId| ((id >> 31) as usize, (id & (u32::MAX >> 1)) as usize);
    let (mut ends, mut count) = ([0, 0], 0);
    for (id, _) in shares() {
        let (half, at) = half(id);
        ends[half] = ends[half].max(at + 1);
        count += 1;
    }
    if ends[0] + ends[1] > ROOMY * count {
        return sum_by_sorting(shares().collect());
    }
    let mut sums = ends.map(|end| vec![None; end]);
    for (id, u) in shares() {
        let (half, at) = half(id);
        let sum = &mut sums[half][at];
        *sum = Some(sum.map_or(u, |sum: f64| sum + u));
    }
    let of_half = |(half, sums): (usize, Vec<Option<f64>>)| {
        let id = move |at: usize| SourceId((half << 31 | at) as u32);
        (sums.into_iter().enumerate()).filter_map(move |(at, sum)| Some((id(at), sum?)))
    };
    let budget: Vec<_> = (sums.into_iter().enumerate()).flat_map(of_half).collect();
    budget.into_iter().collect()
}

/// A place for each source is kept while there are no more than this many for each share.
const ROOMY: usize = 8;

fn sum_by_sorting(mut shares: Vec<(SourceId, f64)>) -> Budget {
    // Stable: equal sources stay in the order of the parts.
    shares.sort_by_key(|(id, _)| *id);
    let mut budget: Vec<(SourceId, f64)> = Vec::new();
    for (id, u) in shares {
        match budget.last_mut() {
            Some((last, sum)) if *last == id => *sum += u,
            _ => budget.push((id, u)),
        }
    }
    budget.into_iter().collect()
}

/// Walks two sorted budgets together; a missing entry counts as zero.
pub(crate) fn merge(
    left: &[(SourceId, f64)],
    right: &[(SourceId, f64)],
    mut visit: impl FnMut(SourceId, f64, f64),
) {
    let (mut i, mut j) = (0, 0);
    // Without branches: whose source comes next nobody can foresee.
    let if_so = |so: bool, u: f64| f64::from_bits(u.to_bits() & 0_u64.wrapping_sub(u64::from(so)));
    while let (Some(&(a, u)), Some(&(b, v))) = (left.get(i), right.get(j)) {
        let (is_left, is_right) = (a <= b, b <= a);
        visit(a.min(b), if_so(is_left, u), if_so(is_right, v));
        i += usize::from(is_left);
        j += usize::from(is_right);
    }
    left[i..].iter().for_each(|(a, u)| visit(*a, *u, 0.0));
    right[j..].iter().for_each(|(b, v)| visit(*b, 0.0, *v));
}
