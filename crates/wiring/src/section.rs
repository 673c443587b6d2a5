//! How cables lie in a pipe: their circles, packed into its own.
//!
//! Each cable is laid where it lies lowest (or, on a second try, nearest to the pipe's wall),
//! touching the pipe or two others, in several orders; the first in which all lie is taken. What
//! is found is a packing, proved by its distances; that none is found does not prove that there
//! is none. Proven optima of equal circles (R. L. Graham, B. D. Lubachevsky, K. J. Nurmela,
//! P. R. J. Östergård, *Discrete Mathematics* 181, 1998) are met within 3 % of the pipe's size,
//! where a pull stops far earlier.

use units::Metres;
use units::guard::positive;

/// Orders that are tried after the largest first and the smallest first.
const ORDERS: u64 = 96;
/// More cables than any pipe here is drawn with.
pub const CABLES_MAX: usize = 64;
/// Circles that overlap by less than this share of the pipe touch.
const TOUCH: f64 = 1e-9;

/// A circle in a pipe.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Round {
    at: [f64; 2],
    radius: f64,
}

/// Middles of cables of these outside diameters in a pipe of this inside diameter, m from the
/// pipe's middle, across and up, in the order given. `None` where no packing was found, where
/// the pipe or a cable has no size, or where there are more than [`CABLES_MAX`].
pub fn packed(inside: Metres, outsides: &[Metres]) -> Option<Vec<[f64; 2]>> {
    let pipe = positive(inside.0)? / 2.0;
    let radii: Option<Vec<f64>> = (outsides.iter())
        .map(|d| Some(positive(d.0)? / 2.0 / pipe))
        .collect();
    let radii = radii?;
    if radii.len() > CABLES_MAX || radii.iter().map(|r| r * r).sum::<f64>() > 1.0 + TOUCH {
        return None;
    }
    let mut order: Vec<usize> = (0..radii.len()).collect();
    order.sort_by(|a, b| radii[*b].total_cmp(&radii[*a]).then(a.cmp(b)));
    let mut numbers = Numbers(20_261_126);
    for round in 0..ORDERS + 2 {
        match round {
            0 => {}
            1 => order.reverse(),
            _ => numbers.shuffle(&mut order),
        }
        for low in [true, false] {
            if let Some(laid) = laid(&radii, &order, low) {
                let mut centres = vec![[0.0; 2]; radii.len()];
                for (which, round) in order.iter().zip(laid) {
                    centres[*which] = round.at.map(|x| x * pipe);
                }
                return Some(centres);
            }
        }
    }
    None
}

/// Circles of the unit pipe in this order, each in the lowest place left, or the outermost.
fn laid(radii: &[f64], order: &[usize], low: bool) -> Option<Vec<Round>> {
    let mut laid: Vec<Round> = Vec::new();
    for which in order {
        let radius = radii[*which];
        let reach = (1.0 - radius).max(0.0);
        let pipe = Round {
            at: [0.0; 2],
            radius: reach,
        };
        let mut places = vec![[0.0, -reach]];
        let around = |one: &Round| Round {
            radius: one.radius + radius,
            ..*one
        };
        for (index, one) in laid.iter().enumerate() {
            places.extend(crossings(&around(one), &pipe));
            for other in &laid[..index] {
                places.extend(crossings(&around(one), &around(other)));
            }
        }
        let is_free = |at: &[f64; 2]| {
            distance(*at, [0.0; 2]) <= reach + TOUCH
                && laid
                    .iter()
                    .all(|one| distance(*at, one.at) >= one.radius + radius - TOUCH)
        };
        let rank = |at: &[f64; 2]| match low {
            true => [at[1], at[0].abs(), at[0]],
            false => [-distance(*at, [0.0; 2]), at[1], at[0]],
        };
        let at = (places.into_iter().filter(is_free)).min_by(|a, b| {
            // Places that differ by rounding alone are told apart by what comes next.
            let rounded = |at: &[f64; 2]| rank(at).map(|x| (x * 1e9).round());
            let [a, b] = [rounded(a), rounded(b)];
            (a[0].total_cmp(&b[0]))
                .then(a[1].total_cmp(&b[1]))
                .then(a[2].total_cmp(&b[2]))
        })?;
        laid.push(Round { at, radius });
    }
    Some(laid)
}

/// Where two circles cross.
fn crossings(a: &Round, b: &Round) -> Vec<[f64; 2]> {
    let (dx, dy) = (b.at[0] - a.at[0], b.at[1] - a.at[1]);
    let apart = dx.hypot(dy);
    if apart < TOUCH || apart > a.radius + b.radius || apart < (a.radius - b.radius).abs() {
        return Vec::new();
    }
    let along = (apart * apart + a.radius * a.radius - b.radius * b.radius) / (2.0 * apart);
    let off = (a.radius * a.radius - along * along).max(0.0).sqrt();
    let (ux, uy) = (dx / apart, dy / apart);
    let foot = [a.at[0] + along * ux, a.at[1] + along * uy];
    vec![
        [foot[0] - off * uy, foot[1] + off * ux],
        [foot[0] + off * uy, foot[1] - off * ux],
    ]
}

fn distance(a: [f64; 2], b: [f64; 2]) -> f64 {
    (a[0] - b[0]).hypot(a[1] - b[1])
}

/// Numbers that are the same each time (linear congruence of MMIX).
struct Numbers(u64);

impl Numbers {
    fn below(&mut self, limit: usize) -> usize {
        self.0 = (self.0)
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) % limit as u64) as usize
    }

    fn shuffle(&mut self, order: &mut [usize]) {
        for last in (1..order.len()).rev() {
            order.swap(last, self.below(last + 1));
        }
    }
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;

    use super::*;

    /// Pipe over cable at which so many equal circles just fit: proven optimal, the first ones
    /// by their formulas, the others as tables print them (from memory).
    fn optima() -> Vec<(usize, f64)> {
        vec![
            (1, 1.0),
            (2, 2.0),
            (3, 1.0 + 2.0 / 3f64.sqrt()),
            (4, 1.0 + 2f64.sqrt()),
            (5, 1.0 + 1.0 / (PI / 5.0).sin()),
            (6, 3.0),
            (7, 3.0),
            (8, 1.0 + 1.0 / (PI / 7.0).sin()),
            (9, 3.613),
            (10, 3.813),
            (11, 3.924),
            (12, 4.030),
            (13, 4.236),
            (19, 4.863),
        ]
    }

    /// How far the worst pair overlaps or the worst circle leaves the pipe, m.
    fn overlap(inside: f64, outsides: &[Metres], centres: &[[f64; 2]]) -> f64 {
        let mut worst: f64 = 0.0;
        for (index, at) in centres.iter().enumerate() {
            let radius = outsides[index].0 / 2.0;
            worst = worst.max(distance(*at, [0.0; 2]) + radius - inside / 2.0);
            for (other, place) in centres[..index].iter().enumerate() {
                let least = radius + outsides[other].0 / 2.0;
                worst = worst.max(least - distance(*at, *place));
            }
        }
        worst
    }

    #[test]
    fn equal_cables_lie_in_little_more_than_the_proven_least_pipe() {
        for (count, ratio) in optima() {
            let cables = vec![Metres(1.0); count];
            let slack = if count <= 7 { 1.001 } else { 1.03 };
            let inside = ratio * slack;
            let centres = packed(Metres(inside), &cables);
            let centres = centres.unwrap_or_else(|| panic!("{count} in {inside}"));
            assert!(overlap(inside, &cables, &centres) < 1e-8, "{count}");
            let less = packed(Metres(ratio * 0.999), &cables);
            assert_eq!(less, None, "{count}");
        }
    }

    #[test]
    fn whatever_is_found_is_a_packing() {
        let mut numbers = Numbers(7);
        let mut found = 0;
        for _ in 0..200 {
            let count = 1 + numbers.below(12);
            let cables: Vec<Metres> = (0..count)
                .map(|_| Metres(4e-3 + numbers.below(9) as f64 * 1e-3))
                .collect();
            let inside = 15e-3 + numbers.below(30) as f64 * 1e-3;
            if let Some(centres) = packed(Metres(inside), &cables) {
                assert!(overlap(inside, &cables, &centres) < 1e-10);
                found += 1;
            }
        }
        assert!(found > 60, "{found}");
    }

    #[test]
    fn what_a_pull_allows_is_always_drawn() {
        // 40 % and three cables or more: no such set is left out.
        let mut numbers = Numbers(11);
        for _ in 0..100 {
            let count = 3 + numbers.below(14);
            let cables: Vec<Metres> = (0..count)
                .map(|_| Metres(5e-3 + numbers.below(60) as f64 * 1e-4))
                .collect();
            let squares: f64 = cables.iter().map(|d| d.0 * d.0).sum();
            let inside = (squares / 0.40).sqrt();
            assert!(packed(Metres(inside), &cables).is_some(), "{cables:?}");
        }
    }

    #[test]
    fn one_cable_lies_at_the_bottom_and_nonsense_nowhere() {
        let one = packed(Metres(20e-3), &[Metres(6e-3)]).unwrap();
        assert!((one[0][1] + 7e-3).abs() < 1e-12 && one[0][0].abs() < 1e-12);
        assert_eq!(packed(Metres(20e-3), &[]), Some(Vec::new()));
        assert_eq!(packed(Metres(0.0), &[Metres(1e-3)]), None);
        assert_eq!(packed(Metres(20e-3), &[Metres(f64::NAN)]), None);
        assert_eq!(packed(Metres(20e-3), &[Metres(21e-3)]), None);
        assert_eq!(packed(Metres(1.0), &[Metres(1e-3); CABLES_MAX + 1]), None);
    }
}
