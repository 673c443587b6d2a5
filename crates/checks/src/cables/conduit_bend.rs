//! Are the bends of a conduit wide enough for the cables that are pulled through it?

use analysis::{Analysis, Known, Limit, LimitValue, Means, Missing, Source, Uncertain};
use model::{Cable, CableKit, CableUse, Edit};
use units::{Dimension, Metres};
use wiring::pull::{FOUR_PAIR_TENSION_MAX, SIDEWALL_MAX_N_PER_M, bend_radius_min};

use crate::conduits::{Filled, filled};
use crate::moves::{Round, written_length};
use crate::runs::kind_label;
use crate::{Area, Check, Finding, Outcome, Published, Remedy, Run, Subject};

pub(super) static BEND_FOUR_PAIR: Limit = Limit {
    name: "bend_four_pair",
    meaning: "tightest bend of an unscreened cable of four pairs over its diameter",
    dimension: Dimension::Factor,
    value: 4.0,
    source: Source::FromMemory {
        work: "ANSI/TIA-568",
    },
    regional: &[],
};

pub(super) static BEND_COAX: Limit = Limit {
    name: "bend_coax",
    meaning: "tightest bend of a coaxial cable over its diameter",
    dimension: Dimension::Factor,
    value: 10.0,
    source: Source::CommonPractice,
    regional: &[],
};

pub(crate) static CHECK: Check = Check {
    id: "conduit-bend",
    area: Area::Cables,
    proves: "Every bend of a conduit is wide enough for each cable that is pulled through it.",
    matters: "A cable that is drawn round a tight bend keeps its jacket and loses its pairs' twist, its foam or its glass: the link drops at night.",
    formula: "R ≥ max(k d, T / p); R: radius of the bend to the inside of the pipe, m; d: the cable's outside diameter, m; k: 4 for cable of four pairs, 10 for coaxial and line cable, unless the cable's sheet states its own radius; T: the hardest pull that the cable stands, else 110 N; p = 4378 N/m (300 lbf/ft) against the side of a bend. Video cable with electronics or fibre inside bends as its sheet says; loudspeaker and control cable have no rule here but the side's.",
    source: Source::FromMemory {
        work: "ANSI/TIA-568; 300 lbf/ft on public pages of pulling practice (some allow 500)",
    },
    when_it_fails: "Lay a wider bend, or a pull box at the corner.",
    limits: &[&BEND_FOUR_PAIR, &BEND_COAX],
    published: &[
        Published {
            cite: "4 × 6.2 mm, four pairs: 24.8 mm (ANSI/TIA-568, from memory; computed)",
            computed: || radius_mm(6.2, BEND_FOUR_PAIR.value),
            expected: 24.8,
            tolerance: 1e-9, // Exact.
            unit: "mm",
        },
        Published {
            cite: "110 N at 300 lbf/ft: 25.1246 mm (computed from the limit of public pages)",
            computed: || FOUR_PAIR_TENSION_MAX.0 / SIDEWALL_MAX_N_PER_M * 1e3,
            expected: 25.1246,
            tolerance: 0.001, // Printed digits.
            unit: "mm",
        },
    ],
    run: Run::House(run),
};

fn radius_mm(diameter_mm: f64, multiple: f64) -> f64 {
    bend_radius_min(Metres(diameter_mm * 1e-3), multiple).map_or(f64::NAN, |radius| radius.0 * 1e3)
}

fn run(analysis: &Analysis) -> Vec<Finding> {
    let has_bends =
        |one: &Filled| (one.conduit.bends.as_ref()).is_some_and(|bends| !bends.is_empty());
    (filled(analysis).into_iter())
        .map(|mut one| {
            // What lies in it is pulled no more.
            let held = &one.conduit.holds;
            (one.cables).retain(|(cable, _)| !held.contains(&cable.id) || cable.existing.is_none());
            one
        })
        .filter(|one| !one.cables.is_empty() && has_bends(one))
        .map(|one| {
            let label = format!("{}, radius", one.conduit.label());
            let subject = Subject::new(format!("pathway.{}+radius", one.conduit.id), label);
            CHECK.about_house(subject, || decide(analysis, &one))
        })
        .collect()
}

/// The least radius that a cable needs, and where that comes from.
fn needed(analysis: &Analysis, kit: &CableKit) -> Known<(Uncertain, Source)> {
    let pull = analysis.number(kit.pull_max.as_ref());
    let pull_n = pull.map_or(FOUR_PAIR_TENSION_MAX.0, |pull| pull.value());
    let side = Uncertain::exact(pull_n / SIDEWALL_MAX_N_PER_M);
    let wider = |radius: Uncertain, source: Source| match radius.value() < side.value() {
        true => (side.clone(), CHECK.source.clone()),
        false => (radius, source),
    };
    match at_rest(analysis, kit) {
        Some(known) => known.map(|(radius, source)| wider(radius, source)),
        None => Ok((side, CHECK.source.clone())),
    }
}

/// The least radius of a cable that lies still, and where that comes from; none for kinds without a rule.
pub(super) fn at_rest(analysis: &Analysis, kit: &CableKit) -> Option<Known<(Uncertain, Source)>> {
    if let Some(own) = analysis.number(kit.bend_radius.as_ref()) {
        return Some(Ok((own, Source::SpecSheet)));
    }
    let limit: LimitValue = match kit.carries {
        CableUse::Network => analysis.limit(&BEND_FOUR_PAIR),
        CableUse::Line | CableUse::Coax => analysis.limit(&BEND_COAX),
        CableUse::Video if kit.active => {
            return Some(Err(missing(kit, "bend_radius", "the tightest bend")));
        }
        CableUse::Video | CableUse::Loudspeaker | CableUse::Control => return None,
    };
    let radius = |diameter: Uncertain| (diameter * limit.value, limit.source.clone());
    Some(outside(analysis, kit).map(radius))
}

/// A cable's outside diameter.
pub(super) fn outside(analysis: &Analysis, kit: &CableKit) -> Known<Uncertain> {
    let diameter = analysis.number(kit.diameter.as_ref());
    diameter.ok_or_else(|| missing(kit, "diameter", "the outside diameter"))
}

fn missing(kit: &CableKit, fact: &str, what: &str) -> Missing {
    Missing::new(
        format!("{what} of {}", kit.common.id),
        format!("kit.cable.{}.{fact}", kit.common.id),
        Means::SpecSheet,
    )
}

fn decide(analysis: &Analysis, one: &Filled) -> Known<Outcome> {
    let label = one.conduit.label();
    let path = format!("pathway.{}", one.conduit.id);
    let bends = one.conduit.bends.as_deref().unwrap_or_default();
    let mut tightest: Option<Uncertain> = None;
    for (index, bend) in bends.iter().enumerate() {
        let radius = analysis.number(bend.radius.as_ref()).ok_or_else(|| {
            Missing::new(
                format!("the radius of bend {} of {label}, to its inside", index + 1),
                format!("{path}.bends.{index}.radius"),
                Means::Tape,
            )
        })?;
        if (tightest.as_ref()).is_none_or(|least| radius.value() < least.value()) {
            tightest = Some(radius);
        }
    }
    let radius = tightest.expect("only conduits with bends are asked about");
    let mut stiffest: Option<(&Cable, &CableKit, Uncertain, Source)> = None;
    for &(cable, kit) in &one.cables {
        let (least, source) = needed(analysis, kit)?;
        if (stiffest.as_ref()).is_none_or(|(_, _, most, _)| least.value() > most.value()) {
            stiffest = Some((cable, kit, least, source));
        }
    }
    let (cable, kit, least, source) = stiffest.expect("a conduit with cables");
    let sentence = format!(
        "The tightest bend of {label} has a radius of {}, and {} ({}) wants {} while it is pulled.",
        analysis.length(&radius),
        cable.id,
        kind_label(kit),
        analysis.length(&least),
    );
    let margin = &radius - &least;
    let outcome = Outcome::with_margin(radius, least.value(), margin, Dimension::Length, source);
    let outcome = outcome.because(sentence);
    let remedy = outcome
        .asks_for_remedies(analysis)
        .then(|| wider_bends(analysis, one, &least));
    Ok(outcome.remedy(remedy.flatten()))
}

/// A bend is laid as wide as it is meant, give or take this, m: common practice, no source.
const LAID_TO_M: f64 = 0.010;

/// Every bend that is too tight made wide enough.
fn wider_bends(analysis: &Analysis, one: &Filled, least: &Uncertain) -> Option<Remedy> {
    // Nobody lays a bend to the millimetre.
    let wide_m = least.value() * 1.1 + LAID_TO_M;
    let text = written_length(analysis, wide_m, Round::Up);
    let bends = one.conduit.bends.as_deref().unwrap_or_default();
    let edits: Vec<Edit> = (bends.iter().enumerate())
        .filter(|(_, bend)| {
            let radius = bend.radius.as_ref().and_then(model::Length::value);
            radius.is_some_and(|radius| radius < wide_m)
        })
        .map(|(index, _)| {
            let at = format!("pathway.{}.bends.{index}.radius", one.conduit.id);
            Edit::set(at, text.clone())
        })
        .collect();
    let says = format!(
        "Lay the bends of {} with a radius of {text}.",
        one.conduit.label()
    );
    (!edits.is_empty()).then(|| Remedy::new(says, edits))
}

#[cfg(test)]
mod tests {
    //! One cable through a conduit with two bends.

    use super::super::conduit;
    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{findings, findings_after};

    fn bent(radius: &str, cable: &str) -> String {
        let facts = format!(
            "length = \"5 m\"\ninside = \"30 mm\"\nbends = [{{ angle = \"90 deg\", radius = \"200 mm\" }}, {{ angle = \"90 deg\"{radius} }}]"
        );
        conduit(&facts, cable, 1)
    }

    fn verdict(radius: &str, cable: &str) -> Verdict {
        let radius = format!(", radius = \"{radius} ± 0 mm\"");
        let found = findings(&CHECK, &bent(&radius, cable));
        assert_eq!(found.len(), 1);
        found[0].verdict
    }

    #[test]
    fn four_diameters_of_four_pairs_or_what_the_side_of_a_bend_bears() {
        // 4 × 7 mm = 28 mm.
        let cable = "diameter = \"7 mm ± 0 mm\"";
        assert_eq!(verdict("28.1 mm", cable), Verdict::Fits);
        assert_eq!(verdict("27.9 mm", cable), Verdict::Fails);
        // 4 × 5 mm = 20 mm, but 110 N at 4378 N/m want 25.1 mm.
        let thin = "diameter = \"5 mm ± 0 mm\"";
        assert_eq!(verdict("25.2 mm", thin), Verdict::Fits);
        assert_eq!(verdict("25.0 mm", thin), Verdict::Fails);
    }

    #[test]
    fn the_cables_own_sheet_comes_first() {
        let own = "diameter = \"7 mm\"\nbend_radius = \"60 mm ± 0 mm\"";
        assert_eq!(verdict("60.1 mm", own), Verdict::Fits);
        assert_eq!(verdict("59.9 mm", own), Verdict::Fails);
        let pulled_hard = "diameter = \"5 mm\"\npull_max = \"400 N\"";
        // 400 / 4378.2 = 91.4 mm.
        assert_eq!(verdict("91.5 mm", pulled_hard), Verdict::Fits);
        assert_eq!(verdict("91.2 mm", pulled_hard), Verdict::Fails);
    }

    #[test]
    fn a_coarse_measurement_is_tight() {
        let text = bent(", radius = \"30 mm ± 5 mm\"", "diameter = \"7 mm ± 0 mm\"");
        assert_eq!(findings(&CHECK, &text)[0].verdict, Verdict::Tight);
    }

    #[test]
    fn what_is_not_known_is_asked() {
        let asked = |text: &str| findings(&CHECK, text)[0].needs[0].at.clone();
        assert_eq!(
            asked(&bent("", "diameter = \"7 mm\"")),
            "pathway.pipe.bends.1.radius"
        );
        let radius = ", radius = \"50 mm\"";
        assert_eq!(asked(&bent(radius, "")), "kit.cable.network-c6.diameter");
        let optical = bent(radius, "active = true").replace("\"network\"", "\"video\"");
        assert_eq!(asked(&optical), "kit.cable.network-c6.bend_radius");
        let straight = bent(radius, "diameter = \"7 mm\"").replace("bends = [", "bends = [] # [");
        assert!(findings(&CHECK, &straight).is_empty());
    }

    #[test]
    fn wider_bends_mend_it() {
        let text = bent(", radius = \"20 mm ± 0 mm\"", "diameter = \"7 mm ± 0 mm\"");
        let found = findings(&CHECK, &text);
        assert_eq!(found[0].verdict, Verdict::Fails);
        let after = findings_after(&CHECK, &text, &found[0].remedies[0].edits);
        assert_eq!(after[0].verdict, Verdict::Fits, "{}", after[0].because);
    }
}
