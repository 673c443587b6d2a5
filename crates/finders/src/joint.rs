//! The cheapest choice of one candidate a group, where choices of two groups may cost more
//! together: by branch and bound, so that what is found is the cheapest there is.

/// A way to fill a group: what it costs by itself, and one candidate for each of its members.
#[derive(Clone, Debug)]
pub(crate) struct Choice {
    pub cost: f64,
    /// Member and candidate.
    pub picks: Vec<(usize, usize)>,
}

/// As many partial answers are looked at before the best so far is taken.
const NODES_MAX: usize = 400_000;

/// What was found.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Cheapest {
    pub cost: f64,
    /// The choice of each group.
    pub choices: Vec<usize>,
    /// Whether nothing cheaper was left unlooked at.
    pub is_proved: bool,
}

struct Search<'a, F> {
    groups: &'a [Vec<Choice>],
    order: Vec<usize>,
    /// The least that the groups from here on cost by themselves.
    rest: Vec<f64>,
    between: F,
    nodes: usize,
    best: Option<Cheapest>,
}

/// The cheapest choices, with `between` the cost, never negative and infinite where two
/// exclude each other, of two members' candidates. Nothing where all exclude each other.
pub(crate) fn cheapest<F>(groups: &[Vec<Choice>], between: F) -> Option<Cheapest>
where
    F: Fn((usize, usize), (usize, usize)) -> f64,
{
    let least = |group: &Vec<Choice>| {
        group
            .iter()
            .map(|choice| choice.cost)
            .fold(f64::INFINITY, f64::min)
    };
    let mut order: Vec<usize> = (0..groups.len()).collect();
    order.sort_by_key(|group| groups[*group].len());
    let mut rest = vec![0.0; groups.len() + 1];
    for (at, group) in order.iter().enumerate().rev() {
        rest[at] = rest[at + 1] + least(&groups[*group]);
    }
    let mut search = Search {
        groups,
        order,
        rest,
        between,
        nodes: 0,
        best: None,
    };
    search.descend(0, 0.0, &mut Vec::new(), &mut Vec::new());
    let is_proved = search.nodes < NODES_MAX;
    search.best.map(|best| Cheapest { is_proved, ..best })
}

impl<F: Fn((usize, usize), (usize, usize)) -> f64> Search<'_, F> {
    fn descend(
        &mut self,
        depth: usize,
        cost: f64,
        picks: &mut Vec<(usize, usize)>,
        chosen: &mut Vec<usize>,
    ) {
        if self.nodes >= NODES_MAX {
            return;
        }
        self.nodes += 1;
        let bound = self.best.as_ref().map_or(f64::INFINITY, |best| best.cost);
        if cost + self.rest[depth] >= bound {
            return;
        }
        let Some(group) = self.order.get(depth).copied() else {
            let mut choices = vec![0; self.groups.len()];
            for (at, choice) in chosen.iter().enumerate() {
                choices[self.order[at]] = *choice;
            }
            self.best = Some(Cheapest {
                cost,
                choices,
                is_proved: true,
            });
            return;
        };
        let groups = self.groups;
        let mut next: Vec<(f64, usize)> = (groups[group].iter().enumerate())
            .map(|(at, choice)| {
                let pairs = choice
                    .picks
                    .iter()
                    .flat_map(|one| picks.iter().map(move |other| (*one, *other)));
                let between: f64 = pairs.map(|(one, other)| (self.between)(one, other)).sum();
                (cost + choice.cost + between, at)
            })
            .filter(|(cost, _)| cost.is_finite())
            .collect();
        next.sort_by(|a, b| a.0.total_cmp(&b.0));
        for (cost, at) in next {
            let before = picks.len();
            picks.extend(&groups[group][at].picks);
            chosen.push(at);
            self.descend(depth + 1, cost, picks, chosen);
            chosen.pop();
            picks.truncate(before);
        }
    }
}

#[cfg(test)]
mod tests {
    //! Against looking at everything.

    use rand::{Rng, SeedableRng};
    use rand_chacha::ChaCha8Rng;

    use super::*;

    /// The cheapest of all combinations.
    fn exhaustive(
        groups: &[Vec<Choice>],
        between: &dyn Fn((usize, usize), (usize, usize)) -> f64,
    ) -> Option<f64> {
        let all: usize = groups.iter().map(Vec::len).product();
        let costs = (0..all).map(|number| {
            let mut left = number;
            let mut picks: Vec<(usize, usize)> = Vec::new();
            let mut cost = 0.0;
            for group in groups {
                let choice = &group[left % group.len()];
                left /= group.len();
                for one in &choice.picks {
                    cost += picks.iter().map(|other| between(*one, *other)).sum::<f64>();
                }
                picks.extend(&choice.picks);
                cost += choice.cost;
            }
            cost
        });
        costs.filter(|cost| cost.is_finite()).min_by(f64::total_cmp)
    }

    #[test]
    fn nothing_that_exhaustive_enumeration_finds_is_cheaper() {
        let mut random = ChaCha8Rng::seed_from_u64(5);
        for _ in 0..60 {
            let members = random.random_range(3..=6);
            let groups: Vec<Vec<Choice>> = (0..members)
                .map(|member| {
                    (0..random.random_range(1..=5))
                        .map(|candidate| Choice {
                            cost: random.random_range(-5.0..20.0),
                            picks: vec![(member, candidate)],
                        })
                        .collect()
                })
                .collect();
            let table: Vec<f64> = (0..members * 5 * members * 5)
                .map(|_| match random.random_range(0..4) {
                    0 => f64::INFINITY,
                    1 => random.random_range(0.0..30.0),
                    _ => 0.0,
                })
                .collect();
            let between = |one: (usize, usize), other: (usize, usize)| {
                let (low, high) = (one.min(other), one.max(other));
                table[(low.0 * 5 + low.1) * members * 5 + high.0 * 5 + high.1]
            };
            let found = cheapest(&groups, between);
            let expected = exhaustive(&groups, &between);
            match (found, expected) {
                (Some(found), Some(expected)) => {
                    assert!((found.cost - expected).abs() < 1e-9);
                    assert!(found.is_proved);
                }
                (found, expected) => assert_eq!(found.map(|found| found.cost), expected),
            }
        }
    }
}
