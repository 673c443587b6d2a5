//! Does each cable reach, with its slack and a loop at both ends?

use analysis::{Analysis, CABLE_SLACK, Means, Missing, Parts, SERVICE_LOOP, Source};
use model::{Cable, CableKit, Edit, Space, Spool};
use units::Dimension;

use crate::moves::to_spare;
use crate::runs::{self, NewCable, cables_of, kind_label, shorter_ways, spools_of};
use crate::{Area, Caution, Check, Finding, Known, Outcome, Published, Remedy, Run, Uncertain};

/// A spool as shops sell them: 100 m, or 500 ft (common practice, no source).
const SPOOL_METRES: f64 = 100.0;
const SPOOL_FEET: f64 = 500.0;

pub(crate) static CHECK: Check = Check {
    id: "cable-length",
    area: Area::Cables,
    proves: "Each cable reaches from end to end by its way, with slack and a loop at both ends.",
    matters: "A cable a foot short is found at the top of the ladder, with the wall closed.",
    formula: "need = (sum of legs) (1 + s) + 2 l; margin = what there is − need; legs: as measured where the job states them, else the cheapest way through bays, plates, joists, voids and baseboards, else up the wall to the ceiling, along, across, down, m; s: slack, share of the route; l: loop at each end, m. What there is: the ready-made or existing cable, else the spool that it is cut from. A fact of the construction that nobody knows widens the need by what it may change.",
    source: Source::CommonPractice,
    when_it_fails: "Order it longer, cut it from another spool, or take a shorter way.",
    limits: &[&SERVICE_LOOP, &CABLE_SLACK],
    published: &[
        Published {
            cite: "floor 2.0 m off the wall, 0.8 m along, 1.5 m up, in square runs: 4.3 m (computed)",
            computed: || need_m(&[2.0, 0.8, 1.5], 0.0, 0.0),
            expected: 4.3,
            tolerance: 1e-9, // Exact.
            unit: "m",
        },
        Published {
            cite: "legs of 2.4, 3, 4 and 1.6 m, 10 % slack, two loops of 0.5 m: 13.1 m (computed)",
            computed: || need_m(&[2.4, 3.0, 4.0, 1.6], 0.1, 0.5),
            expected: 13.1,
            tolerance: 1e-9, // Exact.
            unit: "m",
        },
    ],
    run: Run::EachSpaceIn(Parts::NONE, run),
};

/// What a cable of these measured legs needs, by way of a job that holds nothing else.
fn need_m(legs: &[f64], slack: f64, service_loop: f64) -> f64 {
    let legs: String = (legs.iter())
        .map(|leg| format!("{{ along = \"leg\", length = \"{leg} m\" }},"))
        .collect();
    let text = format!(
        "format = 1\njob = {{ name = \"one cable\" }}\n[[cable]]\nid = \"W\"\nkind = \"wire\"\nfrom = \"a\"\nto = \"b\"\nlegs = [{legs}]\nslack = {slack}\nservice_loop = \"{service_loop} m\"\n[kit]\ncable = [{{ id = \"wire\", carries = \"line\" }}]\ndevice = [{{ id = \"box\" }}]\n[[item]]\nid = \"a\"\nis = \"box\"\n[[item]]\nid = \"b\"\nis = \"box\"\n"
    );
    let Ok(job) = model::read(&text, &[]) else {
        return f64::NAN;
    };
    let analysis = Analysis::new(std::sync::Arc::new(job));
    let need = analysis.cut_length(&analysis.job().cable[0]);
    need.map_or(f64::NAN, |need| need.value())
}

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    // An existing cable of unknown length is the old plate's affair: see plate-height.
    cables_of(analysis, space)
        .filter(|(cable, _)| cable.existing.is_none() || cable.length.is_some())
        .map(|(cable, kit)| {
            CHECK.about_cable(analysis, space, cable, || {
                decide(analysis, cable, kit, &Supply::of(analysis, cable, kit)?)
            })
        })
        .collect()
}

/// Where a cable comes from.
enum Supply<'a> {
    /// Bought at this length.
    ReadyMade(Uncertain),
    /// In the wall already.
    Existing(Uncertain),
    /// Cut from what is left on this spool.
    Spool(&'a Spool, Uncertain),
}

impl<'a> Supply<'a> {
    fn of(analysis: &'a Analysis, cable: &Cable, kit: &CableKit) -> Known<Self> {
        let at = format!("cable.{}.length", cable.id);
        if cable.length.is_some() {
            let means = match cable.existing {
                Some(_) => Means::Tape,
                None => Means::SpecSheet,
            };
            let ask = || Missing::new(format!("the length of cable {}", cable.id), at, means);
            let length = analysis.number(cable.length.as_ref()).ok_or_else(ask)?;
            return Ok(match cable.existing {
                Some(_) => Self::Existing(length),
                None => Self::ReadyMade(length),
            });
        }
        let named = cable.spool.as_deref();
        let mut spools = (analysis.spools().iter())
            .filter(|spool| match named {
                Some(id) => spool.id == id,
                None => spool.kind == cable.kind,
            })
            .peekable();
        let Some(first) = spools.peek().copied() else {
            let what = format!(
                "a spool of {} in stock, or the ready-made length of cable {}",
                kind_label(kit),
                cable.id
            );
            return Err(Missing::new(what, at, Means::Decide));
        };
        let known = spools
            .filter_map(|spool| Some((spool, analysis.number(spool.length.as_ref())?)))
            .max_by(|a, b| a.1.value().total_cmp(&b.1.value()));
        let (spool, length) = known.ok_or_else(|| {
            Missing::new(
                format!("what is left on spool {}", first.id),
                format!("spool.{}.length", first.id),
                Means::Tape,
            )
        })?;
        Ok(Self::Spool(spool, length))
    }

    fn length(&self) -> &Uncertain {
        match self {
            Self::ReadyMade(length) | Self::Existing(length) | Self::Spool(_, length) => length,
        }
    }

    fn words(&self, analysis: &Analysis) -> String {
        let length = analysis.length(self.length());
        match self {
            Self::ReadyMade(_) => format!("the ready-made one is {length} long"),
            Self::Existing(_) => format!("the one in the wall is {length} long"),
            Self::Spool(spool, _) => format!("spool {} holds {length}", spool.id),
        }
    }
}

fn decide(
    analysis: &Analysis,
    cable: &Cable,
    kit: &CableKit,
    supply: &Supply<'_>,
) -> Known<Outcome> {
    let need = analysis.cut_length(cable)?;
    let route = analysis.route(cable)?;
    let sentence = format!(
        "{} needs {} ({}, {} slack, a loop of {} at each end{}), and {}.",
        cable.id,
        analysis.length(&need),
        runs::route_words(analysis, route),
        analysis.print(&analysis.slack(cable), Dimension::Ratio),
        analysis.length(&analysis.service_loop(cable)),
        runs::doubt_words(route),
        supply.words(analysis),
    );
    let margin = supply.length() - &need;
    let outcome = Outcome::with_margin(
        supply.length().clone(),
        need.value(),
        margin,
        Dimension::Length,
        analysis.limit(&SERVICE_LOOP).source,
    )
    .because(sentence)
    .caution(Caution::Ladder);
    if !outcome.asks_for_remedies(analysis) {
        return Ok(outcome);
    }
    let longer = match supply {
        Supply::ReadyMade(_) => longer_ready_made(analysis, cable, &need),
        Supply::Existing(_) => pull_another(analysis, cable, kit),
        Supply::Spool(..) => {
            other_spool(analysis, cable, &need).or_else(|| one_more_spool(analysis, cable, &need))
        }
    };
    let shorter = match supply {
        // It lies where it lies.
        Supply::Existing(_) => None,
        _ => shorter_way(analysis, cable, supply.length()),
    };
    Ok(outcome.remedy(longer).remedy(shorter))
}

/// Length that leaves a margin above its uncertainty.
fn ample(need: &Uncertain) -> f64 {
    need.value() - to_spare(need, 0.0) + need.value()
}

fn longer_ready_made(analysis: &Analysis, cable: &Cable, need: &Uncertain) -> Option<Remedy> {
    let text = runs::shop_length(analysis, ample(need), 1.0);
    let says = format!("Order {} {text} long.", cable.id);
    let at = format!("cable.{}.length", cable.id);
    Some(Remedy::new(says, vec![Edit::set(at, text)]))
}

/// Leaves the old cable and pulls one from the spools, one more spool if none holds it.
fn pull_another(analysis: &Analysis, cable: &Cable, kit: &CableKit) -> Option<Remedy> {
    let mut edits = runs::abandon_existing(cable);
    let new = NewCable::of(analysis, cable)?;
    let mut says = format!("Pull a new {}", new.words(analysis, cable));
    match spool_that_holds(analysis, cable, &new.need) {
        Some(spool) => {
            says += &format!(" from spool {}", spool.id);
            edits.push(Edit::set(
                format!("cable.{}.spool", cable.id),
                spool.id.clone(),
            ));
        }
        None => {
            let (text, more) = new_spool(analysis, cable, &new.need);
            says += &format!(" from a further spool of {text}");
            edits.extend(more);
        }
    }
    says += &new
        .takes()
        .map_or_else(|| ".".to_owned(), |takes| format!(": {takes}."));
    let remedy = Remedy::new(says, edits)
        .costing(new.cost(analysis, kit))
        .caution(Caution::Drilling);
    Some(remedy)
}

fn spool_that_holds<'a>(
    analysis: &'a Analysis,
    cable: &'a Cable,
    need: &Uncertain,
) -> Option<&'a Spool> {
    let holds = |(spool, length): (&'a Spool, Option<Uncertain>)| {
        let length = length?;
        (to_spare(&(&length - need), 0.0) >= 0.0).then_some((spool, length))
    };
    let least = spools_of(analysis, &cable.kind)
        .filter_map(holds)
        .min_by(|a, b| a.1.value().total_cmp(&b.1.value()));
    least.map(|(spool, _)| spool)
}

fn other_spool(analysis: &Analysis, cable: &Cable, need: &Uncertain) -> Option<Remedy> {
    let spool = spool_that_holds(analysis, cable, need)?;
    let says = format!(
        "Cut {} from spool {}, which holds {}.",
        cable.id,
        spool.id,
        analysis.length(&analysis.number(spool.length.as_ref())?),
    );
    let at = format!("cable.{}.spool", cable.id);
    Some(Remedy::new(says, vec![Edit::set(at, spool.id.clone())]))
}

fn one_more_spool(analysis: &Analysis, cable: &Cable, need: &Uncertain) -> Option<Remedy> {
    let (text, edits) = new_spool(analysis, cable, need);
    let says = format!("Bring a further spool of {text} for {}.", cable.id);
    Some(Remedy::new(says, edits))
}

fn new_spool(analysis: &Analysis, cable: &Cable, need: &Uncertain) -> (String, Vec<Edit>) {
    let whole = match analysis.units() {
        model::Units::Imperial => SPOOL_FEET,
        model::Units::Metric => SPOOL_METRES,
    };
    let text = runs::shop_length(analysis, ample(need), whole);
    let (id, more) = runs::another_spool(analysis, &cable.kind, &text);
    let at = format!("cable.{}.spool", cable.id);
    (text, vec![more, Edit::set(at, id)])
}

fn shorter_way(analysis: &Analysis, cable: &Cable, there: &Uncertain) -> Option<Remedy> {
    let way = shorter_ways(analysis, cable)
        .into_iter()
        .find(|way| to_spare(&(there - &way.length), 0.0) >= 0.0)?;
    let says = format!(
        "Run {} {}: it needs {} that way.",
        cable.id,
        way.words,
        analysis.length(&way.length),
    );
    Some(Remedy::new(says, vec![way.edit]))
}

#[cfg(test)]
mod tests {
    //! Each supply on both sides of enough, tight, unknown; each remedy mends it.

    use expect_test::expect;

    use super::CHECK;
    use crate::testing::{findings, findings_after, told};
    use crate::{Finding, Verdict};

    /// Overhead: up 2.1 m, 4 m along, 4 m across, down 2.1 m; with 10 % and two loops of
    /// 0.3 m it needs 1.1 · 12.2 + 0.6 = 14.02 m. Underfoot: 1.1 · 8.6 + 0.6 = 10.06 m.
    fn wired(more: &str) -> String {
        format!(
            r#"
[[kit.device]]
id = "box"
[[kit.cable]]
id = "wire"
name = "Wire"
carries = "line"
[[space.fixture]]
id = "old-plate"
kind = "plate"
on = {{ wall = "south", from_left = "1 m", height = "0.3 m" }}
[[item]]
id = "amp"
is = "box"
space = "den"
on = {{ wall = "north", from_left = "1 m", height = "0.3 m" }}
[[item]]
id = "left"
is = "box"
space = "den"
on = {{ wall = "south", from_left = "1 m", height = "0.3 m" }}
[[cable]]
id = "W1"
kind = "wire"
from = "amp"
to = "left.in"
{more}
"#
        )
    }

    const SPOOL: &str = "[[spool]]\nid = \"S1\"\nkind = \"wire\"\n";

    fn only(text: &str) -> Finding {
        let mut found = findings(&CHECK, text);
        assert_eq!(found.len(), 1);
        found.remove(0)
    }

    fn verdict(more: &str) -> Verdict {
        only(&wired(more)).verdict
    }

    #[test]
    fn a_long_enough_cable_fits() {
        expect![[r#"
            W1: fits +0.980: W1 needs 14.020 m (up 2.1 m, along 4 m, across 4 m, down 2.1 m, 10 % slack, a loop of 300 mm at each end), and the ready-made one is 15 m long.
        "#]]
        .assert_eq(&told(&[only(&wired("length = \"15 m\""))]));
    }

    #[test]
    fn both_sides_of_enough() {
        // The tape's ±6 mm at each wall and at the ceiling leave some centimetres open.
        assert_eq!(verdict("length = \"14.06 m\""), Verdict::Fits);
        assert_eq!(verdict("length = \"14.03 m\""), Verdict::Tight);
        assert_eq!(verdict("length = \"14.01 m\""), Verdict::Fails);
        // Its own loop and slack: 12.2 m and nothing else.
        let bare = "slack = \"0 %\"\nservice_loop = \"0 m\"\nlength = ";
        assert_eq!(verdict(&format!("{bare}\"12.19 m\"")), Verdict::Fails);
        assert_eq!(verdict(&format!("{bare}\"12.25 m\"")), Verdict::Fits);
    }

    #[test]
    fn the_spool_that_it_is_cut_from_must_hold_it() {
        assert_eq!(verdict(&format!("{SPOOL}length = \"15 m\"")), Verdict::Fits);
        assert_eq!(
            verdict(&format!("{SPOOL}length = \"14 m\"")),
            Verdict::Fails
        );
        let two = format!(
            "spool = \"S2\"\n{SPOOL}length = \"90 m\"\n[[spool]]\nid = \"S2\"\nkind = \"wire\"\nlength = \"14 m\""
        );
        assert_eq!(verdict(&two), Verdict::Fails);
    }

    #[test]
    fn an_existing_cable_is_judged_by_its_length() {
        let old = "existing = \"old-plate\"\nlength = ";
        assert_eq!(verdict(&format!("{old}\"16 m\"")), Verdict::Fits);
        assert_eq!(verdict(&format!("{old}\"12 m\"")), Verdict::Fails);
        assert_eq!(verdict(&format!("{old}\"?\"")), Verdict::Unknown);
        let unmeasured = wired("existing = \"old-plate\"");
        assert!(findings(&CHECK, &unmeasured).is_empty());
    }

    #[test]
    fn a_paced_leg_is_tight() {
        let legs = "legs = [{ along = \"attic\", length = \"13 m guess\" }]\nlength = \"15 m\"";
        // 1.1 · 13 + 0.6 = 14.9 m ± 0.33 m.
        assert_eq!(verdict(legs), Verdict::Tight);
    }

    #[test]
    fn missing_facts_are_named() {
        let needs = |more: &str| only(&wired(more)).needs[0].at.clone();
        assert_eq!(needs(""), "cable.W1.length");
        assert_eq!(needs(SPOOL), "spool.S1.length");
        assert_eq!(
            needs("length = \"5 m\"\nlegs = [{ along = \"attic\", length = \"?\" }]"),
            "cable.W1.legs.0.length"
        );
    }

    #[test]
    fn each_remedy_mends_it_alone() {
        let short_spool = format!("{SPOOL}length = \"13 m\"");
        let named = format!(
            "spool = \"S1\"\n{short_spool}\n[[spool]]\nid = \"S2\"\nkind = \"wire\"\nlength = \"80 m\""
        );
        let cases = [
            // A longer one, or underfoot.
            ("length = \"13 m\"".to_owned(), 2),
            // Underfoot does not help it either.
            ("length = \"10 m\"".to_owned(), 1),
            (short_spool.clone(), 2),
            (named, 2),
            ("existing = \"old-plate\"\nlength = \"11 m\"".to_owned(), 1),
            (
                format!("existing = \"old-plate\"\nlength = \"11 m\"\n{SPOOL}length = \"20 m\""),
                1,
            ),
        ];
        for (more, count) in cases {
            let text = wired(&more);
            let found = only(&text);
            assert_eq!(found.verdict, Verdict::Fails, "{more}");
            assert_eq!(found.remedies.len(), count, "{more}: {:?}", found.remedies);
            for remedy in &found.remedies {
                let after = findings_after(&CHECK, &text, &remedy.edits);
                assert_eq!(
                    after[0].verdict,
                    Verdict::Fits,
                    "{more}: {} {}",
                    remedy.says,
                    after[0].because
                );
            }
        }
    }
}
