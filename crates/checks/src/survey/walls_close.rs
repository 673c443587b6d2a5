//! Do the walls close as measured, and if not, which number is wrong?

use analysis::{
    Analysis, Closure, FailedClosure, Observation, Parts, Source, Suspect, Swap, WallsFault,
};
use model::{Edit, Space};
use units::Dimension;

use crate::moves::{Round, written_length};
use crate::{Area, Check, Finding, Outcome, Published, Remedy, Run, Subject, Uncertain};

const CLOSING: Source = Source::Derived {
    from: "least squares over walls, corners and diagonals; the χ² limit that chance exceeds once in 370 rooms",
};

pub(crate) static CHECK: Check = Check {
    id: "walls-close",
    area: Area::Survey,
    proves: "The walls, corners and diagonals of each room agree with each other within their tolerances.",
    matters: "One mistyped wall moves every corner after it: the screen, the wires and the holes are then planned in a room that does not exist.",
    formula: "√T with T = Σ (v/σ)², v: what each measurement must give way for the room to close, σ: half its tolerance (m, rad); limit √χ²(99.73 %, r), r: measurements beyond what the corners need (3 and one for each diagonal). Told as a share of the limit. A mistake is looked for one at a time, and two walls written in each other's place; two other mistakes in one room may hide each other.",
    source: CLOSING,
    when_it_fails: "Measure the suspected wall again; where two are equally likely, measure the diagonal that is named.",
    limits: &[],
    published: &[
        Published {
            cite: "χ² distribution, 3 degrees of freedom, 99.73 % quantile, square root (computed with scipy 1.17.1, stats.chi2)",
            computed: || limit(3),
            expected: 3.762_5,
            tolerance: 0.037, // The limit's stated accuracy of 1 %.
            unit: "1",
        },
        Published {
            cite: "χ² distribution, 4 degrees of freedom, 99.73 % quantile, square root (computed with scipy 1.17.1, stats.chi2)",
            computed: || limit(4),
            expected: 4.031_3,
            tolerance: 0.040,
            unit: "1",
        },
    ],
    run: Run::EachSpaceIn(Parts::NONE, run),
};

fn limit(redundancy: usize) -> f64 {
    analysis::closing_limit(redundancy)
}

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    let shape = analysis.shape(space);
    let finding = CHECK.about(space, Subject::space(space), || {
        match (shape.failed_closure(), shape.closure()) {
            (Some(failed), _) => Ok(open(analysis, space, failed)),
            (None, Ok(closure)) => Ok(judged(analysis, space, closure, "")),
            (None, Err(missing)) => Err(missing),
        }
    });
    vec![finding]
}

/// How much of what chance allows is used up.
fn judged(analysis: &Analysis, space: &Space, closure: &Closure, fault: &str) -> Outcome {
    let share = closure.distance() / closure.limit();
    let mut sentence = format!(
        "What was measured of {} disagrees by {:.1} times its uncertainty; chance explains {:.1} times.{fault}",
        space.label(),
        closure.distance(),
        closure.limit(),
    );
    let swaps = exchanged(closure);
    // What leaves the room open is not worth saying beside a swap that closes it.
    let closes = |suspect: &Suspect| suspect.closes_to_sigma <= closure.limit();
    let suspects: Vec<Suspect> = (likeliest(closure).into_iter())
        .filter(|suspect| swaps.is_empty() || closes(suspect))
        .collect();
    for suspect in &suspects {
        sentence += &format!(" {}", accusation(analysis, space, closure, suspect));
    }
    if let Some([from, to]) = suspects.first().and_then(|suspect| suspect.decide_with) {
        sentence += &format!(
            " To tell which, measure the diagonal from {} to {}.",
            corner(space, from),
            corner(space, to)
        );
    }
    for (at, swap) in swaps.iter().enumerate() {
        let or = at > 0 || !suspects.is_empty();
        sentence += &format!(" {}", exchange_words(analysis, space, closure, swap, or));
    }
    let value = Uncertain::exact(share);
    let margin = 1.0 - &value;
    let outcome = Outcome::with_margin(value, 1.0, margin, Dimension::Ratio, CLOSING);
    let corrections =
        (suspects.iter()).map(|suspect| correction(analysis, space, closure, suspect));
    let exchanges = (swaps.iter()).map(|swap| exchange(space, swap));
    (corrections.chain(exchanges)).fold(outcome.because(sentence), Outcome::remedy)
}

/// The pairs of walls that close the room as well as the best of them.
fn exchanged(closure: &Closure) -> Vec<Swap> {
    const AS_WELL_SIGMA: f64 = 0.5;
    const MOST: usize = 2;
    let Some(best) = closure.swaps.first() else {
        return Vec::new();
    };
    let as_well = |swap: &&Swap| {
        swap.closes_to_sigma <= (best.closes_to_sigma + AS_WELL_SIGMA).min(closure.limit())
    };
    (closure.swaps.iter().filter(as_well))
        .take(MOST)
        .copied()
        .collect()
}

fn exchange_words(
    analysis: &Analysis,
    space: &Space,
    closure: &Closure,
    swap: &Swap,
    or: bool,
) -> String {
    let [first, second] = swap.walls.map(|wall| &space.walls[wall].id);
    let [one, other] = (swap.walls).map(|wall| closure.traverse.lengths[wall].value);
    let left = analysis.exact(swap.closes_to_sigma / closure.limit(), Dimension::Ratio);
    let length = |value| analysis.exact(value, Dimension::Length);
    format!(
        "{} the lengths of walls {first} and {second} are written in each other's place: with {} and {} exchanged, {left} of what chance explains is left.",
        if or { "Or" } else { "Likely" },
        length(one),
        length(other),
    )
}

/// Both lengths in each other's place, as they were written.
fn exchange(space: &Space, swap: &Swap) -> Option<Remedy> {
    let [first, second] = swap.walls.map(|wall| &space.walls[wall]);
    let at = |wall: &model::Wall| format!("space.{}.walls.{}.length", space.id, wall.id);
    let edits = vec![
        Edit::set(at(first), second.length.as_ref()?.text()),
        Edit::set(at(second), first.length.as_ref()?.text()),
    ];
    let says = format!(
        "Measure walls {} and {} again; if they are written in each other's place, exchange them.",
        first.id, second.id
    );
    Some(Remedy::new(says, edits))
}

/// Walls that are all measured and enclose no room.
fn open(analysis: &Analysis, space: &Space, failed: &FailedClosure) -> Outcome {
    let FailedClosure { closure, fault } = failed;
    let words = format!(" They enclose no room: {}.", fault.words(space));
    let outcome = judged(analysis, space, closure, &words);
    if *outcome.margin() < Uncertain::exact(0.0) {
        return outcome;
    }
    // The numbers agree with each other and are wrong together.
    let sentence = format!(
        "The measurements of {} agree with each other but enclose no room: {}.",
        space.label(),
        fault.words(space)
    );
    let (value, limit, dimension) = match *fault {
        WallsFault::InsideOut {
            sum_rad,
            expected_rad,
        } => (sum_rad, expected_rad, Dimension::Angle),
        WallsFault::Cross { first, second } => {
            (overlap_m(closure, first, second), 0.0, Dimension::Length)
        }
    };
    let margin = Uncertain::exact(-(value - limit).abs());
    Outcome::with_margin(Uncertain::exact(value), limit, margin, dimension, CLOSING)
        .because(sentence)
}

/// How far two walls reach past the point where they cross: the shortest piece that
/// would have to go, m.
fn overlap_m(closure: &Closure, first: usize, second: usize) -> f64 {
    let corners = &closure.adjusted.corners;
    let ends = |wall: usize| (corners[wall], corners[(wall + 1) % corners.len()]);
    let ((a, b), (c, d)) = (ends(first), ends(second));
    let sub = |p: [f64; 2], q: [f64; 2]| [p[0] - q[0], p[1] - q[1]];
    let cross = |p: [f64; 2], q: [f64; 2]| p[0] * q[1] - p[1] * q[0];
    let (r, s) = (sub(b, a), sub(d, c));
    let turn = cross(r, s);
    if turn == 0.0 {
        return r[0].hypot(r[1]).min(s[0].hypot(s[1]));
    }
    let t = cross(sub(c, a), s) / turn;
    let u = cross(sub(c, a), r) / turn;
    let shorter =
        |share: f64, side: [f64; 2]| share.min(1.0 - share).abs() * side[0].hypot(side[1]);
    shorter(t, r).min(shorter(u, s))
}

/// The suspects that can't be told apart from the first.
fn likeliest(closure: &Closure) -> Vec<Suspect> {
    let measured = |suspect: &&Suspect| match suspect.observation {
        Observation::Length(wall) => !closure.inferred.contains(&wall),
        _ => true,
    };
    let first = |suspect: &&Suspect| suspect.rank == 1;
    (closure.suspects.iter().filter(measured).filter(first))
        .take(4)
        .cloned()
        .collect()
}

fn accusation(analysis: &Analysis, space: &Space, closure: &Closure, suspect: &Suspect) -> String {
    let typed = closure
        .traverse
        .observed(suspect.observation)
        .map_or(0.0, |observed| observed.value);
    let dimension = dimension(suspect.observation);
    let slip = match suspect.slip {
        Some(slip) => format!(
            ", as if {} for {} ({slip})",
            analysis.exact(typed, dimension),
            analysis.exact(slip.value(), dimension)
        ),
        None => String::new(),
    };
    let given = match suspect.observation {
        Observation::Angle(wall) if space.walls[wall].corner.is_none() => {
            "nobody measured it and it is taken as square".to_owned()
        }
        _ => format!("{} is written", analysis.exact(typed, dimension)),
    };
    format!(
        "Likely wrong is {}: {given}, {} would close the room{slip}.",
        name(space, suspect.observation),
        analysis.exact(suspect.needed, dimension),
    )
}

/// The value that closes the room, in the suspect's place.
fn correction(
    analysis: &Analysis,
    space: &Space,
    closure: &Closure,
    suspect: &Suspect,
) -> Option<Remedy> {
    let meant = suspect.slip.map_or(suspect.needed, |slip| slip.value());
    let (text, typed) = match suspect.observation {
        Observation::Angle(_) => (format!("{:.1} deg", meant.to_degrees()), String::new()),
        _ => (
            written_length(analysis, meant, Round::Nearest),
            how_taken(analysis, &closure.path_of(space, suspect)),
        ),
    };
    let says = format!(
        "Measure {} again; if it is {}, write that.",
        name(space, suspect.observation),
        analysis.exact(meant, dimension(suspect.observation)),
    );
    let text = format!("{text}{typed}");
    let edit = Edit::set(closure.path_of(space, suspect), text);
    Some(Remedy::new(says, vec![edit]))
}

/// The words of the old value that say how it was taken, for the one in its place.
fn how_taken(analysis: &Analysis, path: &str) -> String {
    let latest = analysis.job().measurements.latest(path);
    match latest.map(|(_, known)| &known.reading) {
        Some(reading) if reading.tolerance.is_some() || reading.method.is_some() => {
            reading.tolerance_si().map_or(String::new(), |tolerance| {
                format!(" ± {:.1} mm", tolerance * 1000.0)
            })
        }
        _ => String::new(),
    }
}

fn dimension(observation: Observation) -> Dimension {
    match observation {
        Observation::Angle(_) => Dimension::Angle,
        _ => Dimension::Length,
    }
}

fn name(space: &Space, observation: Observation) -> String {
    match observation {
        Observation::Length(wall) => format!("wall {}", space.walls[wall].id),
        Observation::Angle(wall) => {
            format!(
                "the corner at the right end of wall {}",
                space.walls[wall].id
            )
        }
        Observation::Diagonal(index) => {
            let diagonal = &space.diagonals[index];
            format!("the diagonal from {} to {}", diagonal.0, diagonal.1)
        }
    }
}

/// A corner as the job writes it.
fn corner(space: &Space, corner: usize) -> String {
    format!("{}.left", space.walls[corner].id)
}

#[cfg(test)]
mod tests {
    //! The test room with single numbers spoiled.

    use super::CHECK;
    use crate::testing::{ROOM, findings_of, told};
    use crate::{Finding, Verdict};

    fn with(from: &str, to: &str) -> (String, Vec<Finding>) {
        assert!(ROOM.contains(from), "{from}");
        let text = ROOM.replacen(from, to, 1);
        let found = findings_of(&CHECK, &text);
        (text, found)
    }

    fn after(text: &str, finding: &Finding, number: usize) -> Verdict {
        let job = crate::testing::job(text);
        let edits = &finding.remedies[number].edits;
        let edited = crate::Analysis::new(job)
            .edited(edits)
            .expect("the edits can be made");
        let space = &edited.job().space[0];
        super::run(&edited, space)[0].verdict
    }

    #[test]
    fn the_test_room_closes() {
        // √(6² + 4²) = 7.2111 m.
        let found = findings_of(&CHECK, ROOM);
        assert_eq!(found[0].verdict, Verdict::Fits, "{}", told(&found));
    }

    #[test]
    fn a_wall_with_swapped_digits_is_named_with_its_value() {
        let (text, found) = with(
            "{ id = \"south\", length = \"6 m\" }",
            "{ id = \"south\", length = \"6.42 m\" }",
        );
        assert_eq!(found[0].verdict, Verdict::Fails, "{}", told(&found));
        assert!(
            found[0].because.contains("wall south"),
            "{}",
            found[0].because
        );
        let mended = (0..found[0].remedies.len()).map(|i| after(&text, &found[0], i));
        assert!(mended.into_iter().any(|verdict| verdict == Verdict::Fits));
    }

    #[test]
    fn two_walls_in_each_others_place_are_named_and_not_a_corner() {
        // 6, 4, 6, 4 m written 4, 6, 6, 4: north and east, or south and west, changed places.
        let text = ROOM
            .replace(
                "\"north\", length = \"6 m\"",
                "\"north\", length = \"4 m laser\"",
            )
            .replace("\"east\", length = \"4 m\"", "\"east\", length = \"6 m\"");
        let found = findings_of(&CHECK, &text);
        let because = &found[0].because;
        assert_eq!(found[0].verdict, Verdict::Fails);
        assert!(!because.contains("corner"), "{because}");
        assert!(
            because.contains(
                "Likely the lengths of walls north and east are written in each other's place"
            ),
            "{because}"
        );
        assert!(
            because.contains("Or the lengths of walls south and west"),
            "{because}"
        );
        assert_eq!(found[0].remedies.len(), 2);
        // How each was taken goes with it.
        let set = |edit: &model::Edit| edit.set.clone().expect("a length");
        assert_eq!(set(&found[0].remedies[0].edits[1]), "4 m laser");
        for number in 0..2 {
            assert_eq!(after(&text, &found[0], number), Verdict::Fits);
        }
    }

    #[test]
    fn a_wrong_diagonal_is_named() {
        let (text, found) = with("\"7.2111 m\"", "\"7.5111 m\"");
        assert_eq!(found[0].verdict, Verdict::Fails);
        assert!(
            found[0]
                .because
                .contains("the diagonal from north.left to south.left"),
            "{}",
            found[0].because
        );
        assert_eq!(after(&text, &found[0], 0), Verdict::Fits);
    }

    #[test]
    fn a_corner_that_turns_outwards_is_named_as_an_inside_angle() {
        // A step of 2 × 1.5 m is cut out of the room; nobody wrote its 270° corner down.
        let walls = ROOM
            .lines()
            .find(|line| line.contains("id = \"south\", length"))
            .expect("the room has a south wall");
        let step = "  { id = \"step-side\", length = \"2 m\" },\n  { id = \"step\", length = \"1.5 m\" },\n  { id = \"south\", length = \"4 m\" },";
        let text = ROOM
            .replace(walls, step)
            .replace(
                "{ id = \"east\", length = \"4 m\" }",
                "{ id = \"east\", length = \"2.5 m\" }",
            )
            .replace(
                "diagonals = [[\"north.left\", \"south.left\", \"7.2111 m\"]]\n",
                "",
            );
        let found = findings_of(&CHECK, &text);
        assert!(
            found[0].because.contains(
                "the corner at the right end of wall step-side: nobody measured it and it is taken as square, 270° would close"
            ),
            "{}",
            found[0].because
        );
        assert_eq!(after(&text, &found[0], 0), Verdict::Fits);
    }

    #[test]
    fn without_a_diagonal_the_deciding_one_is_named() {
        let text = ROOM
            .replace(
                "diagonals = [[\"north.left\", \"south.left\", \"7.2111 m\"]]\n",
                "",
            )
            .replace(
                "{ id = \"south\", length = \"6 m\" }",
                "{ id = \"south\", length = \"6.42 m\" }",
            );
        let found = findings_of(&CHECK, &text);
        assert_eq!(found[0].verdict, Verdict::Fails);
        assert!(
            found[0]
                .because
                .contains("To tell which, measure the diagonal from "),
            "{}",
            found[0].because
        );
        assert!(found[0].because.contains("wall north") && found[0].because.contains("wall south"));
    }

    #[test]
    fn both_sides_of_the_limit() {
        // Shear changes the diagonal by 6 · 4 / 7.211 = 3.33 m/rad; four corners of ±1°
        // (σ 8.73 mrad) give it σ 4.36 mrad, so 14.5 mm; lengths of σ 3 mm add
        // 3 mm · √1.5: σ 15.0 mm in all. 4.03 σ are 60.4 mm.
        let verdict = |text: &str| with("\"7.2111 m\"", text).1[0].verdict;
        assert_eq!(verdict("\"7.2691 m\""), Verdict::Fits);
        assert_eq!(verdict("\"7.2741 m\""), Verdict::Fails);
    }

    #[test]
    fn a_wall_worked_out_from_the_others_accuses_nobody() {
        let (_, found) = with("{ id = \"south\", length = \"6 m\" }", "{ id = \"south\" }");
        assert_eq!(found[0].verdict, Verdict::Fits, "{}", told(&found));
    }

    #[test]
    fn too_few_walls_measured_is_unknown() {
        let text = ROOM
            .replace("{ id = \"south\", length = \"6 m\" }", "{ id = \"south\" }")
            .replace("{ id = \"north\", length = \"6 m\" }", "{ id = \"north\" }");
        let found = findings_of(&CHECK, &text);
        assert_eq!(found[0].verdict, Verdict::Unknown);
        assert_eq!(found[0].needs[0].at, "space.den.walls.north.length");
    }

    #[test]
    fn outside_angles_are_told_from_inside_ones() {
        let text = ROOM
            .replace(
                "diagonals = [[\"north.left\", \"south.left\", \"7.2111 m\"]]\n",
                "",
            )
            .replace(" m\" },", " m\", corner = 270 },");
        let found = findings_of(&CHECK, &text);
        assert_eq!(found[0].verdict, Verdict::Fails, "{}", told(&found));
        // 4 · 270° = 1080°, and 360° is right.
        assert!(
            found[0].because.contains("1080° and should add up to 360°"),
            "{}",
            found[0].because
        );
        assert!((found[0].margin.as_ref().unwrap().value() + 720_f64.to_radians()).abs() < 1e-6);
    }

    #[test]
    fn walls_that_cross_are_named() {
        // An L-shaped room with one inward corner walked outwards.
        let text = r#"
format = 1
[job]
name = "Test house"
[[space]]
id = "den"
walls = [
  { id = "a", length = "6 m" },
  { id = "b", length = "4 m" },
  { id = "c", length = "2 m", corner = 270 },
  { id = "d", length = "9 m" },
  { id = "e", length = "4 m" },
  { id = "f", length = "6 m" },
]
"#;
        let found = findings_of(&CHECK, text);
        assert_eq!(found[0].verdict, Verdict::Fails, "{}", told(&found));
    }
}
