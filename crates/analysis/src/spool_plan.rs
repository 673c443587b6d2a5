//! From which spool is each cable cut, and what stays on it?

use std::collections::BTreeMap;

use model::{Cable, Units};
use uncertainty::Uncertain;
use units::{Dimension, Metres};
use wiring::cut::{Cut, CutError, Spool, plan, with_least_scrap};

use crate::{Analysis, COVERAGE_FACTOR, Known, Limit, Missing, Source};

/// An end of cable that is kept; a shorter one is scrap.
pub static SCRAP_BELOW: Limit = Limit {
    name: "scrap_below",
    meaning: "length of a spool's end below which it is scrap",
    dimension: Dimension::Length,
    value: 3.0,
    source: Source::CommonPractice,
    regional: &[],
};

/// Cable is cut to the next of these, m: 6 in, 100 mm.
const CUT_STEP_IMPERIAL_M: f64 = 0.1524;
const CUT_STEP_METRIC_M: f64 = 0.1;

/// The cuts of one kind of cable.
#[derive(Clone, Debug, PartialEq)]
pub struct SpoolPlan {
    /// The cable's catalogue entry.
    pub kind: String,
    /// Spools opened, longest first.
    pub opened: Vec<OpenedSpool>,
    /// Ends that are scrap, m.
    pub scrap_m: f64,
    /// How much less length of spool another plan might open at most, m; 0 where the plan is
    /// proven to open least.
    pub gap_m: f64,
    /// Spools too short for any cable of their kind.
    pub useless: Vec<String>,
    /// Why there is no plan, in words.
    pub fault: Option<String>,
}

/// A spool and what is cut from it.
#[derive(Clone, Debug, PartialEq)]
pub struct OpenedSpool {
    /// The spool's id.
    pub spool: String,
    /// Cables by id with the length that each is cut to, m, in the order of cutting.
    pub cuts: Vec<(String, f64)>,
    /// What stays on it, m.
    pub left_m: f64,
    /// Whether that is scrap.
    pub is_scrap: bool,
}

impl Analysis {
    /// The length that a cable is cut to, m: way, slack, loops and what the survey may be off,
    /// rounded up to the next 6 in or 100 mm.
    pub fn cut_to(&self, cable: &Cable) -> Known<f64> {
        let (cut, spread_m) = self.cut(cable)?;
        Ok(self.cut_up_m(cut.value(), spread_m))
    }

    /// As [`Analysis::cut_to`], for a length with slack and loops that a route needs.
    pub fn cut_to_of(&self, need: &Uncertain) -> f64 {
        self.cut_up_m(need.value(), need.standard_uncertainty())
    }

    fn cut_up_m(&self, need_m: f64, spread_m: f64) -> f64 {
        let most = need_m + COVERAGE_FACTOR * spread_m;
        let step = self.cut_step_m();
        // What rounding adds to an exact length is no reason to cut a step more.
        (most / step - 1e-6).ceil() * step
    }

    /// The step that cut lengths are rounded up to, m.
    pub fn cut_step_m(&self) -> f64 {
        match self.units() {
            Units::Imperial => CUT_STEP_IMPERIAL_M,
            Units::Metric => CUT_STEP_METRIC_M,
        }
    }

    /// The plan of each kind of cable that is cut from spools, by kind, and what is missing for
    /// cables that can't be planned yet. The least length of spool is opened, then the least of
    /// it is scrap. A cable that names its spool is cut from that one.
    pub fn spool_plans(&self) -> (Vec<SpoolPlan>, Vec<Missing>) {
        let mut missing = Vec::new();
        let mut kinds: BTreeMap<&str, Vec<(&Cable, f64)>> = BTreeMap::new();
        for cable in self.cables() {
            if cable.length.is_some() || cable.existing.is_some() {
                continue;
            }
            match self.cut_to(cable) {
                Ok(length_m) => kinds
                    .entry(&cable.kind)
                    .or_default()
                    .push((cable, length_m)),
                Err(one) => missing.push(one),
            }
        }
        let plans = kinds
            .into_iter()
            .map(|(kind, cuts)| self.spool_plan(kind, &cuts));
        (plans.collect(), missing)
    }

    fn spool_plan(&self, kind: &str, cuts: &[(&Cable, f64)]) -> SpoolPlan {
        let below = Metres(self.limit(&SCRAP_BELOW).value);
        let stock: Vec<(&str, f64)> = (self.spools().iter())
            .filter(|spool| spool.kind == kind)
            .filter_map(|spool| {
                let length = self.number(spool.length.as_ref())?;
                // What may not be on the spool is not counted on.
                let sure = length.value() - COVERAGE_FACTOR * length.standard_uncertainty();
                Some((spool.id.as_str(), sure))
            })
            .collect();
        let shortest = cuts.iter().map(|cut| cut.1).fold(f64::INFINITY, f64::min);
        let useless = stock.iter().filter(|spool| spool.1 < shortest);
        let mut it = SpoolPlan {
            kind: kind.to_owned(),
            opened: Vec::new(),
            scrap_m: 0.0,
            gap_m: 0.0,
            useless: useless.map(|spool| spool.0.to_owned()).collect(),
            fault: None,
        };
        if stock.is_empty() {
            it.fault = Some("no spool of this kind is in stock".to_owned());
            return it;
        }
        // Cables that name their spool come off it first.
        let named = |cable: &Cable| {
            let spool = cable.spool.as_deref()?;
            stock.iter().position(|one| one.0 == spool)
        };
        let mut left_m: Vec<f64> = stock.iter().map(|spool| spool.1).collect();
        let mut of_spool: Vec<Vec<(String, f64)>> = vec![Vec::new(); stock.len()];
        let mut open: Vec<(&Cable, f64)> = Vec::new();
        for (cable, length_m) in cuts {
            match named(cable) {
                Some(spool) => {
                    left_m[spool] -= length_m;
                    of_spool[spool].push((cable.id.clone(), *length_m));
                }
                None => open.push((cable, *length_m)),
            }
        }
        if let Some(spool) = left_m.iter().position(|left| *left < -1e-9) {
            it.fault = Some(format!(
                "spool {} is {} too short for the cables that name it",
                stock[spool].0,
                self.exact(-left_m[spool], Dimension::Length)
            ));
            return it;
        }
        let usable: Vec<usize> = (0..stock.len())
            .filter(|spool| left_m[*spool] > 1e-3)
            .collect();
        let spools: Vec<Spool> = (usable.iter())
            .map(|spool| Spool {
                kind: kind.to_owned(),
                length: Metres(left_m[*spool]),
                available: Some(1),
            })
            .collect();
        let wanted: Vec<Cut> = (open.iter())
            .map(|(_, length_m)| Cut {
                kind: kind.to_owned(),
                length: Metres(*length_m),
            })
            .collect();
        match plan(&spools, &wanted) {
            Ok(found) => {
                it.gap_m = (found.length_opened.0 - found.length_bound.0).max(0.0);
                let found = with_least_scrap(found, &spools, &wanted, below);
                for opened in &found.opened {
                    let spool = usable[opened.spool];
                    for cut in &opened.cuts {
                        let (cable, length_m) = open[*cut];
                        left_m[spool] -= length_m;
                        of_spool[spool].push((cable.id.clone(), length_m));
                    }
                }
            }
            Err(error) => {
                it.fault = Some(self.cut_fault(&error, &open));
                return it;
            }
        }
        for (spool, cuts) in of_spool.into_iter().enumerate() {
            if cuts.is_empty() {
                continue;
            }
            let left_m = left_m[spool].max(0.0);
            let is_scrap = left_m > 1e-9 && left_m < below.0;
            it.scrap_m += if is_scrap { left_m } else { 0.0 };
            it.opened.push(OpenedSpool {
                spool: stock[spool].0.to_owned(),
                cuts,
                left_m,
                is_scrap,
            });
        }
        it
    }

    fn cut_fault(&self, error: &CutError, open: &[(&Cable, f64)]) -> String {
        match error {
            CutError::TooLong { cut } => format!(
                "no spool is long enough for {}, which is cut to {}",
                open[*cut].0.id,
                self.exact(open[*cut].1, Dimension::Length)
            ),
            CutError::NotEnough { .. } => "the spools in stock do not hold all cuts".to_owned(),
            CutError::Undecided { .. } => {
                "the spools in stock are nearly all used: bring one more".to_owned()
            }
            CutError::SpoolLength { .. } | CutError::CutLength { .. } => error.to_string(),
        }
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use crate::Analysis;

    fn plans(spools: &str) -> (Vec<super::SpoolPlan>, usize) {
        let text = format!(
            r#"
format = 1
[job]
name = "Spools"
[[kit.cable]]
id = "wire"
carries = "line"
[[kit.device]]
id = "box"
[[item]]
id = "a"
is = "box"
[[item]]
id = "b"
is = "box"
[[cable]]
id = "W1"
kind = "wire"
from = "a"
to = "b"
slack = "0 %"
service_loop = "0 m"
legs = [{{ along = "attic", length = "12 m ± 0" }}]
[[cable]]
id = "W2"
kind = "wire"
from = "a"
to = "b"
slack = "0 %"
service_loop = "0 m"
legs = [{{ along = "attic", length = "7.01 m ± 20 mm" }}]
{spools}
"#
        );
        let job = model::read(&text, &[]).expect("the job reads");
        let analysis = Analysis::new(Arc::new(job));
        let (plans, missing) = analysis.spool_plans();
        (plans, missing.len())
    }

    fn spool(id: &str, length: &str) -> String {
        format!("[[spool]]\nid = \"{id}\"\nkind = \"wire\"\nlength = \"{length}\"\n")
    }

    #[test]
    fn each_cut_holds_what_the_survey_may_be_off() {
        let (plans, missing) = plans(&spool("S1", "30 m"));
        assert_eq!(missing, 0);
        // 7.01 m ± 20 mm is cut to the next 100 mm above 7.03 m.
        let mut cuts = plans[0].opened[0].cuts.clone();
        cuts.sort_by(|a, b| a.0.cmp(&b.0));
        assert!(
            (cuts[0].1 - 12.0).abs() < 1e-9 && (cuts[1].1 - 7.1).abs() < 1e-9,
            "{cuts:?}"
        );
        assert!((plans[0].opened[0].left_m - 10.9).abs() < 1e-9);
        assert!(!plans[0].opened[0].is_scrap && plans[0].gap_m < 1e-9);
    }

    #[test]
    fn the_remnant_that_fits_is_used_and_its_short_end_is_scrap() {
        let stock = spool("new", "100 m") + &spool("rest", "20 m");
        let (plans, _) = plans(&stock);
        assert_eq!(plans[0].opened.len(), 1);
        assert_eq!(plans[0].opened[0].spool, "rest");
        // 20 − 12 − 7.1 = 0.9 m.
        assert!(plans[0].opened[0].is_scrap && (plans[0].scrap_m - 0.9).abs() < 1e-9);
    }

    #[test]
    fn a_spool_shorter_than_every_cable_is_named() {
        let (short, _) = plans(&spool("stub", "5 m"));
        assert_eq!(short[0].useless, ["stub"]);
        assert_eq!(
            short[0]
                .fault
                .as_deref()
                .map(|fault| fault.replace('\u{202f}', " ")),
            Some("no spool is long enough for W1, which is cut to 12 m".to_owned())
        );
        let (none, _) = plans("");
        assert_eq!(
            none[0].fault.as_deref(),
            Some("no spool of this kind is in stock")
        );
    }
}
