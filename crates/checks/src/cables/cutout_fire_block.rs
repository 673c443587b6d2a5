//! Does each cut-out lie clear of the blocks between studs?

use analysis::{Analysis, Means, Missing, Parts, Source};
use model::{Construction, Framing, OnWall, Space};
use structure::framing::{Bars, Fit, Span};
use units::{Dimension, Metres};

use crate::cut_out::{CUTOUT_CLEARANCE, CutOut, Surface, construction, cut_outs, face};
use crate::moves::{Round, height, text_of, to_spare, written_length};
use crate::{Area, Caution, Check, Finding, Known, Outcome, Published, Remedy, Run, Uncertain};

pub(crate) static CHECK: Check = Check {
    id: "cutout-fire-block",
    area: Area::Cables,
    proves: "Each hole in a stud wall lies clear of the blocks that stand between its studs.",
    matters: "A block behind the hole stops the loudspeaker from going in, and its cable from coming down.",
    formula: "free = min(lower edge − (b + f/2) of the block below, (b − f/2) of the block above − upper edge); b: middle of a block above the floor; f: its thickness, as a stud's face, 38 mm when not measured; m. Floor and ceiling count as solid.",
    source: Source::Derived {
        from: "geometry of blocks between studs",
    },
    when_it_fails: "Move it up or down off the block.",
    limits: &[&CUTOUT_CLEARANCE],
    published: &[Published {
        cite: "block at 48 in, 1 1/2 in thick; hole of 8 in from 46 in: 2 3/4 in to move up (by hand)",
        computed: || free_in(46.0, 8.0),
        // The block ends at 48 3/4 in, above which the hole would have to start.
        expected: -2.75,
        tolerance: 1e-9, // Exact.
        unit: "in",
    }],
    run: Run::EachSpaceIn(Parts::NONE, run),
};

fn free_in(start_in: f64, height_in: f64) -> f64 {
    let inch = 0.0254;
    let [start, height] = [start_in, height_in].map(|value| value * inch);
    free_m(&[start, height, 1.5 * inch, 96.0 * inch, 48.0 * inch]) / inch
}

/// Least free distance of a hole from its lower edge and height, a block's thickness, the
/// ceiling's height, and the blocks.
fn free_m(facts: &[f64]) -> f64 {
    fit(facts, 0.0).map_or(f64::NAN, |fit| fit.before.0.min(fit.after.0))
}

fn fit(facts: &[f64], clearance: f64) -> Option<Fit> {
    let [start, height, face, ceiling, blocks @ ..] = facts else {
        return None;
    };
    let blocks: Vec<Metres> = blocks.iter().copied().map(Metres).collect();
    let span = Span {
        start: Metres(*start),
        width: Metres(*height),
    };
    Bars::new(&blocks, Metres(*face), Metres(*ceiling))?.fit(span, Metres(clearance))
}

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    let studs = |built: &Construction| matches!(built.framing, Framing::Stud | Framing::SteelStud);
    cut_outs(analysis, space)
        .filter_map(|cut_out| {
            let Surface::Wall(on) = cut_out.surface else {
                return None;
            };
            // Without a construction nobody knows of studs either: another check asks for it.
            let (built, path) = construction(space, cut_out.surface).ok()?;
            studs(built).then(|| {
                CHECK.about_item(analysis, space, cut_out.item, || {
                    decide(analysis, space, &cut_out, on, (built, &path))
                })
            })
        })
        .collect()
}

fn decide(
    analysis: &Analysis,
    space: &Space,
    cut_out: &CutOut<'_>,
    on: &OnWall,
    (built, path): (&Construction, &str),
) -> Known<Outcome> {
    let surface = cut_out.surface.words();
    let ask = |at: String| {
        let what = format!("the heights of the blocks between the studs of {surface}");
        Missing::new(what, at, Means::StudFinder)
    };
    let at = format!("{path}.fire_block_at");
    let blocks = (built.fire_block_at.as_ref()).ok_or_else(|| ask(at.clone()))?;
    let blocks: Known<Vec<Uncertain>> = (blocks.iter().enumerate())
        .map(|(index, block)| {
            (analysis.number(Some(block))).ok_or_else(|| ask(format!("{at}.{index}")))
        })
        .collect();
    let [_, tall] = cut_out.size(analysis)?;
    let [_, middle] = cut_out.middle_on_wall(analysis, space, on)?;
    let face = face(analysis, built, path);
    let point = analysis.item_point(cut_out.item)?.in_plan();
    let ceiling = analysis.shape(space).ceiling_at(&point)?;
    let start = &middle - &tall / 2.0;
    let blocks: Vec<Uncertain> = (blocks?.into_iter())
        .filter(|block| (0.0..ceiling.value()).contains(&block.value()))
        .collect();
    let mut facts: Vec<&Uncertain> = vec![&start, &tall, &face, &ceiling];
    facts.extend(&blocks);
    let free = uncertainty::through_many(&facts, |facts| vec![free_m(facts)]).remove(0);
    let limit = analysis.limit(&CUTOUT_CLEARANCE);
    let margin = &free - limit.value;
    let asked = analysis.exact(limit.value, Dimension::Length);
    let hole = format!(
        "The {} tall hole of {} in {surface}",
        analysis.length(&tall),
        cut_out.label()
    );
    let sentence = if free.value() < 0.0 {
        let by = analysis.length(&-&free);
        format!(
            "{hole} has to move {by} to lose the block behind it, and {asked} more to be clear of it."
        )
    } else if blocks.is_empty() {
        let free = analysis.length(&free);
        format!("{hole} has no block behind it, and floor and ceiling are {free} or more away.")
    } else {
        let free = analysis.length(&free);
        format!(
            "{hole} is {free} clear of the nearest block, floor or ceiling, where {asked} is asked for."
        )
    };
    let outcome = Outcome::with_margin(free, limit.value, margin, Dimension::Length, limit.source)
        .because(sentence)
        .caution(Caution::Drilling)
        .caution(Caution::Structure);
    if !outcome.asks_for_remedies(analysis) {
        return Ok(outcome);
    }
    let expanded = outcome.margin().value() - to_spare(outcome.margin(), 0.0);
    let values: Vec<f64> = facts.iter().map(|fact| fact.value()).collect();
    let shift = fit(&values, limit.value + expanded).and_then(|fit| fit.shift);
    let moved = shift.and_then(|shift| moved(analysis, cut_out, on, shift.0));
    Ok(outcome.remedy(moved))
}

fn moved(analysis: &Analysis, cut_out: &CutOut<'_>, on: &OnWall, by_m: f64) -> Option<Remedy> {
    let round = if by_m > 0.0 { Round::Up } else { Round::Down };
    let place = on.height.as_ref()?.value()? + by_m;
    let edit = height(analysis, cut_out.item, place, round);
    let says = format!(
        "Move {} {} {}, off the block, to {} above the floor.",
        cut_out.label(),
        written_length(analysis, by_m.abs(), Round::Up),
        if by_m > 0.0 { "up" } else { "down" },
        text_of(&edit),
    );
    (place > 0.0).then(|| Remedy::new(says, vec![edit]).caution(Caution::Drilling))
}

#[cfg(test)]
mod tests {
    //! Above, below and on a block; none, unknown; the move mends it.

    use expect_test::expect;

    use super::CHECK;
    use crate::testing::{findings, findings_after, told};
    use crate::{Finding, Verdict};

    /// A hole 300 mm tall by a block from 1.18 to 1.22 m.
    fn walled(height: &str, blocks: &str) -> String {
        format!(
            r#"
[[space.construction]]
of = "north"
framing = "stud"
face = "40 mm ± 0"
{blocks}
[[kit.loudspeaker]]
id = "inwall-w1"
form = "in-wall"
cutout = ["200 mm", "300 mm"]
[[item]]
id = "left"
is = "inwall-w1"
space = "den"
on = {{ wall = "north", from_left = "1 m", height = "{height}" }}
"#
        )
    }

    const BLOCK: &str = "fire_block_at = [\"1.2 m ± 2 mm\"]";

    fn only(text: &str) -> Finding {
        let mut found = findings(&CHECK, text);
        assert_eq!(found.len(), 1);
        found.remove(0)
    }

    #[test]
    fn clear_of_the_block_fits() {
        // Upper edge at 0.95 m: 230 mm below the block.
        expect![[r#"
            left: fits +0.224: The 300 mm tall hole of left in wall north is 230 mm clear of the nearest block, floor or ceiling, where 6 mm is asked for.
        "#]]
        .assert_eq(&told(&[only(&walled("0.8 m", BLOCK))]));
    }

    #[test]
    fn both_sides_of_the_clearance() {
        let verdict = |height: &str| only(&walled(height, BLOCK)).verdict;
        // 1.18 − (h + 0.15) = 6.35 mm at h = 1023.65 mm, ± 2 mm of the block.
        assert_eq!(verdict("1021.6 mm"), Verdict::Fits);
        assert_eq!(verdict("1021.7 mm"), Verdict::Tight);
        assert_eq!(verdict("1023.6 mm"), Verdict::Tight);
        assert_eq!(verdict("1023.7 mm"), Verdict::Fails);
        // (h − 0.15) − 1.22 = 6.35 mm at h = 1376.35 mm.
        assert_eq!(verdict("1376.3 mm"), Verdict::Fails);
        assert_eq!(verdict("1378.4 mm"), Verdict::Fits);
    }

    #[test]
    fn a_bay_without_blocks_fits_and_an_unknown_one_asks() {
        assert_eq!(
            only(&walled("1.2 m", "fire_block_at = []")).verdict,
            Verdict::Fits
        );
        let found = only(&walled("1.2 m", ""));
        assert_eq!(found.needs[0].at, "space.den.construction.0.fire_block_at");
        let found = only(&walled("1.2 m", "fire_block_at = [\"?\"]"));
        assert_eq!(
            found.needs[0].at,
            "space.den.construction.0.fire_block_at.0"
        );
    }

    #[test]
    fn masonry_is_left_alone() {
        let text = walled("1.2 m", "").replace("\"stud\"", "\"masonry\"");
        assert!(findings(&CHECK, &text).is_empty());
    }

    #[test]
    fn moving_it_off_the_block_mends_it() {
        for place in ["1.1 m", "1.19 m", "1.25 m", "1.023 m"] {
            let text = walled(place, BLOCK);
            let found = only(&text);
            assert_eq!(found.remedies.len(), 1, "{place}");
            let after = findings_after(&CHECK, &text, &found.remedies[0].edits);
            assert_eq!(
                after[0].verdict,
                Verdict::Fits,
                "{place}: {}",
                found.remedies[0].says
            );
        }
    }
}
