//! What `prove --json` prints, and its JSON Schema: all numbers in SI.

use checks::{Proof, Verdict as Checked};
use model::Job;
use schemars::{JsonSchema, Schema};
use serde::Serialize;
use serde_json::Value;
use units::Dimension;

use crate::report::Shown;

/// A job proved.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Findings {
    /// The job's name.
    pub job: String,
    /// Counts up with each issue of the sheets; null when the job states none.
    pub revision: Option<u32>,
    /// What was found out, by space and worst first; fewer than counted when some were
    /// selected.
    pub findings: Vec<Finding>,
    /// Measurements worth taking before anything is ordered, most decisive first.
    pub measure_again: Vec<MeasureAgain>,
    /// How many findings of the whole job have each verdict.
    pub counts: Counts,
}

/// What a check found out about one thing.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Finding {
    /// The check's id.
    pub check: &'static str,
    /// The trade that it belongs to.
    pub area: &'static str,
    /// What it is about.
    pub subject: Subject,
    /// The space's id; null for the whole house.
    pub space: Option<String>,
    /// The value, in `unit`; null while unknown.
    pub value: Option<f64>,
    /// The limit that decided, in `unit`.
    pub limit: Option<f64>,
    /// The SI unit of value, limit, margin and uncertainty; `1` for a ratio. A margin of
    /// temperatures in °C is in K.
    pub unit: &'static str,
    /// Signed; positive is good.
    pub margin: Option<f64>,
    /// The margin's expanded uncertainty, 95 %.
    pub uncertainty: Option<f64>,
    /// What the margin says.
    pub verdict: Verdict,
    /// One plain sentence with the numbers, in the job's own units.
    pub because: String,
    /// Where the limit comes from.
    pub source: String,
    /// What is missing.
    pub needs: Vec<Need>,
    /// For a tight finding: the measurements that decide it, largest share first.
    pub deciders: Vec<Decider>,
    /// What would mend it.
    pub remedies: Vec<Remedy>,
    /// Dangers of the work that it speaks of.
    pub cautions: Vec<&'static str>,
}

/// What a finding is about.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Subject {
    /// Unique together with the check and the space.
    pub id: String,
    /// Words for people.
    pub label: String,
}

/// What a margin says.
#[derive(Clone, Copy, Debug, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Verdict {
    /// The margin is negative.
    Fails,
    /// Not negative, but within its uncertainty or the check's comfort band.
    Tight,
    /// Something needed is not known.
    Unknown,
    /// Larger than its uncertainty.
    Fits,
}

/// A fact that is missing.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Need {
    /// What it is.
    pub what: String,
    /// Where it belongs in the job file.
    pub at: String,
    /// How to get it.
    pub tool: &'static str,
}

/// A measurement that a tight finding rests on.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Decider {
    /// What it is.
    pub what: String,
    /// Where it stands in the job file.
    pub at: String,
    /// Its share of the margin's variance, 0 to 1.
    pub share: f64,
}

/// A change to the job that would mend a finding.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Remedy {
    /// What `prove --apply` takes.
    pub id: String,
    /// What to do, in the job's own units.
    pub says: String,
    /// The change to the job file.
    pub edits: Vec<Edit>,
    /// Further working time, s.
    pub time_s: f64,
    /// Further wire, m.
    pub wire_m: f64,
    /// Further holes.
    pub holes: u32,
    /// What time and wire cost, in the job's currency; null when it states no rates.
    pub money: Option<f64>,
    /// Dangers of doing it.
    pub cautions: Vec<&'static str>,
    /// The whole job proved again with it; null when it was not tried.
    pub effect: Option<Effect>,
}

/// One fact set or taken away.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Edit {
    /// The fact's path.
    pub at: String,
    /// What is written there; null takes the fact away.
    pub set: Option<Value>,
}

/// The job proved again with a remedy applied.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Effect {
    /// The finding's own verdict afterwards.
    pub verdict: Verdict,
    /// Other findings whose verdict improves.
    pub better: Vec<Change>,
    /// Other findings whose verdict gets worse.
    pub worse: Vec<Change>,
    /// Why it can't be applied, if it can't.
    pub refused: Option<String>,
}

/// A finding whose verdict a remedy changes.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Change {
    /// The check's id.
    pub check: &'static str,
    /// What it is about.
    pub subject: String,
    /// Without the remedy; null when the finding appears with it.
    pub from: Option<Verdict>,
    /// With the remedy; null when the finding goes.
    pub to: Option<Verdict>,
}

/// A measurement worth taking, or taking again.
#[derive(Debug, Serialize, JsonSchema)]
pub struct MeasureAgain {
    /// What to measure.
    pub what: String,
    /// Where it stands, or belongs, in the job file.
    pub at: String,
    /// What to take it with.
    pub tool: &'static str,
    /// Nobody has taken it yet.
    pub blank: bool,
    /// Findings that it would settle.
    pub settles: Vec<Settled>,
}

/// A finding that a measurement would settle.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Settled {
    /// The check's id.
    pub check: &'static str,
    /// What it is about.
    pub subject: String,
}

/// How many findings have each verdict.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Counts {
    /// With room to spare.
    pub fits: usize,
    /// Within uncertainty or comfort.
    pub tight: usize,
    /// Beyond a limit.
    pub fails: usize,
    /// Undecided for want of a fact.
    pub unknown: usize,
}

/// The schema of [`Findings`].
pub fn schema() -> Value {
    let generator = schemars::generate::SchemaSettings::draft2020_12()
        .for_serialize()
        .into_generator();
    Schema::to_value(generator.into_root_schema_for::<Findings>())
}

/// A document for people and programs, ending in a line end.
pub fn text(value: &impl Serialize) -> String {
    let text = serde_json::to_string_pretty(value).expect("keys are texts");
    text + "\n"
}

/// What of a proof is shown.
pub fn findings(job: &Job, proof: &Proof, shown: &Shown) -> Findings {
    Findings {
        job: job.job.name.clone(),
        revision: job.job.revision,
        findings: shown.findings.iter().copied().map(Finding::from).collect(),
        measure_again: proof.measure_again.iter().map(MeasureAgain::from).collect(),
        counts: Counts {
            fits: proof.counts.fits,
            tight: proof.counts.tight,
            fails: proof.counts.fails,
            unknown: proof.counts.unknown,
        },
    }
}

impl From<&checks::Finding> for Finding {
    fn from(finding: &checks::Finding) -> Self {
        Self {
            check: finding.check,
            area: finding.area.word(),
            subject: Subject {
                id: finding.subject.id.clone(),
                label: finding.subject.label.clone(),
            },
            space: finding.space.clone(),
            value: finding.value.as_ref().map(|value| value.value()),
            limit: finding.limit,
            unit: si_unit(finding.dimension),
            margin: finding.margin.as_ref().map(|margin| margin.value()),
            uncertainty: finding.uncertainty(),
            verdict: finding.verdict.into(),
            because: finding.because.clone(),
            source: finding.source.words(),
            needs: (finding.needs.iter())
                .map(|missing| Need {
                    what: missing.what.clone(),
                    at: missing.at.clone(),
                    tool: missing.means.tool(),
                })
                .collect(),
            deciders: (finding.deciders.iter())
                .map(|decider| Decider {
                    what: decider.what.clone(),
                    at: decider.path.clone(),
                    share: decider.share,
                })
                .collect(),
            remedies: finding.remedies.iter().map(Remedy::from).collect(),
            cautions: words(&finding.cautions),
        }
    }
}

impl From<&checks::Remedy> for Remedy {
    fn from(remedy: &checks::Remedy) -> Self {
        Self {
            id: remedy.id.clone(),
            says: remedy.says.clone(),
            edits: (remedy.edits.iter())
                .map(|edit| Edit {
                    at: edit.at.clone(),
                    set: edit.set.clone(),
                })
                .collect(),
            time_s: remedy.cost.time_s,
            wire_m: remedy.cost.wire_m,
            holes: remedy.cost.holes,
            money: remedy.cost.money,
            cautions: words(&remedy.cautions),
            effect: remedy.effect.as_ref().map(|effect| Effect {
                verdict: effect.verdict.into(),
                better: effect.better.iter().map(Change::from).collect(),
                worse: effect.worse.iter().map(Change::from).collect(),
                refused: effect.refused.clone(),
            }),
        }
    }
}

impl From<&checks::Change> for Change {
    fn from(change: &checks::Change) -> Self {
        Self {
            check: change.check,
            subject: change.subject.clone(),
            from: change.from.map(Verdict::from),
            to: change.to.map(Verdict::from),
        }
    }
}

impl From<&checks::MeasureAgain> for MeasureAgain {
    fn from(entry: &checks::MeasureAgain) -> Self {
        Self {
            what: entry.what.clone(),
            at: entry.path.clone(),
            tool: entry.tool,
            blank: entry.blank,
            settles: (entry.settles.iter())
                .map(|(check, subject)| Settled {
                    check,
                    subject: subject.clone(),
                })
                .collect(),
        }
    }
}

impl From<Checked> for Verdict {
    fn from(verdict: Checked) -> Self {
        match verdict {
            Checked::Fails => Self::Fails,
            Checked::Tight => Self::Tight,
            Checked::Unknown => Self::Unknown,
            Checked::Fits => Self::Fits,
        }
    }
}

fn words(cautions: &[checks::Caution]) -> Vec<&'static str> {
    cautions.iter().map(|caution| caution.words()).collect()
}

/// The symbol of a dimension's SI unit.
fn si_unit(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::Length => "m",
        Dimension::Angle => "rad",
        Dimension::Area => "m²",
        Dimension::Volume => "m³",
        Dimension::Illuminance => "lx",
        Dimension::LuminousFlux => "lm",
        Dimension::Luminance => "cd/m²",
        Dimension::Level => "dB",
        Dimension::Power => "W",
        Dimension::Voltage => "V",
        Dimension::Current => "A",
        Dimension::Resistance => "Ω",
        Dimension::Mass => "kg",
        Dimension::Temperature => "°C",
        Dimension::TemperatureDifference => "K",
        Dimension::Frequency => "Hz",
        Dimension::Time => "s",
        Dimension::Ratio | Dimension::Factor => "1",
        Dimension::DataRate => "bit/s",
        Dimension::Force => "N",
        Dimension::WireArea => "m²",
        Dimension::Speed => "m/s",
    }
}
