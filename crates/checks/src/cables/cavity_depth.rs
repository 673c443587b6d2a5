//! Is the wall or ceiling deep enough behind each cut-out?

use analysis::{Analysis, Means, Missing, Parts, Source};
use model::{Edit, Kit, LoudspeakerForm, Space};
use units::Dimension;

use crate::cut_out::{CutOut, alike, bars_word, construction, cut_outs, depth_of};
use crate::moves::to_spare;
use crate::{Area, Caution, Check, Finding, Known, Outcome, Published, Remedy, Run, Uncertain};

/// Thickness of the board, 1/2 in, and its 95 % interval (from memory).
const BOARD_M: f64 = 0.5 * 0.0254;
const BOARD_TOLERANCE_M: f64 = 0.125 * 0.0254;

pub(crate) static CHECK: Check = Check {
    id: "cavity-depth",
    area: Area::Cables,
    proves: "Behind the board there is room for each in-wall or in-ceiling loudspeaker and each box.",
    matters: "What is deeper than the wall stands out of it, or does not go in at all.",
    formula: "margin = cavity + board − depth; cavity: free depth behind the board, m; board: its thickness, 13 mm when not measured; depth: what the maker asks for behind the board's face, m. Masonry and concrete have no cavity unless one is stated. Ducts and pipes in the bay are not seen.",
    source: Source::SpecSheet,
    when_it_fails: "Take a shallower one, or one that hangs on the surface.",
    limits: &[],
    published: &[Published {
        cite: "cavity of 3 1/2 in behind a board of 1/2 in, loudspeaker 3 3/4 in deep: 1/4 in to spare (by hand)",
        computed: || spare_m(3.5 * 0.0254, 0.5 * 0.0254, 3.75 * 0.0254) / 0.0254,
        expected: 0.25,
        tolerance: 1e-9, // Exact.
        unit: "in",
    }],
    run: Run::EachSpaceIn(Parts::NONE, run),
};

fn spare_m(cavity: f64, board: f64, depth: f64) -> f64 {
    spare(&cavity.into(), &board.into(), &depth.into()).value()
}

fn spare(cavity: &Uncertain, board: &Uncertain, depth: &Uncertain) -> Uncertain {
    cavity + board - depth
}

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    cut_outs(analysis, space)
        .map(|cut_out| {
            CHECK.about_item(analysis, space, cut_out.item, || {
                decide(analysis, space, &cut_out)
            })
        })
        .collect()
}

/// The depth that is behind a surface's face, and the depth that what is cut in needs.
pub(crate) fn depths(
    analysis: &Analysis,
    space: &Space,
    cut_out: &CutOut<'_>,
) -> Known<[Uncertain; 2]> {
    let kit = cut_out.kit;
    let depth = analysis.number(depth_of(kit)).ok_or_else(|| {
        let id = &kit.common().id;
        let at = format!("kit.{}.{id}.depth_behind", kit.kind());
        let what = format!("the depth that {id} needs behind the board's face");
        Missing::new(what, at, Means::SpecSheet)
    })?;
    let (built, path) = construction(space, cut_out.surface)?;
    let surface = cut_out.surface.words();
    let framed = bars_word(built.framing).is_some();
    let (stated_cavity, stated_board) = (
        analysis.number(built.cavity.as_ref()),
        analysis.number(built.board.as_ref()),
    );
    let (cavity, board) = if framed {
        let cavity = stated_cavity.ok_or_else(|| {
            let what = format!("the free depth behind the board of {surface}");
            Missing::new(what, format!("{path}.cavity"), Means::StudFinder)
        })?;
        let board = stated_board.unwrap_or_else(|| {
            let what = format!("the board of {surface}");
            let at = format!("{path}.board");
            analysis.assumed(&what, &at, BOARD_M, BOARD_TOLERANCE_M)
        });
        (cavity, board)
    } else {
        (
            stated_cavity.unwrap_or_default(),
            stated_board.unwrap_or_default(),
        )
    };
    Ok([cavity + board, depth])
}

fn decide(analysis: &Analysis, space: &Space, cut_out: &CutOut<'_>) -> Known<Outcome> {
    let [there, depth] = depths(analysis, space, cut_out)?;
    let (built, _) = construction(space, cut_out.surface)?;
    let framed = bars_word(built.framing).is_some();
    let surface = cut_out.surface.words();
    let margin = &there - &depth;
    let solid = if framed { "" } else { "solid " };
    let sentence = format!(
        "{} needs {} behind the face of {solid}{surface}, and there is {}.",
        cut_out.label(),
        analysis.length(&depth),
        analysis.length(&there),
    );
    let outcome = Outcome::with_margin(
        there.clone(),
        depth.value(),
        margin,
        Dimension::Length,
        Source::SpecSheet,
    )
    .because(sentence)
    .caution(Caution::Drilling)
    .caution(Caution::Structure);
    if !outcome.asks_for_remedies(analysis) {
        return Ok(outcome);
    }
    Ok(outcome
        .remedy(shallower(analysis, cut_out, &there))
        .remedy(on_the_surface(analysis, cut_out)))
}

fn shallower(analysis: &Analysis, cut_out: &CutOut<'_>, there: &Uncertain) -> Option<Remedy> {
    let spare = |kit: &Kit<'_>| {
        let depth = analysis.number(depth_of(*kit))?;
        Some(to_spare(&(there - depth), 0.0))
    };
    let kit = alike(analysis, cut_out).find(|kit| spare(kit).is_some_and(|spare| spare >= 0.0))?;
    let depth = analysis.number(depth_of(kit))?;
    let why = format!("which needs {}", analysis.length(&depth));
    Some(instead(cut_out, kit, &why))
}

/// A loudspeaker of the catalogue that hangs on the wall instead.
fn on_the_surface(analysis: &Analysis, cut_out: &CutOut<'_>) -> Option<Remedy> {
    let Kit::Loudspeaker(own) = cut_out.kit else {
        return None;
    };
    let wanted = matches!(own.form, Some(LoudspeakerForm::InWall));
    let on_wall = (analysis.catalogue().loudspeaker.iter())
        .find(|kit| kit.form == Some(LoudspeakerForm::OnWall))
        .filter(|_| wanted)?;
    Some(instead(
        cut_out,
        Kit::Loudspeaker(on_wall),
        "which hangs on the surface",
    ))
}

fn instead(cut_out: &CutOut<'_>, kit: Kit<'_>, why: &str) -> Remedy {
    let id = &kit.common().id;
    let says = format!(
        "Fit {} as {}, {why}.",
        kit.common().name.as_deref().unwrap_or(id),
        cut_out.label(),
    );
    let edit = Edit::set(format!("item.{}.is", cut_out.item.id), id.clone());
    Remedy::new(says, vec![edit])
}

#[cfg(test)]
mod tests {
    //! Both sides of enough, unknowns, solid walls, and the catalogue's ways out.

    use expect_test::expect;

    use super::CHECK;
    use crate::testing::{findings, findings_after, told};
    use crate::{Finding, Verdict};

    fn walled(depth: &str, wall: &str) -> String {
        format!(
            r#"
[[space.construction]]
of = "north"
{wall}
[[kit.loudspeaker]]
id = "inwall-w1"
form = "in-wall"
cutout = ["200 mm", "300 mm"]
{depth}
[[kit.loudspeaker]]
id = "inwall-w2"
name = "Slim W2"
form = "in-wall"
cutout = ["200 mm", "300 mm"]
depth_behind = "70 mm"
[[kit.loudspeaker]]
id = "onwall-o1"
name = "Flat O1"
form = "on-wall"
[[item]]
id = "left"
is = "inwall-w1"
space = "den"
on = {{ wall = "north", from_left = "1 m", height = "1 m" }}
"#
        )
    }

    const STUDS: &str = "framing = \"stud\"\ncavity = \"89 mm ± 2 mm\"\nboard = \"13 mm ± 0\"";

    fn only(text: &str) -> Finding {
        let mut found = findings(&CHECK, text);
        assert_eq!(found.len(), 1);
        found.remove(0)
    }

    #[test]
    fn a_deep_enough_wall_fits() {
        // 89 + 13 − 95 = 7 mm.
        expect![[r#"
            left: fits +0.007: left needs 95 mm behind the face of wall north, and there is 102 mm.
        "#]]
        .assert_eq(&told(&[only(&walled("depth_behind = \"95 mm\"", STUDS))]));
    }

    #[test]
    fn both_sides_of_enough() {
        let verdict =
            |depth: &str| only(&walled(&format!("depth_behind = \"{depth}\""), STUDS)).verdict;
        assert_eq!(verdict("99.9 mm"), Verdict::Fits);
        assert_eq!(verdict("100.1 mm"), Verdict::Tight);
        assert_eq!(verdict("101.9 mm"), Verdict::Tight);
        assert_eq!(verdict("102.1 mm"), Verdict::Fails);
    }

    #[test]
    fn missing_facts_are_named() {
        let needs = |text: &str| only(text).needs[0].at.clone();
        assert_eq!(
            needs(&walled("", STUDS)),
            "kit.loudspeaker.inwall-w1.depth_behind"
        );
        let deep = "depth_behind = \"95 mm\"";
        assert_eq!(
            needs(&walled(deep, "framing = \"stud\"")),
            "space.den.construction.0.cavity"
        );
        let other = walled(deep, STUDS).replace("of = \"north\"", "of = \"south\"");
        assert_eq!(needs(&other), "space.den.construction");
    }

    #[test]
    fn an_unmeasured_board_is_half_an_inch_give_or_take() {
        let unboarded = "framing = \"stud\"\ncavity = \"89 mm ± 0\"";
        // 89 + 12.7 − 100 = 1.7 mm ± 3.2 mm.
        assert_eq!(
            only(&walled("depth_behind = \"100 mm\"", unboarded)).verdict,
            Verdict::Tight
        );
    }

    #[test]
    fn a_solid_wall_fails_and_a_surface_loudspeaker_mends_it() {
        let text = walled("depth_behind = \"95 mm\"", "framing = \"masonry\"");
        let found = only(&text);
        assert_eq!(found.verdict, Verdict::Fails);
        assert_eq!(found.remedies.len(), 1);
        // What hangs on the surface needs no hole: nothing is left to find.
        assert!(findings_after(&CHECK, &text, &found.remedies[0].edits).is_empty());
    }

    #[test]
    fn a_shallower_one_mends_it() {
        let text = walled("depth_behind = \"120 mm\"", STUDS);
        let found = only(&text);
        assert_eq!(found.remedies.len(), 2);
        let after = findings_after(&CHECK, &text, &found.remedies[0].edits);
        assert_eq!(
            after[0].verdict,
            Verdict::Fits,
            "{}",
            found.remedies[0].says
        );
    }
}
