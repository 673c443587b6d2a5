//! What a proof says, as JSON: all numbers in SI, each text in the job's own units.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::Value;

use crate::tellings::Told;

/// A job proved.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[schemars(rename = "Findings")]
pub struct Findings<F = Finding> {
    /// The job's name.
    pub job: String,
    /// Counts up with each issue of the sheets; null when the job states none.
    pub revision: Option<u32>,
    /// What was found out, by space and worst first; fewer than counted when some were
    /// selected.
    pub findings: Vec<F>,
    /// Measurements worth taking before anything is ordered, most decisive first.
    pub measure_again: Vec<MeasureAgain>,
    /// How many findings of the whole job have each verdict.
    pub counts: Counts,
    /// The same by space, in the job's order; the whole house last.
    pub by_space: Vec<SpaceCounts>,
    /// The same by trade, in the order of a job.
    pub by_area: Vec<AreaCounts>,
}

/// What a check found out about one thing.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Finding {
    /// `check~space~subject`, the space empty for the whole house: unique in a job.
    pub key: String,
    /// The check's id.
    pub check: &'static str,
    /// The trade that it belongs to.
    pub area: &'static str,
    /// The check's question in short words.
    pub title: String,
    /// What it is about.
    pub subject: Subject,
    /// The space's id; null for the whole house.
    pub space: Option<String>,
    /// Bodies and soffits of the space's scene that it speaks of; none where it speaks of
    /// the space itself or of the whole house.
    pub about: Vec<String>,
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
    /// The value in the job's own units.
    pub value_text: Option<String>,
    /// The limit in the job's own units.
    pub limit_text: Option<String>,
    /// The margin in the job's own units, always with its sign.
    pub margin_text: Option<String>,
    /// The uncertainty in the job's own units, as `±6 mm`; null where it is nothing.
    pub uncertainty_text: Option<String>,
    /// What is drawn of margin against uncertainty; null while unknown.
    pub bar: Option<Bar>,
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
    /// Facts that went in: those that the uncertainty rests on first, largest share first,
    /// then where the things it speaks of are.
    pub inputs: Vec<Input>,
    /// What would mend it.
    pub remedies: Vec<Remedy>,
    /// Dangers of the work that it speaks of.
    pub cautions: Vec<&'static str>,
}

/// What a finding is about.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Subject {
    /// Unique together with the check and the space.
    pub id: String,
    /// Words for people.
    pub label: String,
}

/// A margin and its uncertainty on one scale, in the finding's unit.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Bar {
    /// Signed; the limit is at 0.
    pub margin: f64,
    /// Half the width of the band about the margin, 95 %.
    pub uncertainty: f64,
    /// What the drawing reaches to on either side of the limit: 1, 2 or 5 times a power of
    /// ten, and no less than margin and uncertainty together.
    pub scale: f64,
}

/// A fact that a finding rests on.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Input {
    /// What it is.
    pub what: String,
    /// Where it stands, or belongs, in the document.
    pub at: String,
    /// As written; null for what nobody measured and is taken for granted.
    pub text: Option<String>,
    /// How it is known: `laser`, `tape`, `chosen`, `spec sheet`, `assumed` and so on.
    pub how: &'static str,
    /// Its share of the margin's variance, 0 to 1; null where it has none.
    pub share: Option<f64>,
}

/// What a margin says.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
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
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Need {
    /// What it is.
    pub what: String,
    /// Where it belongs in the job file.
    pub at: String,
    /// How to get it.
    pub tool: &'static str,
}

/// A measurement that a tight finding rests on.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Decider {
    /// What it is.
    pub what: String,
    /// Where it stands in the job file.
    pub at: String,
    /// Its share of the margin's variance, 0 to 1.
    pub share: f64,
}

/// A change to the job that would mend a finding.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
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
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Edit {
    /// The fact's path.
    pub at: String,
    /// What is written there; null takes the fact away.
    pub set: Option<Value>,
}

/// The job proved again with a remedy applied.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
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
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Change {
    /// The check's id.
    pub check: &'static str,
    /// What it is about.
    pub subject: String,
    /// Without the remedy; null when the finding appears with it.
    pub from: Option<Verdict>,
    /// With the remedy; null when the finding goes.
    pub to: Option<Verdict>,
    /// The margin without the remedy, in the finding's unit; null where there is none.
    pub from_margin: Option<f64>,
    /// The margin with it.
    pub to_margin: Option<f64>,
}

/// A measurement worth taking, or taking again.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
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
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Settled {
    /// The check's id.
    pub check: &'static str,
    /// What it is about.
    pub subject: String,
}

/// How many findings have each verdict.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, JsonSchema)]
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

/// How many findings of a space have each verdict.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct SpaceCounts {
    /// The space's id; null for the whole house.
    pub space: Option<String>,
    /// Its counts.
    pub counts: Counts,
}

/// How many findings of a trade have each verdict.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct AreaCounts {
    /// The trade.
    pub area: &'static str,
    /// Its counts.
    pub counts: Counts,
}

/// How the findings of an edited copy differ.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Delta {
    /// Findings that are new or say anything else, without the effects of remedies.
    pub changed: Vec<Told>,
    /// Keys of findings that are no more.
    pub gone: Vec<String>,
    /// How many findings of the copy have each verdict.
    pub counts: Counts,
}

/// A check's manual.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Manual {
    /// The check's id.
    pub id: &'static str,
    /// The trade that it belongs to.
    pub area: &'static str,
    /// The check's question in short words.
    pub title: String,
    /// What holds when it fits.
    pub proves: &'static str,
    /// What goes wrong otherwise, and who notices.
    pub matters: &'static str,
    /// The formula, its symbols and where it is valid.
    pub formula: &'static str,
    /// Where formula and judgement come from.
    pub source: Sourced,
    /// What a crew usually does about it.
    pub when_it_fails: &'static str,
    /// Values from outside the project, and the program's own answers.
    pub published: Vec<PublishedValue>,
    /// Limits that a job may change.
    pub limits: Vec<ManualLimit>,
}

/// Where something comes from.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Sourced {
    /// In words.
    pub words: String,
    /// How far it can be relied on.
    pub mark: SourceMark,
}

/// Kinds of source.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum SourceMark {
    /// A work that was read.
    Published,
    /// Follows from geometry or arithmetic.
    Derived,
    /// A rule of thumb without a source.
    CommonPractice,
    /// Recalled, and not seen again.
    FromMemory,
    /// The maker's spec sheet.
    SpecSheet,
    /// Changed by the job itself.
    Agreed,
}

/// A value from outside the project that the program is held to.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct PublishedValue {
    /// The place, the case and the mark.
    pub cite: &'static str,
    /// The source's answer, in `unit`.
    pub expected: f64,
    /// The program's answer, in `unit`; null where it refuses the case.
    pub computed: Option<f64>,
    /// The largest difference that the source leaves room for, in `unit`.
    pub tolerance: f64,
    /// The unit's symbol; `1` for a pure number.
    pub unit: &'static str,
    /// Whether the difference is within the tolerance.
    pub holds: bool,
}

/// A limit that a house may change, and what is judged by it.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct HouseLimit {
    /// The limit.
    #[serde(flatten)]
    pub limit: ManualLimit,
    /// What else is customary where a job says so: region and value.
    pub regional: Vec<[String; 2]>,
    /// The area of the first check that it is read by.
    pub area: &'static str,
    /// The checks that read it, by id.
    pub checks: Vec<&'static str>,
}

/// A limit that a job may change.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ManualLimit {
    /// The key under `[rules]`.
    pub name: &'static str,
    /// What it limits.
    pub meaning: &'static str,
    /// Its customary value, in metric and imperial units.
    pub text: String,
    /// Where that comes from.
    pub source: String,
}
