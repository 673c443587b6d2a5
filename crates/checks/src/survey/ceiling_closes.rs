//! Do ceiling and soffits close the room over its walls?

use analysis::{Analysis, Parts, ShapeFault, Source};
use geometry::solid::Place;
use geometry::{Ceiling, CeilingError, Plan, Point2, Solid, SolidError, Surface};
use model::{Edit, Space, SpaceKind};
use units::{Dimension, Metres};

use crate::moves::{Round, written_length};
use crate::{Area, Check, Finding, Known, Outcome, Published, Remedy, Run, Subject, Uncertain};

const SHAPE: Source = Source::Derived {
    from: "a room's surfaces bound its air without a gap",
};

/// Less height than this is no room to the geometry, m.
const LEAST_HEIGHT_M: f64 = 0.001;

pub(crate) static CHECK: Check = Check {
    id: "ceiling-closes",
    area: Area::Survey,
    proves: "Ceiling and soffits as measured close the room: the ceiling is nowhere below the floor, and every soffit hangs in the room.",
    matters: "A ridge and eaves that changed places, or a plane measured to the wrong wall, make a room without air; its volume, heights and hung places are then nonsense.",
    formula: "Mean height V/S_floor > 1 mm, with V the volume that floor, walls, ceiling and soffits enclose, m³, and S_floor the floor's area, m². A ceiling below the floor is told by how far and where.",
    source: SHAPE,
    when_it_fails: "Measure the heights at the wall that is named again, or the soffit's underside and its distances from the walls.",
    limits: &[],
    published: &[Published {
        cite: "triangular prism: A-frame 6 m wide, 3 m high, 8 m long holds 72 m³ over 48 m²: 1.5 m (computed)",
        computed: || a_frame_m().unwrap_or(f64::NAN),
        expected: 1.5,
        tolerance: 1e-9, // Exact but for rounding.
        unit: "m",
    }],
    run: Run::EachSpaceIn(Parts::NONE, run),
};

/// Mean height of an A-frame 8 m long, 6 m wide and 3 m high, through the geometry that
/// rooms are built with.
fn a_frame_m() -> Option<f64> {
    let corners = [[0.0, 0.0], [8.0, 0.0], [8.0, -6.0], [0.0, -6.0]];
    let plan = Plan::new(corners.map(|[x, y]| Point2::new(x, y)).to_vec()).ok()?;
    let [level, eaves, top] = [0.0, 0.0, 3.0].map(Metres);
    let ceiling = Ceiling::gable(&plan, [1, 3], level, eaves, top).ok()?;
    let solid = Solid::new(plan, ceiling, Vec::new()).ok()?;
    Some(solid.volume().0 / solid.area(Surface::Floor).0)
}

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    let shape = analysis.shape(space);
    // Walls that do not close are told by their own check.
    if space.kind == Some(SpaceKind::Outdoor) || shape.closure().is_err() {
        return Vec::new();
    }
    let finding = CHECK.about(space, Subject::space(space), || match shape.shape_fault() {
        Some(ShapeFault::Ceiling(error)) => Ok(ceiling_fault(analysis, space, error)),
        Some(ShapeFault::Solid(error)) => Ok(solid_fault(analysis, space, error)),
        None => closed(analysis, space),
    });
    vec![finding]
}

fn closed(analysis: &Analysis, space: &Space) -> Known<Outcome> {
    let shape = analysis.shape(space);
    let volume = shape.volume()?;
    let floor = (shape.areas()?.iter())
        .find(|(surface, _)| *surface == Surface::Floor)
        .map_or(Uncertain::exact(1.0), |(_, area)| area.clone());
    let height = &volume / &floor;
    let sentence = format!(
        "{} holds {} of air over {} of floor, {} high on average.",
        space.label(),
        analysis.print(&volume, Dimension::Volume),
        analysis.print(&floor, Dimension::Area),
        analysis.length(&height),
    );
    let margin = &height - LEAST_HEIGHT_M;
    Ok(
        Outcome::with_margin(height, LEAST_HEIGHT_M, margin, Dimension::Length, SHAPE)
            .because(sentence),
    )
}

/// A failed length: how much is lacking, and why.
fn lacking(by_m: f64, sentence: String) -> Outcome {
    let by = Uncertain::exact(-by_m.max(LEAST_HEIGHT_M));
    Outcome::with_margin(by.clone(), 0.0, by, Dimension::Length, SHAPE).because(sentence)
}

fn ceiling_fault(analysis: &Analysis, space: &Space, error: &CeilingError) -> Outcome {
    let length = |metres: f64| analysis.exact(metres, Dimension::Length);
    match error {
        CeilingError::Inverted {
            low,
            low_m,
            high,
            high_m,
        } => {
            let sentence = format!(
                "The ceiling of {} has its {high}, {}, below its {low}, {}.",
                space.label(),
                length(*high_m),
                length(*low_m),
            );
            lacking(low_m - high_m, sentence).remedy(swapped(analysis, space))
        }
        CeilingError::BelowFloor { what, height_m } => lacking(
            -height_m,
            format!(
                "The ceiling of {} has its {what} at {}.",
                space.label(),
                length(*height_m)
            ),
        ),
        CeilingError::RidgeAtEdge {
            from, to, reach_mm, ..
        } => lacking(
            LEAST_HEIGHT_M,
            format!(
                "The ridge of {} from wall {} to wall {} leaves only {} of the room on one side; it needs a shed ceiling or another ridge.",
                space.label(),
                space.walls[*from].id,
                space.walls[*to].id,
                length(reach_mm / 1000.0),
            ),
        ),
        CeilingError::PlanNotConvex { corner, .. } => lacking(
            LEAST_HEIGHT_M,
            format!(
                "A hip ceiling can't cover {}, whose corner {}.left turns inwards; give its planes by three points each.",
                space.label(),
                space.walls[*corner].id,
            ),
        ),
        other => lacking(
            LEAST_HEIGHT_M,
            format!("The ceiling of {} can't be built: {other}.", space.label()),
        ),
    }
}

/// Eaves and top written in each other's place.
fn swapped(analysis: &Analysis, space: &Space) -> Option<Remedy> {
    let ceiling = space.ceiling.as_ref()?;
    let (eaves, top) = (
        ceiling.eaves.as_ref()?.value()?,
        ceiling.top.as_ref()?.value()?,
    );
    let path = format!("space.{}.ceiling", space.id);
    let text = |metres| written_length(analysis, metres, Round::Nearest);
    let says = format!(
        "Measure both again; if they changed places, write {} for the low height and {} for the top.",
        text(top),
        text(eaves),
    );
    let edits = vec![
        Edit::set(format!("{path}.eaves"), text(top)),
        Edit::set(format!("{path}.top"), text(eaves)),
    ];
    Some(Remedy::new(says, edits))
}

fn solid_fault(analysis: &Analysis, space: &Space, error: &SolidError) -> Outcome {
    let length = |metres: f64| analysis.exact(metres, Dimension::Length);
    let soffit = |index: usize| {
        let id = space.soffit.get(index).map_or("?", |soffit| &soffit.id);
        format!("Soffit {id} of {}", space.label())
    };
    match error {
        SolidError::CeilingBelowFloor { place, below_m } => lacking(
            *below_m,
            format!(
                "The ceiling of {} comes {} below the floor {}.",
                space.label(),
                length(*below_m),
                place_words(analysis, space, place),
            ),
        ),
        SolidError::BoxBelowFloor { index, below_m } => lacking(
            *below_m,
            format!(
                "{} reaches {} below the floor.",
                soffit(*index),
                length(*below_m)
            ),
        ),
        SolidError::BoxOutside {
            index,
            wall,
            away_m,
        } => lacking(
            *away_m,
            format!(
                "{} is outside the room, {} beyond wall {}.",
                soffit(*index),
                length(*away_m),
                space.walls[*wall].id,
            ),
        ),
        SolidError::BoxAboveCeiling { index, above_m } => lacking(
            *above_m,
            format!(
                "{} has its underside {} or more above the ceiling.",
                soffit(*index),
                length(*above_m),
            ),
        )
        .remedy(lowered(analysis, space, *index, *above_m)),
        other => lacking(
            LEAST_HEIGHT_M,
            format!("{} can't be closed: {other}.", space.label()),
        ),
    }
}

/// A soffit whose underside hangs a hand below where the ceiling is lowest above it.
fn lowered(analysis: &Analysis, space: &Space, index: usize, above_m: f64) -> Option<Remedy> {
    const HAND_M: f64 = 0.1;
    let soffit = space.soffit.get(index)?;
    let text = written_length(
        analysis,
        soffit.underside.value()? - above_m - HAND_M,
        Round::Down,
    );
    let says = format!(
        "Measure the underside of soffit {} again; it can be at {text} at most if it shows at all.",
        soffit.id
    );
    let at = format!("space.{}.soffit.{}.underside", space.id, soffit.id);
    Some(Remedy::new(says, vec![Edit::set(at, text)]))
}

fn place_words(analysis: &Analysis, space: &Space, place: &Place) -> String {
    match place {
        Place::Corner(corner) => {
            let before = (corner + space.walls.len() - 1) % space.walls.len();
            format!(
                "where walls {} and {} meet",
                space.walls[before].id, space.walls[*corner].id
            )
        }
        Place::Wall { wall, from_left_m } => format!(
            "at wall {}, {} from its left corner",
            space.walls[*wall].id,
            analysis.exact(*from_left_m, Dimension::Length)
        ),
        Place::Inside(_) => "away from the walls".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    //! Ceilings that close the test room, and some that can't.

    use expect_test::expect;

    use super::CHECK;
    use crate::testing::{ROOM, findings_of, job, told};
    use crate::{Analysis, Finding, Verdict};

    fn under(ceiling: &str) -> (String, Vec<Finding>) {
        let text = ROOM.replace("{ shape = \"flat\", height = \"2.4 m\" }", ceiling);
        let found = findings_of(&CHECK, &text);
        (text, found)
    }

    fn after(text: &str, finding: &Finding) -> Verdict {
        let edited = Analysis::new(job(text)).edited(&finding.remedies[0].edits);
        let edited = edited.expect("the edits can be made");
        let space = &edited.job().space[0];
        super::run(&edited, space)[0].verdict
    }

    #[test]
    fn a_flat_ceiling_closes() {
        // 6 · 4 · 2.4 = 57.6 m³.
        expect![[r#"
            den: fits +2.399: den holds 57.60 m³ of air over 24.00 m² of floor, 2.400 m high on average.
        "#]]
        .assert_eq(&told(&findings_of(&CHECK, ROOM)));
    }

    #[test]
    fn an_a_frame_down_to_the_floor_closes() {
        // Ridge 3 m over a floor 6 m wide, eaves almost on the floor: 1.5 m on average.
        let (_, found) = under(
            "{ shape = \"gable\", ridge = [\"east\", \"west\"], eaves = \"1 mm\", top = \"3 m\" }",
        );
        assert_eq!(found[0].verdict, Verdict::Fits, "{}", told(&found));
        let height = found[0].value.as_ref().unwrap().value();
        assert!((height - 1.5005).abs() < 1e-6, "{height}");
    }

    #[test]
    fn eaves_over_the_ridge_are_told_and_swapped() {
        let (text, found) = under(
            "{ shape = \"gable\", ridge = [\"east\", \"west\"], eaves = \"3 m\", top = \"2 m\" }",
        );
        assert_eq!(found[0].verdict, Verdict::Fails, "{}", told(&found));
        assert!((found[0].margin.as_ref().unwrap().value() + 1.0).abs() < 1e-9);
        assert_eq!(after(&text, &found[0]), Verdict::Fits);
    }

    fn plane(far_height: &str) -> String {
        format!(
            "{{ shape = \"planes\", planes = [{{ through = [\
             {{ from = [\"west\", \"0 m\"], and = [\"north\", \"0 m\"], height = \"2.4 m\" }},\
             {{ from = [\"west\", \"0 m\"], and = [\"north\", \"4 m\"], height = \"2.4 m\" }},\
             {{ from = [\"west\", \"3 m\"], and = [\"north\", \"0 m\"], height = \"{far_height}\" }}] }}] }}"
        )
    }

    #[test]
    fn a_plane_that_runs_into_the_floor_fails_at_its_wall() {
        // 1.4 m down over each 3 m: 2.4 − 2.8 = −0.4 m at the east wall.
        let (_, found) = under(&plane("1 m"));
        assert_eq!(found[0].verdict, Verdict::Fails, "{}", told(&found));
        assert!((found[0].margin.as_ref().unwrap().value() + 0.4).abs() < 0.02);
        assert!(found[0].because.contains("east"), "{}", found[0].because);
        // Just down to the floor it closes.
        assert_eq!(under(&plane("1.21 m")).1[0].verdict, Verdict::Fits);
        assert_eq!(under(&plane("1.19 m")).1[0].verdict, Verdict::Fails);
    }

    #[test]
    fn a_soffit_above_the_ceiling_is_named() {
        let text = format!(
            "{ROOM}[[space.soffit]]\nid = \"duct\"\nfrom = [\"north\", \"0 m\"]\nand = [\"west\", \"0 m\"]\nsize = [\"2 m\", \"300 mm\"]\nunderside = \"2.5 m\"\n"
        );
        let found = findings_of(&CHECK, &text);
        assert_eq!(found[0].verdict, Verdict::Fails, "{}", told(&found));
        assert!(
            found[0].because.contains("Soffit duct"),
            "{}",
            found[0].because
        );
        assert_eq!(after(&text, &found[0]), Verdict::Fits);
    }

    #[test]
    fn a_ceiling_that_nobody_measured_is_unknown() {
        let (_, found) = under("{ shape = \"flat\", height = \"?\" }");
        assert_eq!(found[0].verdict, Verdict::Unknown);
        assert_eq!(found[0].needs[0].at, "space.den.ceiling.height");
    }

    #[test]
    fn outdoors_has_no_ceiling_to_close() {
        let text = ROOM.replace("id = \"den\"\n", "id = \"den\"\nkind = \"outdoor\"\n");
        assert!(findings_of(&CHECK, &text).is_empty());
    }
}
