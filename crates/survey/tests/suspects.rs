//! Who is suspected, for rooms small enough to reason about by hand.

use std::f64::consts::PI;

use proptest::prelude::*;
use survey::{
    Diagonal, Observation, Observed, Slip, SurveyError, Suspect, Traverse, adjust, closing_limit,
    suspects,
};

fn observed(value: f64, sigma: f64) -> Observed {
    Observed { value, sigma }
}

fn square_room(lengths_m: &[f64], diagonals: &[(usize, usize, f64)]) -> Traverse {
    Traverse {
        lengths: lengths_m
            .iter()
            .map(|&length| observed(length, 0.003))
            .collect(),
        angles: lengths_m
            .iter()
            .map(|_| observed(PI / 2.0, 0.5_f64.to_radians()))
            .collect(),
        diagonals: diagonals
            .iter()
            .map(|&(from, to, length)| Diagonal {
                from,
                to,
                length: observed(length, 0.003),
            })
            .collect(),
    }
}

fn list(traverse: &Traverse) -> Vec<Suspect> {
    suspects(traverse, &adjust(traverse).expect("a room"))
}

#[test]
fn a_room_that_closes_has_no_suspects() {
    assert_eq!(
        list(&square_room(
            &[5.203, 4.098, 5.198, 4.103],
            &[(0, 2, 6.622)]
        )),
        vec![]
    );
}

#[test]
fn opposite_walls_are_equals_until_a_diagonal_decides() {
    let room = square_room(&[5.2, 4.1, 5.5, 4.1], &[]);
    let equals = list(&room);
    let who: Vec<Observation> = equals.iter().map(|suspect| suspect.observation).collect();
    assert_eq!(who.len(), 2, "{equals:?}");
    assert!(who.contains(&Observation::Length(0)) && who.contains(&Observation::Length(2)));
    for suspect in &equals {
        assert_eq!((suspect.rank, suspect.decide_with), (1, Some([0, 2])));
        let other = if suspect.observation == Observation::Length(0) {
            5.5
        } else {
            5.2
        };
        assert!((suspect.needed - other).abs() < 1e-3, "{suspect:?}");
        assert!(suspect.closes_to_sigma < 0.1, "{suspect:?}");
    }
    let mut decided = room;
    let length = observed(5.2_f64.hypot(4.1), 0.003);
    decided.diagonals.push(Diagonal {
        from: 0,
        to: 2,
        length,
    });
    let named = list(&decided);
    assert_eq!(
        (named[0].observation, named[0].rank),
        (Observation::Length(2), 1)
    );
    assert!(named[0].probability > 0.99, "{named:?}");
    assert!(
        named[1..].iter().all(|suspect| suspect.rank > 1),
        "{named:?}"
    );
}

#[test]
fn a_swapped_digit_is_named_with_the_value_meant() {
    // 4.53 typed for 5.43; both diagonals √(5.43² + 4.10²) = 6.804.
    let diagonals = [(0, 2, 6.804), (1, 3, 6.803)];
    let named = list(&square_room(&[4.53, 4.1, 5.43, 4.1], &diagonals));
    assert_eq!(named[0].observation, Observation::Length(0));
    let Some(slip @ Slip::DigitsSwapped(value)) = named[0].slip else {
        panic!("{named:?}")
    };
    assert!((value - 5.43).abs() < 1e-9);
    assert_eq!(slip.to_string(), "two digits swapped");
    assert!(named[0].closes_to_sigma < closing_limit(5));
}

#[test]
fn a_foot_too_many_is_named_in_an_imperial_room() {
    let feet = |feet: f64, inches: f64| (12.0 * feet + inches) * 0.0254;
    let (long, short) = (feet(21.0, 2.5), feet(16.0, 4.0));
    let diagonal = long.hypot(short);
    let lengths = [short, long, short + feet(1.0, 0.0), long];
    let named = list(&square_room(&lengths, &[(0, 2, diagonal)]));
    assert_eq!(named[0].observation, Observation::Length(2));
    let Some(Slip::OneFootOff(value)) = named[0].slip else {
        panic!("{named:?}")
    };
    assert!((value - short).abs() < 1e-9);
}

#[test]
fn a_bad_diagonal_is_suspected_itself() {
    let diagonals = [(0, 2, 6.622), (1, 3, 6.262)];
    let named = list(&square_room(&[5.2, 4.1, 5.2, 4.1], &diagonals));
    assert_eq!(named[0].observation, Observation::Diagonal(1));
    assert!(
        matches!(named[0].slip, Some(Slip::DigitsSwapped(value)) if (value - 6.622).abs() < 1e-9)
    );
}

#[test]
fn a_splayed_corner_left_at_ninety_is_suspected() {
    // One corner cut off at 45°, its first angle typed, its second left out.
    let cut = 2_f64.sqrt();
    let mut room = square_room(&[4.0, 3.0, cut, 3.0, 4.0], &[(0, 2, 5.0)]);
    room.angles[1] = observed(0.75 * PI, 0.25_f64.to_radians());
    let named = list(&room);
    assert_eq!(named[0].observation, Observation::Angle(2), "{named:?}");
    assert!((named[0].needed.to_degrees() - 135.0).abs() < 1.0);
    assert!(
        matches!(named[0].slip, Some(Slip::CornerNotSquare(_))),
        "{named:?}"
    );
}

#[test]
fn the_starting_wall_does_not_change_who_is_suspected() {
    let room = square_room(&[5.2, 4.1, 5.5, 4.1], &[(0, 2, 6.622)]);
    let mut turned = room.clone();
    turned.lengths.rotate_left(1);
    turned.angles.rotate_left(1);
    turned.diagonals[0] = Diagonal {
        from: 3,
        to: 1,
        ..room.diagonals[0]
    };
    let (here, there) = (list(&room), list(&turned));
    assert_eq!(here[0].observation, Observation::Length(2));
    assert_eq!(there[0].observation, Observation::Length(1));
    assert!((here[0].needed - there[0].needed).abs() < 1e-6);
}

#[test]
fn two_mistakes_are_admitted() {
    let diagonals = [(0, 2, 6.622), (1, 3, 6.622)];
    let named = list(&square_room(&[5.2, 4.6, 5.9, 4.1], &diagonals));
    assert!(named[0].closes_to_sigma > closing_limit(5), "{named:?}");
}

#[test]
fn answers_do_not_depend_on_the_run() {
    let room = square_room(&[5.2, 4.1, 5.5, 4.1], &[]);
    assert_eq!(list(&room), list(&room));
}

#[test]
fn results_of_another_room_are_refused() {
    let room = square_room(&[5.2, 4.1, 5.5, 4.1], &[]);
    let adjusted = adjust(&room).expect("a room");
    assert_eq!(
        suspects(&square_room(&[3.0, 3.0, 4.0], &[]), &adjusted),
        vec![]
    );
    assert_eq!(suspects(&Traverse::default(), &adjusted), vec![]);
}

fn anything() -> impl Strategy<Value = f64> {
    prop_oneof![
        8 => 0.1..9.0_f64,
        1 => any::<f64>(),
        1 => prop_oneof![Just(0.0), Just(1e-300), Just(1e300), Just(f64::NAN), Just(f64::INFINITY)],
    ]
}

fn measurement() -> impl Strategy<Value = Observed> {
    (anything(), prop_oneof![9 => 1e-4..0.1_f64, 1 => anything()])
        .prop_map(|(value, sigma)| Observed { value, sigma })
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(1500) })]

    /// Whatever is typed: an answer with finite numbers or an error, no panic.
    #[test]
    fn nothing_typed_panics(
        lengths in prop::collection::vec(measurement(), 0..7),
        angles in prop::collection::vec(measurement(), 0..7),
        square in any::<bool>(),
        ends in prop::collection::vec((0..8_usize, 0..8_usize, measurement()), 0..3),
    ) {
        let angles = if square {
            lengths.iter().map(|_| observed(PI / 2.0, 0.01)).collect()
        } else {
            angles
        };
        let diagonals =
            ends.into_iter().map(|(from, to, length)| Diagonal { from, to, length }).collect();
        let traverse = Traverse { lengths, angles, diagonals };
        let adjusted = match adjust(&traverse) {
            Ok(adjusted) => adjusted,
            Err(SurveyError::WallsCross { adjusted, .. } | SurveyError::InsideOut { adjusted, .. }) => *adjusted,
            Err(error) => {
                prop_assert!(!error.to_string().is_empty());
                return Ok(());
            }
        };
        prop_assert!(adjusted.corners.iter().flatten().all(|x| x.is_finite()));
        for suspect in suspects(&traverse, &adjusted) {
            prop_assert!(suspect.needed.is_finite() && suspect.closes_to_sigma.is_finite());
        }
    }
}
