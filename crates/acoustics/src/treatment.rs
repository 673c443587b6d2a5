//! Which rugs, curtains and panels, bought or taken away, bring a room's absorption into bounds
//! for the least money?
//!
//! With x_o units of offer o on its surface, y_p whether any of product p is bought:
//!
//! minimise `Σ price_p x_o + Σ fitting_p y_p`, such that in every band
//! `need ≤ Σ gain_o x_o ≤ most`, on every surface `Σ ± size_p x_o ≤ free`, of every product
//! `Σ x_o ≤ stock_p y_p`; − where it is taken away, which leaves its place to others
//!
//! | symbol | meaning | unit |
//! | --- | --- | --- |
//! | x_o | pieces, or m² where it is cut to size | 1 or m² |
//! | gain_o | absorption area that a unit adds in a band, less what it hides; negative where it is taken away | m² |
//! | need, most | what the band lacks, what it bears | m² |
//!
//! Reverberation times fall as absorption grows, so that bounds on the time are bounds on the
//! absorption area under Sabine's and under Eyring's law alike: the program is linear and its
//! answer exact (branch and bound over pieces and products). Of several answers at one price
//! any may be told.

use good_lp::{
    Expression, ProblemVariables, ResolutionError, Solution, SolverModel, Variable, constraint,
    microlp, variable,
};

/// Something that the shop sells, or that hangs there and can be taken away.
#[derive(Clone, Debug, PartialEq)]
pub struct Product {
    /// Whether it hangs there and is taken away.
    pub is_taken_away: bool,
    /// Price of a unit.
    pub price: f64,
    /// What fitting any of it costs.
    pub fitting: f64,
    /// What one piece covers, m²; `None` for what is cut to size and counted in m².
    pub piece_m2: Option<f64>,
    /// The most that there is, in units.
    pub stock: f64,
}

impl Product {
    /// What a unit takes of a surface, m²; less than nothing where it gives its place back.
    fn takes_m2(&self) -> f64 {
        let size = self.piece_m2.unwrap_or(1.0);
        if self.is_taken_away { -size } else { size }
    }
}

/// A product on a surface.
#[derive(Clone, Debug, PartialEq)]
pub struct Offer {
    /// The product, by its place in the list.
    pub product: usize,
    /// The surface, by its place in the list.
    pub surface: usize,
    /// What a unit adds to the absorption area in each band, m².
    pub gain_m2: Vec<f64>,
}

/// What a band asks for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds {
    /// The least that has to be added, m².
    pub need_m2: f64,
    /// The most that may be, m²; infinite for no end.
    pub most_m2: f64,
}

/// What to buy.
#[derive(Clone, Debug, PartialEq)]
pub struct Purchase {
    /// Units of each offer.
    pub units: Vec<f64>,
    /// What it costs.
    pub price: f64,
}

/// The cheapest purchase; `None` where none brings every band within its bounds.
pub fn cheapest(
    products: &[Product],
    offers: &[Offer],
    free_m2: &[f64],
    bands: &[Bounds],
) -> Option<Purchase> {
    let classes = Classes::of(products, offers, free_m2);
    let units = classes.solve(products, bands)?;
    let units = classes.spread(products, offers, free_m2, &units);
    let price = price_of(products, offers, &units);
    Some(Purchase { units, price })
}

/// Surfaces that are as good as one: the same products may go there and gain as much.
///
/// Branch and bound would try each of the ways to share a purchase among them.
struct Classes {
    /// The class of each surface.
    of_surface: Vec<usize>,
    /// One offer for those of a product on all surfaces of a class; its surface is the class.
    offers: Vec<Offer>,
    /// The most units of each of them that there is room for on its own.
    most: Vec<f64>,
    /// The area of each class, m².
    free_m2: Vec<f64>,
}

impl Classes {
    fn of(products: &[Product], offers: &[Offer], free_m2: &[f64]) -> Self {
        let on = |surface: usize| offers.iter().filter(move |offer| offer.surface == surface);
        let alike = |one: usize, other: usize| {
            let same = |(a, b): (&Offer, &Offer)| a.product == b.product && a.gain_m2 == b.gain_m2;
            // Pieces of two sizes can't be cut to fill up the walls that they are shared among.
            let pieces = on(one).filter(|offer| products[offer.product].piece_m2.is_some());
            pieces.count() <= 1
                && on(one).count() == on(other).count()
                && on(one).zip(on(other)).all(same)
        };
        let mut firsts: Vec<usize> = Vec::new();
        let mut of_surface = Vec::new();
        for surface in 0..free_m2.len() {
            let known = firsts.iter().position(|first| alike(*first, surface));
            of_surface.push(known.unwrap_or_else(|| {
                firsts.push(surface);
                firsts.len() - 1
            }));
        }
        let members = |class: usize| {
            let all = of_surface.iter().zip(free_m2);
            all.filter(move |(of, _)| **of == class)
                .map(|(_, free)| free.max(0.0))
        };
        let (mut joint, mut most) = (Vec::new(), Vec::new());
        for (class, first) in firsts.iter().enumerate() {
            // What can be taken away leaves its place to what is bought.
            let given_back_m2: f64 = (on(*first))
                .map(|offer| &products[offer.product])
                .filter(|product| product.is_taken_away)
                .map(|product| product.stock * -product.takes_m2())
                .sum();
            for offer in on(*first) {
                let product = &products[offer.product];
                most.push(match product.piece_m2 {
                    _ if product.is_taken_away => product.stock,
                    Some(piece) => (members(class))
                        .map(|free| pieces_in(free + given_back_m2, piece))
                        .sum(),
                    None => members(class).sum::<f64>() + given_back_m2,
                });
                joint.push(Offer {
                    surface: class,
                    ..offer.clone()
                });
            }
        }
        let areas = (0..firsts.len()).map(|class| members(class).sum());
        Self {
            offers: joint,
            most,
            free_m2: areas.collect(),
            of_surface,
        }
    }

    /// A purchase's units by surface: pieces on the largest first, the rest beside them.
    fn spread(
        &self,
        products: &[Product],
        offers: &[Offer],
        free_m2: &[f64],
        bought: &[f64],
    ) -> Vec<f64> {
        let mut free_m2 = free_m2.to_vec();
        let mut bought = bought.to_vec();
        let mut order: Vec<usize> = (0..offers.len()).collect();
        order.sort_by(|a, b| {
            let (a, b) = (&offers[*a], &offers[*b]);
            let is_cut = |offer: &Offer| products[offer.product].piece_m2.is_none();
            let area = |offer: &Offer| free_m2[offer.surface];
            let is_taken = |offer: &Offer| products[offer.product].is_taken_away;
            (is_taken(b).cmp(&is_taken(a)))
                .then(is_cut(a).cmp(&is_cut(b)))
                .then(area(b).total_cmp(&area(a)))
        });
        let mut units = vec![0.0; offers.len()];
        for at in order {
            let offer = &offers[at];
            let class = self.of_surface[offer.surface];
            let of_class = |joint: &Offer| joint.surface == class && joint.product == offer.product;
            let Some(joint) = self.offers.iter().position(of_class) else {
                continue;
            };
            let free = &mut free_m2[offer.surface];
            let product = &products[offer.product];
            let room = match product.piece_m2 {
                _ if product.is_taken_away => product.stock,
                Some(piece) => pieces_in(*free, piece),
                None => free.max(0.0),
            };
            units[at] = bought[joint].min(room);
            bought[joint] -= units[at];
            *free -= units[at] * product.takes_m2();
        }
        units
    }

    /// The cheapest units of each joint offer.
    fn solve(&self, products: &[Product], bands: &[Bounds]) -> Option<Vec<f64>> {
        let Self {
            offers,
            most,
            free_m2,
            ..
        } = self;
        // No more than there is room for: the tighter the bound, the sooner the search ends.
        let most = |at: usize| most[at].min(products[offers[at].product].stock);
        let mut variables = ProblemVariables::new();
        let units: Vec<Variable> = (offers.iter().enumerate())
            .map(|(at, offer)| {
                let unit = variable().min(0.0).max(most(at));
                variables.add(match products[offer.product].piece_m2 {
                    Some(_) => unit.integer(),
                    None => unit,
                })
            })
            .collect();
        let bought: Vec<Option<Variable>> = (products.iter())
            .map(|product| {
                let asks = product.fitting > 0.0;
                asks.then(|| variables.add(variable().binary()))
            })
            .collect();
        let sum = |weight: &dyn Fn(usize) -> f64| -> Expression {
            (units.iter().enumerate())
                .filter(|(at, _)| weight(*at) != 0.0)
                .map(|(at, unit)| weight(at) * *unit)
                .sum()
        };
        let prices = sum(&|at| products[offers[at].product].price);
        let fittings: Expression = (bought.iter().zip(products))
            .filter_map(|(bought, product)| Some(product.fitting * (*bought)?))
            .sum();
        let mut problem = variables.minimise(prices + fittings).using(microlp);
        for (band, bounds) in bands.iter().enumerate() {
            let gain = |at: usize| offers[at].gain_m2[band];
            if bounds.need_m2 > 0.0 || offers.iter().any(|offer| offer.gain_m2[band] < 0.0) {
                problem = problem.with(constraint!(sum(&gain) >= bounds.need_m2));
            }
            if bounds.most_m2.is_finite() {
                problem = problem.with(constraint!(sum(&gain) <= bounds.most_m2));
            }
        }
        for (surface, free) in free_m2.iter().enumerate() {
            let covers = |at: usize| {
                let here = offers[at].surface == surface;
                if here {
                    products[offers[at].product].takes_m2()
                } else {
                    0.0
                }
            };
            problem = problem.with(constraint!(sum(&covers) <= free.max(0.0)));
        }
        for (index, product) in products.iter().enumerate() {
            let of = |at: usize| f64::from(u8::from(offers[at].product == index));
            let of_it = (0..offers.len()).filter(|at| offers[*at].product == index);
            let all: f64 = of_it.map(&most).sum();
            let stock = product.stock.min(all);
            match bought[index] {
                Some(bought) => problem = problem.with(constraint!(sum(&of) <= stock * bought)),
                None if product.stock < all => {
                    problem = problem.with(constraint!(sum(&of) <= stock))
                }
                None => {}
            }
        }
        let solution = match problem.solve() {
            Ok(solution) => solution,
            Err(ResolutionError::Infeasible | ResolutionError::Unbounded) => return None,
            // Nothing else is known of the program: as good as no answer.
            Err(_) => return None,
        };
        let units: Vec<f64> = (units.iter().zip(offers))
            .map(|(unit, offer)| {
                let value = solution.value(*unit).max(0.0);
                match products[offer.product].piece_m2 {
                    Some(_) => value.round(),
                    None => value,
                }
            })
            .collect();
        Some(units)
    }
}

/// How many pieces an area takes.
fn pieces_in(free_m2: f64, piece_m2: f64) -> f64 {
    (free_m2.max(0.0) / piece_m2 + 1e-9).floor()
}

/// What a purchase costs.
pub fn price_of(products: &[Product], offers: &[Offer], units: &[f64]) -> f64 {
    let pieces: f64 = (offers.iter().zip(units))
        .map(|(offer, units)| products[offer.product].price * units)
        .sum();
    let fitted = |index: usize| {
        let mut of = offers.iter().zip(units);
        of.any(|(offer, units)| offer.product == index && *units > 1e-9)
    };
    let fittings: f64 = (products.iter().enumerate())
        .filter(|(index, _)| fitted(*index))
        .map(|(_, product)| product.fitting)
        .sum();
    pieces + fittings
}

#[cfg(test)]
mod tests {
    use rand::{Rng, SeedableRng};
    use rand_chacha::ChaCha8Rng;

    use super::*;

    struct Case {
        products: Vec<Product>,
        offers: Vec<Offer>,
        free: Vec<f64>,
        bands: Vec<Bounds>,
    }

    /// A shop of pieces alone, small enough to try every purchase.
    fn case(seed: u64) -> Case {
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        let products: Vec<Product> = (0..3)
            .map(|_| Product {
                is_taken_away: false,
                price: f64::from(rng.random_range(20..120)),
                fitting: f64::from(rng.random_range(0..3)) * 40.0,
                piece_m2: Some(f64::from(rng.random_range(4..25)) / 10.0),
                stock: f64::from(rng.random_range(2..6)),
            })
            .collect();
        let offers = [(0, 0), (1, 0), (1, 1), (2, 1)].map(|(product, surface)| Offer {
            product,
            surface,
            gain_m2: (0..3)
                .map(|_| f64::from(rng.random_range(-1..20)) / 10.0)
                .collect(),
        });
        let bands = (0..3).map(|_| {
            let need_m2 = f64::from(rng.random_range(0..60)) / 10.0;
            Bounds {
                need_m2,
                most_m2: need_m2 + f64::from(rng.random_range(10..60)) / 10.0,
            }
        });
        Case {
            products,
            offers: offers.to_vec(),
            free: vec![7.3, 4.1],
            bands: bands.collect(),
        }
    }

    fn is_allowed(case: &Case, units: &[f64]) -> bool {
        let sum = |weight: &dyn Fn(usize) -> f64| -> f64 {
            units.iter().enumerate().map(|(at, x)| weight(at) * x).sum()
        };
        let size = |at: usize| case.products[case.offers[at].product].takes_m2();
        let bands = case.bands.iter().enumerate().all(|(band, bounds)| {
            let gain = sum(&|at| case.offers[at].gain_m2[band]);
            gain >= bounds.need_m2 - 1e-7 && gain <= bounds.most_m2 + 1e-7
        });
        let room = case.free.iter().enumerate().all(|(surface, free)| {
            let here = |at: usize| f64::from(u8::from(case.offers[at].surface == surface));
            sum(&|at| here(at) * size(at)) <= free + 1e-7
        });
        let stock = case.products.iter().enumerate().all(|(index, product)| {
            sum(&|at| f64::from(u8::from(case.offers[at].product == index))) <= product.stock + 1e-7
        });
        bands && room && stock
    }

    /// The least price of all ways with up to five units of each offer; infinite where none is
    /// allowed.
    fn best_of_all(case: &Case) -> f64 {
        let mut best = f64::INFINITY;
        for code in 0..6_u32.pow(4) {
            let units: Vec<f64> = (0..4)
                .map(|at| f64::from(code / 6_u32.pow(at) % 6))
                .collect();
            if is_allowed(case, &units) {
                best = best.min(price_of(&case.products, &case.offers, &units));
            }
        }
        best
    }

    #[test]
    fn nothing_cheaper_is_found_by_trying_everything() {
        let (mut solved, mut impossible) = (0, 0);
        for seed in 0..150 {
            let case = case(seed);
            let best = best_of_all(&case);
            match cheapest(&case.products, &case.offers, &case.free, &case.bands) {
                Some(found) => {
                    assert!(is_allowed(&case, &found.units), "seed {seed}: {found:?}");
                    assert!(
                        (found.price - best).abs() < 1e-6,
                        "seed {seed}: {best} {found:?}"
                    );
                    solved += 1;
                }
                None => {
                    assert!(best.is_infinite(), "seed {seed}: {best}");
                    impossible += 1;
                }
            }
        }
        assert!(solved > 40 && impossible > 10, "{solved} {impossible}");
    }

    #[test]
    fn walls_that_are_alike_are_covered_as_if_each_were_tried() {
        let mut solved = 0;
        for seed in 0..150 {
            let mut rng = ChaCha8Rng::seed_from_u64(seed);
            let mut case = case(seed);
            case.free = (0..3)
                .map(|_| f64::from(rng.random_range(10..45)) / 10.0)
                .collect();
            // One product on three walls that differ in nothing but their size, another on a floor.
            let gains = [
                case.offers[0].gain_m2.clone(),
                case.offers[3].gain_m2.clone(),
            ];
            let on = |product: usize, surface: usize| Offer {
                product,
                surface,
                gain_m2: gains[usize::from(product == 2)].clone(),
            };
            case.offers = vec![on(0, 0), on(0, 1), on(0, 2), on(2, 3)];
            case.free.push(6.0);
            let best = best_of_all(&case);
            let found = cheapest(&case.products, &case.offers, &case.free, &case.bands);
            assert_eq!(found.is_some(), best.is_finite(), "seed {seed}");
            if let Some(found) = found {
                assert!(is_allowed(&case, &found.units), "seed {seed}: {found:?}");
                assert!(
                    (found.price - best).abs() < 1e-6,
                    "seed {seed}: {best} {found:?}"
                );
                solved += 1;
            }
        }
        assert!(solved > 20, "{solved}");
    }

    #[test]
    fn what_hangs_there_is_taken_away_as_if_each_way_were_tried() {
        let (mut solved, mut swapped) = (0, 0);
        for seed in 0..150 {
            let mut rng = ChaCha8Rng::seed_from_u64(seed);
            let mut case = case(seed);
            // The first hangs on its surface and may go, to make place for the second.
            case.products[0] = Product {
                is_taken_away: true,
                price: 1.0,
                fitting: 0.0,
                ..case.products[0].clone()
            };
            for gain in &mut case.offers[0].gain_m2 {
                *gain = -gain.abs() - 0.1;
            }
            case.free[0] = f64::from(rng.random_range(0..20)) / 10.0;
            for bounds in &mut case.bands {
                bounds.need_m2 -= 5.0;
                bounds.most_m2 -= 5.0;
            }
            let best = best_of_all(&case);
            let found = cheapest(&case.products, &case.offers, &case.free, &case.bands);
            assert_eq!(found.is_some(), best.is_finite(), "seed {seed}: {best}");
            if let Some(found) = found {
                assert!(is_allowed(&case, &found.units), "seed {seed}: {found:?}");
                assert!(
                    (found.price - best).abs() < 1e-6,
                    "seed {seed}: {best} {found:?}"
                );
                solved += 1;
                let is_swap = found.units[0] > 0.0 && found.units[1] > 0.0;
                swapped += usize::from(is_swap);
            }
        }
        assert!(solved > 20 && swapped > 0, "{solved} {swapped}");
    }

    #[test]
    fn what_is_cut_to_size_is_bought_to_the_need() {
        let product = |price, piece_m2| Product {
            is_taken_away: false,
            price,
            fitting: 0.0,
            piece_m2,
            stock: f64::INFINITY,
        };
        let offer = |product, surface, gain| Offer {
            product,
            surface,
            gain_m2: vec![gain],
        };
        let band = Bounds {
            need_m2: 3.3,
            most_m2: f64::INFINITY,
        };
        // Carpet at 40 for 0.5 m² is 80 a square metre of absorption, panels at 60 for
        // 0.72 m² at 0.9 each some 93: carpet alone, 6.6 m².
        let products = [product(40.0, None), product(60.0, Some(0.72))];
        let offers = [offer(0, 0, 0.5), offer(1, 1, 0.72 * 0.9)];
        let found = cheapest(&products, &offers, &[20.0, 10.0], &[band]).unwrap();
        assert!(
            (found.units[0] - 6.6).abs() < 1e-6 && found.units[1] == 0.0,
            "{found:?}"
        );
        // With 4 m² of floor the rest are panels: 1.3/0.648 = 2.006, so three and less carpet.
        let found = cheapest(&products, &offers, &[4.0, 10.0], &[band]).unwrap();
        assert_eq!(found.units[1], 3.0);
        assert!(
            (found.units[0] - (3.3 - 3.0 * 0.648) / 0.5).abs() < 1e-6,
            "{found:?}"
        );
    }

    #[test]
    fn nothing_is_bought_where_nothing_is_needed() {
        let band = Bounds {
            need_m2: -1.0,
            most_m2: 2.0,
        };
        let found = cheapest(&[], &[], &[], &[band]).unwrap();
        assert_eq!(found.price, 0.0);
        let short = Bounds {
            need_m2: 1.0,
            most_m2: 2.0,
        };
        assert_eq!(cheapest(&[], &[], &[], &[short]), None);
    }
}
