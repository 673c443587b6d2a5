//! Can all cables of a kind be cut from the spools in stock?

use std::collections::BTreeMap;

use analysis::{
    Analysis, CABLE_SLACK, COVERAGE_FACTOR, Means, Missing, SCRAP_BELOW, SERVICE_LOOP, Source,
};
use model::{Cable, CableKit, Units};
use units::{Dimension, Metres};
use wiring::cut;

use crate::runs::{self, kind_label, spools_of};
use crate::{Area, Check, Finding, Known, Outcome, Published, Remedy, Run, Subject, Uncertain};

pub(crate) static CHECK: Check = Check {
    id: "spool-stock",
    area: Area::Cables,
    proves: "All cables of a kind can be cut, each in one piece, from the spools of that kind in stock.",
    matters: "The last cable of the day is the one that the spools no longer hold in one piece.",
    formula: "for each spool: sum of its cuts ≤ what is left on it; margin: the least that stays on a spool, m, or, where the cuts do not all fit, the length of those left over, negative; cuts: as in cable-length, slack and loops included; a cable that names its spool is cut from that one.",
    source: Source::Derived {
        from: "arithmetic of the cuts; largest cut first, then an exact search",
    },
    when_it_fails: "Bring a further spool.",
    limits: &[&SERVICE_LOOP, &CABLE_SLACK, &SCRAP_BELOW],
    published: &[
        Published {
            cite: "cuts of 60, 60 from a spool of 100 and one of 60: both fit (by hand)",
            computed: || left_over(&[60.0, 60.0], &[100.0, 60.0]),
            expected: 0.0,
            tolerance: 1e-9, // Exact.
            unit: "m",
        },
        Published {
            cite: "three cuts of 40 from two spools of 60: one is left over though 120 = 120 (by hand)",
            computed: || left_over(&[40.0, 40.0, 40.0], &[60.0, 60.0]),
            expected: 40.0,
            tolerance: 1e-9, // Exact.
            unit: "m",
        },
        Published {
            cite: "cuts of 5, 4, 4, 3, 3, 3 from 12 and 10: 5 + 4 + 3 and 4 + 3 + 3 fill both (by hand)",
            computed: || left_over(&[5.0, 4.0, 4.0, 3.0, 3.0, 3.0], &[12.0, 10.0]),
            expected: 0.0,
            tolerance: 1e-9, // Exact.
            unit: "m",
        },
    ],
    run: Run::House(run),
};

fn left_over(cuts: &[f64], spools: &[f64]) -> f64 {
    match packed(cuts, &vec![None; cuts.len()], spools) {
        Packed::All(_) => 0.0,
        Packed::LeftOver(out) => out.iter().map(|cut| cuts[*cut]).sum(),
    }
}

fn run(analysis: &Analysis) -> Vec<Finding> {
    let mut by_kind: BTreeMap<&str, Vec<&Cable>> = BTreeMap::new();
    for cable in analysis.cables() {
        if cable.is_cut() {
            by_kind.entry(&cable.kind).or_default().push(cable);
        }
    }
    let in_stock = |kind: &str| analysis.spools().iter().any(|spool| spool.kind == kind);
    by_kind
        .into_iter()
        .filter(|(kind, _)| in_stock(kind))
        .filter_map(|(_, cables)| {
            let kit = runs::kit_of(analysis, cables[0])?;
            let subject = Subject::new(&kit.common.id, kind_label(kit));
            Some(CHECK.about_house(subject, || decide(analysis, kit, &cables)))
        })
        .collect()
}

fn decide(analysis: &Analysis, kit: &CableKit, cables: &[&Cable]) -> Known<Outcome> {
    let mut spools = Vec::new();
    let mut names = Vec::new();
    for (spool, length) in spools_of(analysis, &kit.common.id) {
        names.push(spool.id.as_str());
        spools.push(length.ok_or_else(|| {
            Missing::new(
                format!("what is left on spool {}", spool.id),
                format!("spool.{}.length", spool.id),
                Means::Tape,
            )
        })?);
    }
    let cuts: Known<Vec<(&Uncertain, f64)>> =
        (cables.iter()).map(|cable| analysis.cut(cable)).collect();
    let (cuts, spreads_m): (Vec<&Uncertain>, Vec<f64>) = cuts?.into_iter().unzip();
    let named: Vec<Option<usize>> = (cables.iter())
        .map(|cable| {
            let spool = cable.spool.as_deref()?;
            names.iter().position(|name| *name == spool)
        })
        .collect();
    let stock: Vec<f64> = spools.iter().map(Uncertain::value).collect();
    let at_most = |by: f64| -> Vec<f64> {
        (cuts.iter().zip(&spreads_m))
            .map(|(cut, spread_m)| cut.value() + by * spread_m)
            .collect()
    };
    // A plan that holds even if every cut comes out long fits for sure.
    let plan = match packed(&at_most(COVERAGE_FACTOR), &named, &stock) {
        Packed::All(plan) => Packed::All(plan),
        Packed::LeftOver(_) => packed(&at_most(0.0), &named, &stock),
    };
    // Its uncertainty is only told.
    let need = match analysis.is_trial() {
        true => Uncertain::exact(cuts.iter().fold(0.0, |sum, cut| sum + cut.value())),
        false => sum_of(cuts.iter().copied()),
    };
    let there: Uncertain = spools.iter().cloned().sum();
    let count = match cables.len() {
        1 => "1 cable".to_owned(),
        many => format!("{many} cables"),
    };
    let start = format!(
        "{count} of {} need {} in all, and the spools in stock hold {}",
        kind_label(kit),
        analysis.length(&need),
        analysis.length(&there),
    );
    let (margin, sentence) = match &plan {
        Packed::All(plan) => {
            // Which spool is left with least is told without summing every budget.
            let mut taken: Vec<Option<f64>> = vec![None; spools.len()];
            for (spool, cut) in plan.iter().zip(&cuts) {
                *taken[*spool].get_or_insert(0.0) += cut.value();
            }
            let left = |(spool, taken): (usize, &Option<f64>)| {
                Some((spool, spools[spool].value() - (*taken)?))
            };
            let least = (taken.iter().enumerate())
                .filter_map(left)
                .reduce(|a, b| if b.1 < a.1 { b } else { a });
            let least = least.map_or_else(Uncertain::default, |(spool, left_m)| {
                let mine = || (0..cuts.len()).filter(|cut| plan[*cut] == spool);
                // No sum spreads more than its parts together.
                let most_m = spools[spool].standard_uncertainty()
                    + mine().map(|cut| spreads_m[cut]).sum::<f64>();
                if analysis.is_trial() && left_m > COVERAGE_FACTOR * most_m + 1e-6 {
                    return Uncertain::exact(left_m);
                }
                &spools[spool] - sum_of(mine().map(|cut| cuts[cut]))
            });
            let words = format!(
                "{start}: each can be cut, and at least {} stays on every spool that is opened.",
                analysis.length(&least)
            );
            (least, words)
        }
        Packed::LeftOver(out) => {
            let lacking = sum_of(out.iter().map(|cut| cuts[*cut]));
            let labels: Vec<&str> = out.iter().map(|cut| cables[*cut].id.as_str()).collect();
            let words = format!(
                "{start}, but {} of {} can't be cut from what the others leave.",
                labels.join(", "),
                analysis.length(&lacking),
            );
            (-lacking, words)
        }
    };
    let shortest = cuts
        .iter()
        .map(|cut| cut.value())
        .fold(f64::INFINITY, f64::min);
    let useless: Vec<&str> = (names.iter().zip(&stock))
        .filter(|(_, length_m)| **length_m < shortest)
        .map(|(name, _)| *name)
        .collect();
    let sentence = match useless.as_slice() {
        [] => sentence,
        useless => format!(
            "{sentence} Shorter than every cable of its kind: {}.",
            useless.join(", ")
        ),
    };
    let source = analysis.limit(&SERVICE_LOOP).source;
    let outcome = Outcome::with_margin(there, need.value(), margin, Dimension::Length, source)
        .because(sentence);
    if !outcome.asks_for_remedies(analysis) {
        return Ok(outcome);
    }
    let remedy = further_spool(analysis, kit, &plan, &cuts, cables);
    Ok(outcome.remedy(remedy))
}

fn sum_of<'a>(cuts: impl Iterator<Item = &'a Uncertain>) -> Uncertain {
    cuts.cloned().sum()
}

/// One spool more, which holds what is left over; when all is only just enough, any piece.
fn further_spool(
    analysis: &Analysis,
    kit: &CableKit,
    plan: &Packed,
    cuts: &[&Uncertain],
    cables: &[&Cable],
) -> Option<Remedy> {
    let lacking: Uncertain = match plan {
        Packed::LeftOver(out) => sum_of(out.iter().map(|cut| cuts[*cut])),
        Packed::All(_) => cuts.iter().copied().cloned().reduce(|a, b| a.max(&b))?,
    };
    let ample: f64 = lacking.value() + 2.0 * COVERAGE_FACTOR * lacking.standard_uncertainty();
    let whole = match analysis.units() {
        Units::Imperial => 500.0,
        Units::Metric => 100.0,
    };
    let text = runs::shop_length(analysis, ample, whole);
    let (_, edit) = runs::another_spool(analysis, &kit.common.id, &text);
    let mut edits = vec![edit];
    // A cable that its own spool does not hold may be cut from any.
    if let Packed::LeftOver(out) = plan {
        let named = out
            .iter()
            .map(|cut| cables[*cut])
            .filter(|cable| cable.spool.is_some());
        edits.extend(named.map(|cable| model::Edit::remove(format!("cable.{}.spool", cable.id))));
    }
    let says = format!("Bring a further spool of {text} of {}.", kind_label(kit));
    Some(Remedy::new(says, edits))
}

/// Whether cuts go into spools.
enum Packed {
    /// The spool of each cut.
    All(Vec<usize>),
    /// Cuts that find no place when the longest are placed first.
    LeftOver(Vec<usize>),
}

/// Places cuts, those that name their spool first. Longest first into the roomiest spool,
/// which leaves most on each; if that fails, longest first into the first that holds it;
/// if that fails too, the exact search of the cutting engine has the last word.
fn packed(cuts: &[f64], named: &[Option<usize>], spools: &[f64]) -> Packed {
    let mut left = spools.to_vec();
    let mut place = vec![None; cuts.len()];
    let mut out = Vec::new();
    for (cut, spool) in named.iter().enumerate() {
        let Some(spool) = *spool else { continue };
        if cuts[cut] <= left[spool] {
            left[spool] -= cuts[cut];
            place[cut] = Some(spool);
        } else {
            out.push(cut);
        }
    }
    let mut open: Vec<usize> = (0..cuts.len())
        .filter(|cut| named[*cut].is_none())
        .collect();
    open.sort_by(|a, b| cuts[*b].total_cmp(&cuts[*a]).then(a.cmp(b)));
    let mut leftovers = Vec::new();
    for roomiest in [true, false] {
        let (mut room, mut plan) = (left.clone(), place.clone());
        leftovers = out.clone();
        for cut in &open {
            let holds = (0..room.len()).filter(|spool| cuts[*cut] <= room[*spool]);
            let spool = match roomiest {
                true => holds.max_by(|a, b| room[*a].total_cmp(&room[*b]).then(b.cmp(a))),
                false => holds.min(),
            };
            match spool {
                Some(spool) => {
                    room[spool] -= cuts[*cut];
                    plan[*cut] = Some(spool);
                }
                None => leftovers.push(*cut),
            }
        }
        if let (true, Some(plan)) = (leftovers.is_empty(), whole(&plan)) {
            return Packed::All(plan);
        }
    }
    match exact(cuts, &open, &left).filter(|_| out.is_empty()) {
        Some(found) => {
            for (cut, spool) in found {
                place[cut] = Some(spool);
            }
            whole(&place).map_or(Packed::LeftOver(leftovers), Packed::All)
        }
        None => Packed::LeftOver(leftovers),
    }
}

fn whole(plan: &[Option<usize>]) -> Option<Vec<usize>> {
    plan.iter().copied().collect()
}

/// Cut and spool of a plan by the cutting engine.
fn exact(cuts: &[f64], open: &[usize], left: &[f64]) -> Option<Vec<(usize, usize)>> {
    let pieces: Vec<cut::Cut> = (open.iter())
        .map(|cut| cut::Cut {
            kind: String::new(),
            length: Metres(cuts[*cut]),
        })
        .collect();
    let stock: Vec<(usize, cut::Spool)> = (left.iter().enumerate())
        .filter(|(_, left)| **left > 1e-3)
        .map(|(index, left)| {
            let spool = cut::Spool {
                kind: String::new(),
                length: Metres(*left),
                available: Some(1),
            };
            (index, spool)
        })
        .collect();
    let spools: Vec<cut::Spool> = stock.iter().map(|(_, spool)| spool.clone()).collect();
    let plan = cut::plan(&spools, &pieces).ok()?;
    let opened = plan.opened.iter().flat_map(|opened| {
        let spool = stock[opened.spool].0;
        opened.cuts.iter().map(move |piece| (open[*piece], spool))
    });
    Some(opened.collect())
}

#[cfg(test)]
mod tests {
    //! Enough, just enough, one left over, unknown; a further spool mends it.

    use expect_test::expect;

    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{findings, findings_after, told};

    /// Each cable is cut to exactly its one leg.
    fn house(legs: &[&str], spools: &[&str], more: &str) -> String {
        let mut text = String::from(
            r#"
[[kit.device]]
id = "box"
[[kit.cable]]
id = "wire"
name = "Wire"
carries = "line"
[[item]]
id = "a"
is = "box"
space = "den"
[[item]]
id = "b"
is = "box"
space = "den"
"#,
        );
        for (index, leg) in legs.iter().enumerate() {
            text += &format!(
                "[[cable]]\nid = \"W{index}\"\nkind = \"wire\"\nfrom = \"a\"\nto = \"b\"\nslack = \"0 %\"\nservice_loop = \"0 m\"\nlegs = [{{ along = \"attic\", length = \"{leg}\" }}]\n{more}"
            );
        }
        for (index, length) in spools.iter().enumerate() {
            text +=
                &format!("[[spool]]\nid = \"S{index}\"\nkind = \"wire\"\nlength = \"{length}\"\n");
        }
        text
    }

    #[test]
    fn cuts_spread_over_the_spools_fit() {
        // 30 + 20 from 60 m and 25 from 40 m leave 10 m and 15 m.
        let found = findings(
            &CHECK,
            &house(&["30 m", "20 m", "25 m"], &["60 m", "40 m"], ""),
        );
        expect![[r#"
            Wire: fits +10.000: 3 cables of Wire need 75.000 m in all, and the spools in stock hold 100 m: each can be cut, and at least 10.000 m stays on every spool that is opened.
        "#]]
        .assert_eq(&told(&found));
    }

    #[test]
    fn one_cut_too_many_fails_though_the_sum_would_do() {
        let found = findings(
            &CHECK,
            &house(&["40 m", "40 m", "39 m"], &["60 m", "60 m"], ""),
        );
        expect![[r#"
            Wire: fails -39.000: 3 cables of Wire need 119.000 m in all, and the spools in stock hold 120 m, but W2 of 39.000 m can't be cut from what the others leave.
        "#]]
        .assert_eq(&told(&found));
    }

    #[test]
    fn both_sides_of_enough() {
        let verdict =
            |leg: &str| findings(&CHECK, &house(&["30 m ± 0 m", leg], &["60 m"], ""))[0].verdict;
        assert_eq!(verdict("29.9 m ± 50 mm"), Verdict::Fits);
        assert_eq!(verdict("29.98 m ± 50 mm"), Verdict::Tight);
        assert_eq!(verdict("30.01 m ± 50 mm"), Verdict::Fails);
    }

    #[test]
    fn a_cable_that_names_its_spool_is_cut_from_it() {
        let text = house(&["30 m", "35 m"], &["60 m", "40 m"], "spool = \"S0\"\n");
        assert_eq!(findings(&CHECK, &text)[0].verdict, Verdict::Fails);
        let free = house(&["30 m", "35 m"], &["60 m", "40 m"], "");
        assert_eq!(findings(&CHECK, &free)[0].verdict, Verdict::Fits);
    }

    #[test]
    fn a_spool_shorter_than_every_cable_is_named_and_the_others_decide() {
        let found = findings(&CHECK, &house(&["30 m", "20 m"], &["60 m", "12 m"], ""));
        assert_eq!(found[0].verdict, Verdict::Fits);
        assert!(
            found[0]
                .because
                .ends_with("Shorter than every cable of its kind: S1."),
            "{}",
            found[0].because
        );
        let found = findings(&CHECK, &house(&["30 m", "20 m"], &["12 m"], ""));
        assert_eq!(found[0].verdict, Verdict::Fails);
        assert!(found[0].because.contains("S0"), "{}", found[0].because);
    }

    #[test]
    fn kinds_without_spools_and_spools_without_cables_are_left_alone() {
        assert!(findings(&CHECK, &house(&["30 m"], &[], "")).is_empty());
        assert!(findings(&CHECK, &house(&[], &["30 m"], "")).is_empty());
    }

    #[test]
    fn an_unmeasured_spool_is_asked_for() {
        let found = findings(&CHECK, &house(&["30 m"], &["?"], ""));
        assert_eq!(found[0].needs[0].at, "spool.S0.length");
    }

    #[test]
    fn a_further_spool_mends_it() {
        for text in [
            house(&["40 m", "40 m", "39 m"], &["60 m", "60 m"], ""),
            house(&["30 m", "35 m"], &["60 m", "40 m"], "spool = \"S0\"\n"),
            house(&["30 m ± 0 m", "29.98 m ± 50 mm"], &["60 m"], ""),
            house(&["140 m"], &["60 m"], ""),
        ] {
            let found = findings(&CHECK, &text);
            assert_eq!(found[0].remedies.len(), 1, "{}", found[0].because);
            let after = findings_after(&CHECK, &text, &found[0].remedies[0].edits);
            assert_eq!(after[0].verdict, Verdict::Fits, "{}", after[0].because);
        }
    }
}
