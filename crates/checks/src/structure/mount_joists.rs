//! Does the projector's ceiling mount hang below a joist?

use analysis::{Analysis, LimitValue, Means, Missing, Parts, ProjectorPlace, Source, item_label};
use model::{Construction, Framing, MountKit, Space};
use units::Dimension;

use crate::cut_out::construction_path;
use crate::hanging::BetweenJoists;
use crate::mounted::usual;
use crate::moves::{Round, in_plan, text_of, to_spare, written_length};
use crate::{
    Area, Caution, Check, Finding, Known, Outcome, Published, Remedy, Run, Subject, Uncertain,
};

pub(crate) static CHECK: Check = Check {
    id: "mount-joists",
    area: Area::Structure,
    proves: "A joist lies above the plate of a projector's ceiling mount, within the reach of its screws.",
    matters: "Screws in ceiling board alone hold nothing: the projector comes down some months later, on whoever sits below.",
    formula: "s/2 − |x − c| ≥ 0; s: distance between the outer screws of the plate's row, m; x: the middle of the case, square to the joists, m; c: middle of the nearest joist, m. For a plate above the middle of the case whose row of holes or slots runs square to the joists. Joists on a slope are laid out in plan.",
    source: Source::Derived {
        from: "the joist lies between the outer screws of the plate",
    },
    when_it_fails: "Hang the projector where a joist is, use a wider plate, or have a carpenter fix a block between two joists. Who cuts or loads roof timbers asks a structural engineer.",
    limits: &[],
    published: &[
        Published {
            cite: "joists 24 in apart from 23 in, plate 16 in from screw to screw at 150 in: nearest at 143 in, 8 − 7 in to spare (computed)",
            computed: || spare_in(150.0, [23.0, 24.0], 16.0),
            expected: 1.0,
            tolerance: 1e-12, // Whole inches.
            unit: "in",
        },
        Published {
            cite: "joists 16 in apart from 14 in, plate 8 in from screw to screw at 70.5 in: midway between 62 and 78 in, 4 − 7.5 in (computed)",
            computed: || spare_in(70.5, [14.0, 16.0], 8.0),
            expected: -3.5,
            tolerance: 1e-12, // Halves of an inch.
            unit: "in",
        },
    ],
    run: Run::EachSpaceIn(Parts::NONE, run),
};

/// More joists than any ceiling has.
const JOISTS_MAX: u32 = 200;

/// From a place to the nearest of evenly spaced joists, all from the same wall.
fn off_joist(place: f64, first: f64, spacing: f64, count: u32) -> f64 {
    let last = f64::from(count.max(1) - 1);
    let nearest = ((place - first) / spacing).round().clamp(0.0, last);
    (place - first - nearest * spacing).abs()
}

fn spare_in(place: f64, [first, spacing]: [f64; 2], spread: f64) -> f64 {
    spread / 2.0 - off_joist(place, first, spacing, JOISTS_MAX)
}

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (item, kit) in analysis.projectors_in(space) {
        let Some((_, mount)) = analysis.mount_of(item).filter(|_| item.hung.is_some()) else {
            continue;
        };
        let made_of = space.construction_of("ceiling");
        if made_of.is_some_and(|made_of| made_of.framing != Framing::Joist) {
            continue;
        }
        findings.push(CHECK.about(space, Subject::item(item), || {
            let projector = analysis.projector(item, kit)?;
            decide(analysis, space, &projector, mount)
        }));
    }
    findings
}

/// Joists of a ceiling, and how far from one a mount's screws still reach it.
struct Joists {
    wall: usize,
    first: Uncertain,
    spacing: Uncertain,
    count: u32,
    reach: Uncertain,
}

impl Joists {
    fn above(analysis: &Analysis, space: &Space, mount: &MountKit) -> Known<Self> {
        let at = construction_path(space, "ceiling");
        let made_of = space.construction_of("ceiling").ok_or_else(|| {
            let what = format!("what the ceiling of {} is made of", space.label());
            Missing::new(what, at.clone(), Means::StudFinder)
        })?;
        let of_ceiling = |what: &str, fact: &str| {
            let what = format!("{what} in the ceiling of {}", space.label());
            Missing::new(what, format!("{at}.{fact}"), Means::StudFinder)
        };
        let wall = (made_of.along.as_deref())
            .and_then(|wall| space.wall(wall))
            .ok_or_else(|| of_ceiling("the wall that the joists run along", "along"))?;
        let first = analysis
            .number(made_of.first_from_left.as_ref())
            .ok_or_else(|| {
                of_ceiling(
                    "the first joist's distance from its wall",
                    "first_from_left",
                )
            })?;
        let spacing = spacing(analysis, made_of)
            .ok_or_else(|| of_ceiling("the spacing of the joists", "spacing"))?;
        let spread = analysis
            .number(mount.screw_spread.as_ref())
            .ok_or_else(|| {
                let name = mount.common.name.as_deref().unwrap_or(&mount.common.id);
                Missing::new(
                    format!("the distance between the outer screws of {name}"),
                    format!("kit.mount.{}.screw_spread", mount.common.id),
                    Means::SpecSheet,
                )
            })?;
        let (left, _, inward) = analysis.shape(space).wall_frame(wall)?;
        let ([lx, ly], [ix, iy]) = (left.value(), inward.value());
        let far_m = (analysis.shape(space).outline()?.iter())
            .map(|corner| (corner.x - lx) * ix + (corner.y - ly) * iy)
            .fold(0.0, f64::max);
        let within = ((far_m - first.value()) / spacing.value()).floor().max(0.0) as u32;
        Ok(Self {
            wall,
            first,
            spacing,
            count: (within + 1).min(JOISTS_MAX),
            reach: spread / 2.0,
        })
    }
}

fn spacing(analysis: &Analysis, made_of: &Construction) -> Option<Uncertain> {
    let read = analysis.number(made_of.spacing.as_ref())?;
    // A spacing read off a tape as one that houses are framed by is that very spacing.
    let spacing = usual(&read).map_or(read, Uncertain::exact);
    (spacing.value() > 0.0).then_some(spacing)
}

/// Where the screws of an item's mount meet no joist; nothing where it has no mount, or its
/// ceiling no joists.
pub(crate) fn between(
    analysis: &Analysis,
    space: &Space,
    projector: &ProjectorPlace<'_>,
) -> Known<Vec<BetweenJoists>> {
    let Some((_, mount)) = analysis.mount_of(projector.item) else {
        return Ok(Vec::new());
    };
    let made_of = space.construction_of("ceiling");
    if made_of.is_some_and(|made_of| made_of.framing != Framing::Joist) {
        return Ok(Vec::new());
    }
    let joists = Joists::above(analysis, space, mount)?;
    let (left, _, inward) = analysis.shape(space).wall_frame(joists.wall)?;
    let [first, step, reach] =
        [&joists.first, &joists.spacing, &joists.reach].map(Uncertain::value);
    let middle = |joist: u32| first + step * f64::from(joist);
    // Farther than any room is long, beyond the first and the last.
    const FAR_M: f64 = 1000.0;
    let gap = |near_m: f64, far_m: f64| BetweenJoists {
        across: inward.value(),
        from_m: left.value(),
        off_m: [near_m, far_m],
    };
    let mut gaps = vec![gap(-FAR_M, first - reach)];
    if 2.0 * reach < step {
        gaps.extend(
            (1..joists.count).map(|joist| gap(middle(joist - 1) + reach, middle(joist) - reach)),
        );
    }
    gaps.push(gap(middle(joists.count - 1) + reach, FAR_M));
    Ok(gaps)
}

fn decide(
    analysis: &Analysis,
    space: &Space,
    projector: &ProjectorPlace<'_>,
    mount: &MountKit,
) -> Known<Outcome> {
    let joists = Joists::above(analysis, space, mount)?;
    let (left, _, inward) = analysis.shape(space).wall_frame(joists.wall)?;
    let place = (&projector.case.centre.in_plan() - &left).dot(&inward);
    let count = joists.count;
    let off = uncertainty::through(
        [&place, &joists.first, &joists.spacing],
        |[place, first, spacing]| off_joist(place, first, spacing, count),
    );
    let item = projector.item;
    let sentence = format!(
        "The middle of {} is {} beside the nearest joist, and the screws of its mount reach {} to each side{}.",
        item_label(item),
        analysis.length(&off),
        analysis.length(&joists.reach),
        if off.value() > joists.reach.value() {
            ": they meet board alone"
        } else {
            ""
        },
    );
    let limit = LimitValue {
        value: joists.reach.value(),
        source: Source::SpecSheet,
    };
    let outcome = Outcome::at_most(off.clone(), &limit, Dimension::Length);
    let lacking = -to_spare(outcome.margin(), 0.0);
    let outcome = outcome
        .because(sentence)
        .caution(Caution::Structure)
        .caution(Caution::Drilling)
        .caution(Caution::Ladder);
    if !outcome.asks_for_remedies(analysis) {
        return Ok(outcome);
    }
    let nearest = ((place.value() - joists.first.value()) / joists.spacing.value())
        .round()
        .clamp(0.0, f64::from(count - 1));
    let joist = joists.first.value() + nearest * joists.spacing.value();
    // As far as it lacks, or right below where that is nearer than its spread.
    let by_m = lacking.min(off.value());
    let way = inward
        .value()
        .map(|part| part * (joist - place.value()).signum());
    let edit = in_plan(analysis, item, way, by_m, Round::Up);
    Ok(outcome.remedy(edit.map(|edit| {
        let says = format!(
            "Move {} {} to below the joist, to {} from the wall that it is measured from; find the joist's edges there before drilling, and prove throw and shift again.",
            item_label(item),
            written_length(analysis, by_m, Round::Up),
            text_of(&edit),
        );
        Remedy::new(says, vec![edit])
            .caution(Caution::Structure)
            .caution(Caution::Drilling)
            .caution(Caution::Ladder)
    })))
}

#[cfg(test)]
mod tests {
    //! Joists 600 mm apart, the first 300 mm from the north wall: 300, 900, 1500, 2100 mm.

    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{self, findings, findings_after};

    const JOISTS: &str = r#"
[[space.construction]]
of = "ceiling"
framing = "joist"
spacing = "600 mm"
along = "north"
first_from_left = "300 mm"
"#;

    fn mounted(from_north: &str, ceiling: &str, mount: &str) -> String {
        format!("{ceiling}{}", testing::mounted(from_north, "200 mm", mount))
    }

    const PLATE: &str = "screw_spread = \"200 mm\"";

    #[test]
    fn the_plate_reaches_a_joist_on_both_sides_and_no_further() {
        // Nearest joist at 2100 mm, reach 100 mm.
        for (from_north, verdict, margin) in [
            ("2.1 m", Verdict::Fits, 0.1),
            ("2.195 m", Verdict::Tight, 0.005),
            ("2.205 m", Verdict::Fails, -0.005),
            ("1.995 m", Verdict::Fails, -0.005),
            ("2.005 m", Verdict::Tight, 0.005),
        ] {
            let found = findings(&CHECK, &mounted(from_north, JOISTS, PLATE));
            assert_eq!(found.len(), 1);
            assert_eq!(found[0].verdict, verdict, "{from_north}");
            let had = found[0].margin.as_ref().expect("decided").value();
            assert!((had - margin).abs() < 2e-4, "{from_north}: {had}");
        }
    }

    #[test]
    fn its_remedy_hangs_it_below_the_joist() {
        for from_north in ["2.3 m", "1.9 m", "2.45 m"] {
            let text = mounted(from_north, JOISTS, PLATE);
            let found = findings(&CHECK, &text);
            assert_eq!(found[0].verdict, Verdict::Fails, "{from_north}");
            assert_eq!(found[0].remedies.len(), 1, "{from_north}");
            let after = findings_after(&CHECK, &text, &found[0].remedies[0].edits);
            assert_eq!(
                after[0].verdict,
                Verdict::Fits,
                "{}",
                found[0].remedies[0].says
            );
        }
    }

    #[test]
    fn what_nobody_looked_for_is_asked_for() {
        let needs = |ceiling: &str, mount: &str| {
            let found = findings(&CHECK, &mounted("2.1 m", ceiling, mount));
            assert_eq!(found[0].verdict, Verdict::Unknown);
            found[0].needs[0].at.clone()
        };
        assert_eq!(needs("", PLATE), "space.den.construction");
        let unmeasured = JOISTS.replace("first_from_left = \"300 mm\"\n", "");
        assert_eq!(
            needs(&unmeasured, PLATE),
            "space.den.construction.0.first_from_left"
        );
        let unturned = JOISTS.replace("along = \"north\"\n", "");
        assert_eq!(needs(&unturned, PLATE), "space.den.construction.0.along");
        assert_eq!(needs(JOISTS, ""), "kit.mount.mount-m1.screw_spread");
    }

    #[test]
    fn masonry_and_a_projector_without_a_mount_are_other_questions() {
        let concrete = "[[space.construction]]\nof = \"ceiling\"\nframing = \"concrete\"\n";
        assert!(findings(&CHECK, &mounted("2.3 m", concrete, PLATE)).is_empty());
        let unmounted = mounted("2.3 m", JOISTS, PLATE).replace("mount = \"mount\"\n", "");
        assert!(findings(&CHECK, &unmounted).is_empty());
    }
}
