//! What a check found out about one thing.

use std::fmt;
use std::ops::{Deref, DerefMut};
use std::sync::Arc;

use analysis::{
    Analysis, COVERAGE_FACTOR, Known, LimitValue, Missing, Source, Uncertain, item_label,
};
use model::{Cable, Fixture, Item, Seat, Space};
use units::Dimension;

use crate::{Area, Caution, Check, Remedy, Verdict};

/// What a finding is about.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Subject {
    /// Unique together with the check: ids of the job, joined.
    pub id: String,
    /// Words for people: "seat sofa-left", "W07".
    pub label: String,
}

impl Subject {
    /// A subject by id and words.
    pub fn new(id: impl Into<String>, label: impl Into<String>) -> Self {
        Self {
            id: id.into(),
            label: label.into(),
        }
    }

    /// An item.
    pub fn item(item: &Item) -> Self {
        Self::new(&item.id, item_label(item))
    }

    /// A seat.
    pub fn seat(seat: &Seat) -> Self {
        Self::new(&seat.id, ["seat ", &seat.id].concat())
    }

    /// A fixture.
    pub fn fixture(fixture: &Fixture) -> Self {
        Self::new(&fixture.id, fixture.id.replace('-', " "))
    }

    /// A cable.
    pub fn cable(cable: &Cable) -> Self {
        Self::new(&cable.id, &cable.id)
    }

    /// A space.
    pub fn space(space: &Space) -> Self {
        Self::new(&space.id, space.label())
    }

    /// This and another thing together: "projector and seat left".
    pub fn with(&self, other: &Self, joint: &str) -> Self {
        Self {
            id: [&self.id, "+", &other.id].concat(),
            label: [&self.label, " ", joint, " ", &other.label].concat(),
        }
    }
}

/// What a check found out about one thing, to be read as [`Found`]. Copies share it until one of
/// them is changed: to try remedies, findings are handed on by the ten thousand.
#[derive(Clone, PartialEq)]
pub struct Finding(Arc<Found>);

impl From<Found> for Finding {
    fn from(found: Found) -> Self {
        Self(Arc::new(found))
    }
}

impl Deref for Finding {
    type Target = Found;

    fn deref(&self) -> &Found {
        &self.0
    }
}

impl DerefMut for Finding {
    fn deref_mut(&mut self) -> &mut Found {
        Arc::make_mut(&mut self.0)
    }
}

impl fmt::Debug for Finding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

/// What a finding tells.
#[derive(Clone, Debug, PartialEq)]
pub struct Found {
    /// The check's id.
    pub check: &'static str,
    /// The check's area.
    pub area: Area,
    /// What it is about.
    pub subject: Subject,
    /// The space's id; none for the whole house.
    pub space: Option<String>,
    /// The value, SI.
    pub value: Option<Uncertain>,
    /// The limit that decided, SI.
    pub limit: Option<f64>,
    /// How value, limit and margin are printed.
    pub dimension: Dimension,
    /// Signed margin, SI; positive is good.
    pub margin: Option<Uncertain>,
    /// The verdict.
    pub verdict: Verdict,
    /// One plain sentence with the numbers.
    pub because: String,
    /// Where the limit comes from.
    pub source: Source,
    /// What is missing.
    pub needs: Vec<Missing>,
    /// What would mend it.
    pub remedies: Vec<Remedy>,
    /// Dangers of the work that it speaks of.
    pub cautions: Vec<Caution>,
    /// For a tight finding: the measurements that decide it, largest share first.
    pub deciders: Vec<Decider>,
}

/// A source of uncertainty that a margin rests on.
#[derive(Clone, Debug, PartialEq)]
pub struct Decider {
    /// What it is, for people.
    pub what: String,
    /// Where it stands in the document.
    pub path: String,
    /// Its share of the margin's variance, 0 to 1.
    pub share: f64,
}

/// The decided part of a finding.
#[derive(Clone, Debug)]
pub struct Outcome {
    value: Uncertain,
    limit: f64,
    margin: Uncertain,
    dimension: Dimension,
    source: Source,
    comfort: f64,
    because: String,
    remedies: Vec<Remedy>,
    cautions: Vec<Caution>,
}

impl Outcome {
    /// `value` must not be less than the limit.
    pub fn at_least(value: Uncertain, limit: &LimitValue, dimension: Dimension) -> Self {
        let margin = &value - limit.value;
        Self::with_margin(value, limit.value, margin, dimension, limit.source.clone())
    }

    /// `value` must not be more than the limit.
    pub fn at_most(value: Uncertain, limit: &LimitValue, dimension: Dimension) -> Self {
        let margin = limit.value - &value;
        Self::with_margin(value, limit.value, margin, dimension, limit.source.clone())
    }

    /// `value` must lie between two limits; the nearer decides.
    pub fn between(
        value: Uncertain,
        low: &LimitValue,
        high: &LimitValue,
        dimension: Dimension,
    ) -> Self {
        if value.value() - low.value <= high.value - value.value() {
            Self::at_least(value, low, dimension)
        } else {
            Self::at_most(value, high, dimension)
        }
    }

    /// For margins that are no plain difference, or limits that are uncertain themselves.
    pub fn with_margin(
        value: Uncertain,
        limit: f64,
        margin: Uncertain,
        dimension: Dimension,
        source: Source,
    ) -> Self {
        Self {
            value,
            limit,
            margin,
            dimension,
            source,
            comfort: 0.0,
            because: String::new(),
            remedies: Vec::new(),
            cautions: Vec::new(),
        }
    }

    /// The margin, to compute remedies from.
    pub fn margin(&self) -> &Uncertain {
        &self.margin
    }

    /// What the margin says.
    pub fn verdict(&self) -> Verdict {
        Verdict::on(&self.margin, self.comfort)
    }

    /// The sentence; it names things and numbers with units, and reads on its own.
    pub fn because(mut self, sentence: impl Into<String>) -> Self {
        self.because = sentence.into();
        self
    }

    /// A margin below which the thing is tight although it is known exactly.
    pub fn comfort(mut self, comfort: f64) -> Self {
        self.comfort = comfort;
        self
    }

    /// Whether it is worth working out what would mend it: not where it fits, nor in a copy
    /// that shows what another remedy does.
    pub fn asks_for_remedies(&self, analysis: &Analysis) -> bool {
        self.verdict() != Verdict::Fits && !analysis.is_trial()
    }

    /// Adds what would mend it. Pointless on a finding that fits; then it is dropped.
    pub fn remedy(mut self, remedy: Option<Remedy>) -> Self {
        if self.verdict() != Verdict::Fits {
            self.remedies.extend(remedy);
        }
        self
    }

    /// Adds what would mend it, which is only worked out where somebody asks for it.
    pub fn mended<const N: usize>(
        self,
        analysis: &Analysis,
        remedies: impl FnOnce() -> [Option<Remedy>; N],
    ) -> Self {
        if !self.asks_for_remedies(analysis) {
            return self;
        }
        (remedies().into_iter()).fold(self, |outcome, remedy| outcome.remedy(remedy))
    }

    /// Adds a danger of the work that the finding speaks of.
    pub fn caution(mut self, caution: Caution) -> Self {
        self.cautions.push(caution);
        self
    }
}

impl Check {
    /// The finding about a thing in a space: decided, or unknown with what is missing.
    pub fn about(
        &self,
        space: &Space,
        subject: Subject,
        decide: impl FnOnce() -> Known<Outcome>,
    ) -> Finding {
        self.conclude(Some(space.id.clone()), subject, decide())
    }

    /// As [`Check::about`], of an item by itself. `decide` may look at the item, its catalogue
    /// entry, the space as this check sees it, and whatever it asks of the analysis: copies
    /// that try remedies share what rests on nothing that they change.
    pub fn about_item(
        &self,
        analysis: &Analysis,
        space: &Space,
        item: &Item,
        decide: impl FnOnce() -> Known<Outcome>,
    ) -> Finding {
        self.shared_by_trials(analysis, space, item, || {
            self.about(space, Subject::item(item), decide)
        })
    }

    /// As [`Check::about_item`], of all that a check finds of an item: at each seat, for example.
    /// One check asks of an item either this or that.
    pub fn shared_by_trials<T: Clone + 'static>(
        &self,
        analysis: &Analysis,
        space: &Space,
        item: &Item,
        found: impl FnOnce() -> T,
    ) -> T {
        if !analysis.is_trial() {
            return found();
        }
        analysis.kept_of_item(self.id, item, || {
            analysis.kit_of(item);
            analysis.with_parts(space, self.run.parts());
            found()
        })
    }

    /// As [`Check::about_item`], of a cable.
    pub fn about_cable(
        &self,
        analysis: &Analysis,
        space: &Space,
        cable: &Cable,
        decide: impl FnOnce() -> Known<Outcome>,
    ) -> Finding {
        let finding = || self.about(space, Subject::cable(cable), decide);
        if !analysis.is_trial() {
            return finding();
        }
        analysis.kept_of_cable(self.id, cable, || {
            analysis.kit(&cable.kind);
            analysis.with_parts(space, self.run.parts());
            finding()
        })
    }

    /// The finding about a thing of the whole house.
    pub fn about_house(
        &self,
        subject: Subject,
        decide: impl FnOnce() -> Known<Outcome>,
    ) -> Finding {
        self.conclude(None, subject, decide())
    }

    fn conclude(
        &self,
        space: Option<String>,
        subject: Subject,
        outcome: Known<Outcome>,
    ) -> Finding {
        let blank = Found {
            check: self.id,
            area: self.area,
            subject,
            space,
            value: None,
            limit: None,
            dimension: Dimension::Ratio,
            margin: None,
            verdict: Verdict::Unknown,
            because: String::new(),
            source: self.source.clone(),
            needs: Vec::new(),
            remedies: Vec::new(),
            cautions: Vec::new(),
            deciders: Vec::new(),
        };
        let found = match outcome {
            Err(missing) => Found {
                because: format!(
                    "Can't tell yet: needs {} ({}).",
                    missing.what,
                    missing.means.tool()
                ),
                needs: vec![missing],
                ..blank
            },
            Ok(outcome) => {
                let mut remedies = outcome.remedies;
                for (index, remedy) in remedies.iter_mut().enumerate() {
                    remedy.id = format!("{}/{}/{}", self.id, blank.subject.id, index + 1);
                }
                Found {
                    verdict: Verdict::on(&outcome.margin, outcome.comfort),
                    value: Some(outcome.value),
                    limit: Some(outcome.limit),
                    dimension: outcome.dimension,
                    margin: Some(outcome.margin),
                    because: outcome.because,
                    source: outcome.source,
                    remedies,
                    cautions: outcome.cautions,
                    ..blank
                }
            }
        };
        found.into()
    }
}

impl Finding {
    /// Expanded uncertainty of the margin, SI, 95 %.
    pub fn uncertainty(&self) -> Option<f64> {
        self.margin
            .as_ref()
            .map(|margin| COVERAGE_FACTOR * margin.standard_uncertainty())
    }

    /// Adds to a failing finding's sentence that none of the remedies tried mends it alone.
    pub(crate) fn say_if_no_single_remedy_is_enough(&mut self) {
        let mended = |remedy: &Remedy| {
            (remedy.effect.as_ref())
                .is_some_and(|effect| effect.refused.is_none() && effect.verdict != Verdict::Fails)
        };
        const SENTENCE: &str = " No single change that dryfit can compute mends it.";
        let is_said = self.because.ends_with(SENTENCE);
        if self.verdict == Verdict::Fails && !self.remedies.iter().any(mended) && !is_said {
            self.because += SENTENCE;
        }
    }

    /// The identity that a finding keeps between a job and its edited copy.
    pub(crate) fn key(&self) -> (&'static str, Option<&str>, &str) {
        (self.check, self.space.as_deref(), &self.subject.id)
    }

    /// All that people read of it, a line each.
    pub(crate) fn words(&self) -> String {
        // By all of its parts, so that a further one is not forgotten here.
        let Found {
            check: _,
            area: _,
            subject,
            space: _,
            value: _,
            limit: _,
            dimension: _,
            margin: _,
            verdict: _,
            because,
            source,
            needs,
            remedies,
            cautions: _,
            deciders,
        } = &**self;
        let mut words = [&subject.label, because, &source.words()].map(|text| text.clone() + "\n");
        let needs = needs.iter().map(|missing| &missing.what);
        let remedies = remedies.iter().map(|remedy| &remedy.says);
        let deciders = deciders.iter().map(|decider| &decider.what);
        for text in needs.chain(remedies).chain(deciders) {
            words[2] += text;
            words[2] += "\n";
        }
        words.concat()
    }

    /// Names the measurements that decide a tight finding.
    pub(crate) fn name_deciders(&mut self, analysis: &Analysis) {
        let Some(margin) = self
            .margin
            .as_ref()
            .filter(|_| self.verdict == Verdict::Tight)
        else {
            return;
        };
        let variance = margin.standard_uncertainty().powi(2);
        if variance == 0.0 {
            return;
        }
        let mut shares: Vec<_> = margin
            .budget()
            .iter()
            .map(|(id, u)| (u * u / variance, *id))
            .filter(|(share, _)| *share >= 0.05)
            .collect();
        shares.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        self.deciders = shares
            .into_iter()
            .take(3)
            .map(|(share, id)| {
                let (what, path) = crate::measure_again::described(analysis, id);
                Decider { what, path, share }
            })
            .collect();
    }
}
