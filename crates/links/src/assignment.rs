//! Which amplifier channels drive which loudspeakers: the best of all assignments.
//!
//! Each load takes whole channels of one amplifier. An amplifier has so many channels, and
//! plays so many zones apart; a load may be barred from some amplifiers (too low an impedance,
//! too far away, named otherwise). Best is: most weight of channels that play; then fewest
//! amplifiers in use; then fewest zones shared out over amplifiers; then the first in the order
//! given. The search is exact: it goes through loads one by one and keeps, for each state of
//! channels and zones left, the best that the rest can do (dynamic programming).

use std::collections::HashMap;

/// An amplifier.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Amplifier {
    /// Channels.
    pub channels: u32,
    /// Zones that it can play apart.
    pub zones: u32,
}

/// A loudspeaker, or several that stay together.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Load {
    /// Channels that it takes; with none it asks for nothing.
    pub channels: u32,
    /// Its zone, 0 to 63.
    pub zone: usize,
    /// Worth of each of its channels, 1 or more.
    pub weight: u32,
    /// The amplifiers that may drive it.
    pub may: Vec<usize>,
}

/// How good an assignment is; a greater one is better.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Score {
    /// Weight of all channels that play.
    pub played: u64,
    /// Amplifiers in use, counted down.
    pub amplifiers: i64,
    /// Zones of each amplifier, summed and counted down.
    pub shares: i64,
}

/// The best assignment.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Assignment {
    /// For each load its amplifier; none for what is left over.
    pub to: Vec<Option<usize>>,
    /// How good it is.
    pub score: Score,
}

/// Zones that one call can tell apart.
pub const ZONES_MAX: usize = 64;
/// States that are kept before the search gives up.
const STATES_MAX: usize = 400_000;

/// The load that is next, and of each amplifier the channels in use, the zones in use that a
/// later load plays in, and the number of all in use.
type State = (usize, Vec<(u32, u64, u32)>);

struct Search<'a> {
    amplifiers: &'a [Amplifier],
    loads: &'a [Load],
    known: HashMap<State, (Score, Option<usize>)>,
    gave_up: bool,
}

const NOTHING: Score = Score {
    played: 0,
    amplifiers: 0,
    shares: 0,
};

/// The best assignment; `None` where the zones are too many or the house is too large to
/// search whole.
pub fn assign(amplifiers: &[Amplifier], loads: &[Load]) -> Option<Assignment> {
    if loads.iter().any(|load| load.zone >= ZONES_MAX) {
        return None;
    }
    let mut search = Search {
        amplifiers,
        loads,
        known: HashMap::new(),
        gave_up: false,
    };
    let mut used = vec![0; amplifiers.len()];
    let mut zones = vec![0; amplifiers.len()];
    let score = search.best(0, &used, &zones);
    if search.gave_up {
        return None;
    }
    let mut to = Vec::with_capacity(loads.len());
    for (index, load) in loads.iter().enumerate() {
        let choice = search.known.get(&search.state(index, &used, &zones))?.1;
        if let Some(amplifier) = choice {
            used[amplifier] += load.channels;
            zones[amplifier] |= 1 << load.zone;
        }
        to.push(choice);
    }
    Some(Assignment { to, score })
}

impl Search<'_> {
    fn best(&mut self, index: usize, used: &[u32], zones: &[u64]) -> Score {
        let Some(load) = self.loads.get(index) else {
            return NOTHING;
        };
        let state = self.state(index, used, zones);
        if let Some((score, _)) = self.known.get(&state) {
            return *score;
        }
        if self.known.len() >= STATES_MAX {
            self.gave_up = true;
            return NOTHING;
        }
        let most = self.most(index, used, zones);
        let mut best: Option<(Score, Option<usize>)> = None;
        for &amplifier in &load.may {
            let Some(step) = self.step(load, amplifier, used, zones) else {
                continue;
            };
            let (mut used, mut zones) = (used.to_vec(), zones.to_vec());
            used[amplifier] += load.channels;
            zones[amplifier] |= 1 << load.zone;
            let rest = self.best(index + 1, &used, &zones);
            let score = step.and(rest);
            if best.is_none_or(|(found, _)| score > found) {
                best = Some((score, Some(amplifier)));
            }
            if score == most {
                break;
            }
        }
        if best.is_none_or(|(found, _)| found < most) {
            let left_over = self.best(index + 1, used, zones);
            if best.is_none_or(|(found, _)| left_over > found) {
                best = Some((left_over, None));
            }
        }
        let best = best.expect("a load can always be left over");
        self.known.insert(state, best);
        best.0
    }

    fn state(&self, index: usize, used: &[u32], zones: &[u64]) -> State {
        let later = self.zones_from(index);
        let of = |(used, zones): (&u32, &u64)| (*used, zones & later, zones.count_ones());
        (index, used.iter().zip(zones).map(of).collect())
    }

    fn zones_from(&self, index: usize) -> u64 {
        (self.loads[index..].iter()).fold(0, |zones, load| zones | 1 << load.zone)
    }

    /// What the loads from here on can do at the very most: all of them play, each new zone is
    /// on one amplifier, and no more amplifiers are opened than the channels ask for.
    fn most(&self, index: usize, used: &[u32], zones: &[u64]) -> Score {
        let loads = &self.loads[index..];
        let open = |at: &usize| zones[*at] != 0;
        let free: u64 = (0..used.len())
            .filter(open)
            .map(|at| u64::from(self.amplifiers[at].channels - used[at]))
            .sum();
        let wanted: u64 = loads.iter().map(|load| u64::from(load.channels)).sum();
        let mut closed: Vec<u64> = (0..used.len())
            .filter(|at| !open(at))
            .map(|at| u64::from(self.amplifiers[at].channels))
            .collect();
        closed.sort_unstable_by(|a, b| b.cmp(a));
        let (mut room, mut opened) = (free, 0);
        for channels in closed {
            if room >= wanted {
                break;
            }
            room += channels;
            opened += 1;
        }
        let in_use = zones.iter().fold(0, |all, zones| all | zones);
        let new = (self.zones_from(index) & !in_use).count_ones();
        Score {
            played: (loads.iter())
                .map(|load| u64::from(load.channels) * u64::from(load.weight))
                .sum(),
            amplifiers: -opened,
            shares: -i64::from(new),
        }
    }

    /// What it adds to drive a load from an amplifier, if that has room.
    fn step(&self, load: &Load, amplifier: usize, used: &[u32], zones: &[u64]) -> Option<Score> {
        let with = self.amplifiers.get(amplifier)?;
        let channels = used[amplifier].checked_add(load.channels)?;
        let feeds = zones[amplifier] | 1 << load.zone;
        if channels > with.channels || feeds.count_ones() > with.zones {
            return None;
        }
        Some(Score {
            played: u64::from(load.channels) * u64::from(load.weight),
            amplifiers: -i64::from(zones[amplifier] == 0),
            shares: -i64::from(feeds != zones[amplifier]),
        })
    }
}

impl Score {
    fn and(self, other: Self) -> Self {
        Self {
            played: self.played + other.played,
            amplifiers: self.amplifiers + other.amplifiers,
            shares: self.shares + other.shares,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn load(channels: u32, zone: usize, may: &[usize]) -> Load {
        Load {
            channels,
            zone,
            weight: 1,
            may: may.to_vec(),
        }
    }

    #[test]
    fn taking_the_first_with_room_would_strand_the_bar() {
        // Two single loudspeakers first would leave no amplifier with three channels together.
        let amplifiers = [
            Amplifier {
                channels: 4,
                zones: 1,
            },
            Amplifier {
                channels: 2,
                zones: 1,
            },
        ];
        let loads = [
            load(1, 0, &[0, 1]),
            load(1, 0, &[0, 1]),
            load(3, 0, &[0, 1]),
        ];
        let best = assign(&amplifiers, &loads).unwrap();
        assert_eq!(best.score.played, 5);
        assert_eq!(best.to[2], Some(0));
        // A zone more than it can play apart is left over.
        let loads = [load(1, 0, &[0]), load(1, 1, &[0])];
        assert_eq!(assign(&amplifiers, &loads).unwrap().score.played, 1);
    }

    #[test]
    fn what_is_worth_more_is_played_first() {
        let one = [Amplifier {
            channels: 1,
            zones: 2,
        }];
        let loads = [
            load(1, 0, &[0]),
            Load {
                weight: 3,
                ..load(1, 1, &[0])
            },
        ];
        assert_eq!(assign(&one, &loads).unwrap().to, [None, Some(0)]);
    }

    /// Numbers that are the same each time (linear congruence of MMIX).
    struct Numbers(u64);

    impl Numbers {
        fn below(&mut self, limit: u64) -> u64 {
            self.0 = (self.0)
                .wrapping_mul(6364136223846793005)
                .wrapping_add(1442695040888963407);
            (self.0 >> 33) % limit
        }
    }

    /// The score of an assignment, counted apart from the search; none where it breaks a rule.
    fn counted(amplifiers: &[Amplifier], loads: &[Load], to: &[Option<usize>]) -> Option<Score> {
        let mut played = 0;
        let mut channels = vec![0; amplifiers.len()];
        let mut zones = vec![std::collections::BTreeSet::new(); amplifiers.len()];
        for (load, to) in loads.iter().zip(to) {
            let Some(amplifier) = *to else { continue };
            if !load.may.contains(&amplifier) {
                return None;
            }
            played += u64::from(load.channels * load.weight);
            channels[amplifier] += load.channels;
            zones[amplifier].insert(load.zone);
        }
        for (index, amplifier) in amplifiers.iter().enumerate() {
            let feeds = zones[index].len() as u32;
            if channels[index] > amplifier.channels || feeds > amplifier.zones {
                return None;
            }
        }
        Some(Score {
            played,
            amplifiers: -(zones.iter().filter(|zones| !zones.is_empty()).count() as i64),
            shares: -(zones.iter().map(|zones| zones.len() as i64).sum::<i64>()),
        })
    }

    #[test]
    fn no_assignment_at_all_is_better() {
        let mut numbers = Numbers(20261125);
        for _ in 0..300 {
            let amplifiers: Vec<Amplifier> = (0..1 + numbers.below(3))
                .map(|_| Amplifier {
                    channels: numbers.below(6) as u32,
                    zones: 1 + numbers.below(2) as u32,
                })
                .collect();
            let loads: Vec<Load> = (0..1 + numbers.below(6))
                .map(|_| Load {
                    channels: 1 + numbers.below(3) as u32,
                    zone: numbers.below(3) as usize,
                    weight: 1 + numbers.below(3) as u32,
                    may: (0..amplifiers.len())
                        .filter(|_| numbers.below(4) > 0)
                        .collect(),
                })
                .collect();
            let found = assign(&amplifiers, &loads).unwrap();
            let own = counted(&amplifiers, &loads, &found.to);
            assert_eq!(own, Some(found.score), "it keeps its own rules");
            // Every assignment, in a counter of as many digits as loads.
            let digits = amplifiers.len() + 1;
            let every = (0..digits.pow(loads.len() as u32)).map(|mut number| {
                let mut digit = || {
                    let digit = number % digits;
                    number /= digits;
                    digit.checked_sub(1)
                };
                (0..loads.len()).map(|_| digit()).collect::<Vec<_>>()
            });
            let best = every
                .filter_map(|to| counted(&amplifiers, &loads, &to))
                .max()
                .unwrap();
            assert_eq!(found.score, best, "{amplifiers:?} {loads:?}");
        }
    }

    #[test]
    fn a_house_of_eight_zones_is_searched_whole() {
        let amplifiers = vec![
            Amplifier {
                channels: 8,
                zones: 4,
            };
            4
        ];
        let loads: Vec<Load> = (0..32).map(|one| load(1, one / 4, &[0, 1, 2, 3])).collect();
        let found = assign(&amplifiers, &loads).unwrap();
        assert_eq!((found.score.played, found.score.shares), (32, -8));
    }
}
