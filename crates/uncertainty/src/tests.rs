//! Budgets against an independent package and against sampling by hand.

use crate::{SourceId, Uncertain, Vector2, through, through_many};

fn inputs() -> [Uncertain; 4] {
    let measured = |value, sigma, source| Uncertain::measured(value, sigma, SourceId(source));
    [
        measured(3.21, 0.003, 0),
        measured(1.5, 0.006, 1),
        measured(0.25, 0.01, 2),
        measured(-2.0, 0.05, 3),
    ]
}

/// Best estimates and standard uncertainties by the package `uncertainties` 3.2.3
/// (PyPI), from a = 3.21 ± 0.003, b = 1.5 ± 0.006, c = 0.25 ± 0.01, d = −2 ± 0.05.
const ORACLE: [(&str, f64, f64); 20] = [
    ("sum_same", 4.92, 0.00848528137423857),
    ("cancel", 1.5, 0.006),
    ("product", 1.2037499999999999, 0.048403226648643986),
    ("quotient", 2.14, 0.008790540370193405),
    ("ratio_self", 0.6815286624203821, 0.0008915717037398479),
    ("square", 8.0541, 0.02636185881154817),
    ("sqrt", 2.194310825749169, 0.004506817266004789),
    ("hypot", 3.543176540902245, 0.003720088246694491),
    ("hypot3", 4.068673002343639, 0.02479062431473109),
    ("atan2", -0.5571979709693875, 0.011228396779788102),
    ("sin", 0.7941667092070186, 0.03111094344873236),
    ("cos", 0.6459416144737632, 0.003065328142710144),
    ("tan", 0.25534192122103627, 0.0106519949673285),
    ("asin", 0.25268025514207865, 0.010327955589886443),
    ("acos", 1.4033482475752073, 0.006794956112546171),
    ("exp", 0.11765484302177918, 0.0010342496473317176),
    ("ln", 1.5496879080283263, 0.001424247119426618),
    ("log10", 6.608275466983818, 0.0356792820161006),
    ("pow", 3.130550111402148, 0.0192891778985005),
    ("poly", 1929.140625, 86.53937508124915),
];

fn by_operators(name: &str) -> Uncertain {
    let [a, b, c, d] = inputs();
    match name {
        "sum_same" => &a + &a - &b,
        "cancel" => (&a + &b) - &a,
        "product" => &a * &b * &c,
        "quotient" => &a / &b,
        "ratio_self" => &a / (&a + &b),
        "square" => a.square() - &b * &b,
        "sqrt" => (&a * &b).sqrt(),
        "hypot" => a.hypot(&b),
        "hypot3" => (&a * &a + &b * &b + &d * &d).sqrt(),
        "atan2" => d.atan2(&a),
        "sin" => c.sin() * &a,
        "cos" => c.cos() / &b,
        "tan" => c.tan(),
        "asin" => c.asin(),
        "acos" => (&c / &b).acos(),
        "exp" => (-&a / &b).exp(),
        "ln" => (&a + &b).ln(),
        "log10" => 20.0 * (&a / &b).log10(),
        "pow" => (&a / &b).powf(1.5),
        "poly" => 449.0 * c.powi(3) + 3525.0 * c.powi(2) + 6823.3 * &c - 5.0 * &a * &c,
        _ => unreachable!("{name}"),
    }
}

fn by_differences(name: &str) -> Uncertain {
    let [a, b, c, d] = inputs();
    through([&a, &b, &c, &d], |[a, b, c, d]| match name {
        "sum_same" => a + a - b,
        "cancel" => (a + b) - a,
        "product" => a * b * c,
        "quotient" => a / b,
        "ratio_self" => a / (a + b),
        "square" => a * a - b * b,
        "sqrt" => (a * b).sqrt(),
        "hypot" => a.hypot(b),
        "hypot3" => (a * a + b * b + d * d).sqrt(),
        "atan2" => d.atan2(a),
        "sin" => c.sin() * a,
        "cos" => c.cos() / b,
        "tan" => c.tan(),
        "asin" => c.asin(),
        "acos" => (c / b).acos(),
        "exp" => (-a / b).exp(),
        "ln" => (a + b).ln(),
        "log10" => 20.0 * (a / b).log10(),
        "pow" => (a / b).powf(1.5),
        "poly" => 449.0 * c.powi(3) + 3525.0 * c * c + 6823.3 * c - 5.0 * a * c,
        _ => unreachable!("{name}"),
    })
}

#[test]
fn operators_agree_with_the_reference_package_on_twenty_expressions() {
    for (name, value, sigma) in ORACLE {
        let result = by_operators(name);
        assert!(
            (result.value() - value).abs() <= 1e-12 * value.abs().max(1.0),
            "{name}"
        );
        let error = (result.standard_uncertainty() - sigma).abs();
        assert!(
            error <= 1e-10 * sigma,
            "{name}: {} for {sigma}",
            result.standard_uncertainty()
        );
    }
}

/// The differences step by 1e-3 σ: their relative truncation is of the order 1e-7.
#[test]
fn differences_agree_with_the_reference_package_on_twenty_expressions() {
    for (name, value, sigma) in ORACLE {
        let result = by_differences(name);
        assert!(
            (result.value() - value).abs() <= 1e-12 * value.abs().max(1.0),
            "{name}"
        );
        let error = (result.standard_uncertainty() - sigma).abs();
        assert!(
            error <= 1e-6 * sigma,
            "{name}: {} for {sigma}",
            result.standard_uncertainty()
        );
    }
}

#[test]
fn a_measurement_met_twice_cancels() {
    let [wall, screen, ..] = inputs();
    let left = (&wall - &screen) / 2.0;
    let right = &wall - &left - &screen;
    let difference = &left - &right;
    assert_eq!(difference.value(), 0.0);
    assert_eq!(difference.standard_uncertainty(), 0.0);
}

#[test]
fn exact_numbers_carry_no_budget() {
    let number = Uncertain::exact(2.0) * 3.0 + 1.0;
    assert_eq!(number.value(), 7.0);
    assert!(number.budget().is_empty());
}

#[test]
fn covariance_comes_from_shared_sources_only() {
    let [a, b, c, _] = inputs();
    let (left, right) = (&a + &b, &a - &c);
    assert!((left.covariance(&right) - 0.003_f64.powi(2)).abs() < 1e-15);
    assert_eq!(b.covariance(&c), 0.0);
}

#[test]
fn several_results_share_one_pass() {
    let [a, b, ..] = inputs();
    let results = through_many(&[&a, &b], |x| vec![x[0] * x[1], x[0] - x[1]]);
    assert!((results[0].standard_uncertainty() - (&a * &b).standard_uncertainty()).abs() < 1e-9);
    assert!((results[1].standard_uncertainty() - (&a - &b).standard_uncertainty()).abs() < 1e-9);
}

#[test]
fn a_point_keeps_its_shared_sources_through_plan_geometry() {
    let [a, b, ..] = inputs();
    let (from, to) = (Vector2::new(a.clone(), 0.0), Vector2::new(a, b));
    let distance = (&to - &from).norm();
    assert!((distance.standard_uncertainty() - 0.006).abs() < 1e-12);
}

#[test]
fn an_input_that_is_exact_but_for_rounding_stays_finite() {
    let nearly = Uncertain::measured(2.41, 1e-19, SourceId(0));
    let result = through([&nearly], |[x]| x / 2.0);
    assert!(result.standard_uncertainty() < 1e-15, "{result:?}");
}

#[test]
fn a_sum_of_many_is_what_adding_one_by_one_gives() {
    let number = |i: u32| {
        let one = Uncertain::measured(f64::from(i), 0.1, SourceId(i * 7 % 31));
        one + Uncertain::measured(0.5, 0.01 * f64::from(i), SourceId(i * 11 % 17))
    };
    let all: Vec<Uncertain> = (0..90).map(number).collect();
    let in_turn = (all.iter()).fold(Uncertain::exact(0.0), |sum, one| sum + one);
    assert_eq!(all.into_iter().sum::<Uncertain>(), in_turn);
}

/// Sums of many are added up at once, whether their sources lie close together or not.
#[test]
fn sums_of_many_are_those_of_adding_in_turn() {
    for spread in [1, 1 << 20] {
        let numbers: Vec<Uncertain> = (0..300_u32)
            .map(|k| {
                let measured = |source, u| Uncertain::measured(1.0, u, SourceId(source));
                let own = measured((k % 70) * spread, 1e-3 * f64::from(k + 1));
                own + measured((1 << 31) + k % 7, 0.1) * f64::from(k)
            })
            .collect();
        let in_turn = (numbers.iter()).fold(Uncertain::exact(0.0), |sum, number| sum + number);
        let at_once: Uncertain = numbers.iter().cloned().sum();
        assert_eq!(at_once, in_turn);
    }
}

/// The shares of each source by itself, a missing one as nothing; numbers of the same sources, of
/// some in common, and of none.
#[test]
fn a_sum_of_two_is_that_of_each_source() {
    let number = |sources: &[u32]| {
        let share = |source: &u32| {
            let sigma = f64::from(*source % 13 + 1) / 7.0;
            Uncertain::measured(1.5, sigma, SourceId(*source)) * f64::from(*source % 5 + 1)
        };
        sources.iter().map(share).sum::<Uncertain>()
    };
    let lists: [&[u32]; 6] = [
        &[3],
        &[1, 2, 3, 5, 8],
        &[1, 2, 3, 5, 9],
        &[0, 4, 6, 7, 10, 1 << 31],
        &[2, 1 << 31, (1 << 31) + 4],
        &[11, 12],
    ];
    for (one, other) in lists.iter().flat_map(|a| lists.iter().map(move |b| (a, b))) {
        let (a, b) = (number(one), number(other));
        let share = |of: &Uncertain, source: u32| {
            let mut shares = of.budget().iter();
            let known = shares.find(|(id, _)| *id == SourceId(source));
            known.map_or(0.0, |(_, share)| *share)
        };
        let mut sources = [*one, *other].concat();
        sources.sort_unstable();
        sources.dedup();
        let plain = |source: &u32| {
            let shares = b.value() * share(&a, *source) + a.value() * share(&b, *source);
            (SourceId(*source), shares)
        };
        let expected: Vec<_> = sources.iter().map(plain).collect();
        assert_eq!((&a * &b).budget(), expected);
        let [all, in_turn] = [
            [&a, &b, &b, &a].map(Uncertain::clone).into_iter().sum(),
            &a + &b + &b + &a,
        ];
        assert_eq!(all, in_turn);
        let products = sources.iter().map(|id| share(&a, *id) * share(&b, *id));
        assert_eq!(
            a.covariance(&b),
            products.fold(0.0, |sum, product| sum + product)
        );
    }
}
