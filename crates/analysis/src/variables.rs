//! Every independent source of uncertainty: measurements of the job and stated assumptions.

use std::collections::HashMap;
use std::sync::{Arc, Mutex};

use model::{Job, Kind, MeasureNumber, Measured, Measurement, Measurements};
use uncertainty::{SourceId, Uncertain};
use units::Method;

use crate::Analysis;
use crate::numbers::{COVERAGE_FACTOR, degrees};

/// Assumptions are numbered from here, measurements from zero.
const FIRST_ASSUMPTION: u32 = 1 << 31;

/// What a source of uncertainty is.
#[derive(Clone, Debug, PartialEq)]
pub enum VariableName {
    /// A measurement written in the job, by its path.
    Measured {
        /// The path in the document.
        path: String,
        /// What was written.
        text: String,
    },
    /// A value taken for granted until somebody measures it.
    Assumed {
        /// What it is.
        what: String,
        /// Where a measurement would belong in the document.
        path: String,
    },
}

/// Names and shares of every source of uncertainty of one job and its edited copies.
pub(crate) struct Variables {
    measurements: Measurements,
    survey_tolerance_m: f64,
    assumed: Arc<Mutex<Assumed>>,
    shifts: Arc<HashMap<SourceId, f64>>,
}

#[derive(Default)]
struct Assumed {
    by_name: HashMap<String, SourceId>,
    names: Vec<(VariableName, f64)>,
}

impl Variables {
    pub fn new(job: &Job) -> Self {
        Self {
            measurements: job.measurements.clone(),
            survey_tolerance_m: survey_tolerance_m(job),
            assumed: Arc::default(),
            shifts: Arc::default(),
        }
    }

    /// Assumptions keep their numbers in an edited copy, whose spaces may be shared.
    pub fn for_edited(&self, job: &Job) -> Self {
        Self {
            measurements: job.measurements.clone(),
            survey_tolerance_m: survey_tolerance_m(job),
            assumed: Arc::clone(&self.assumed),
            shifts: Arc::clone(&self.shifts),
        }
    }
}

impl Variables {
    /// A measurement by its number.
    pub fn measurement(&self, number: u32) -> Option<&Measurement> {
        self.measurements.get(number as usize)
    }
}

fn survey_tolerance_m(job: &Job) -> f64 {
    Method::from(job.survey.by.unwrap_or_default()).tolerance_m()
}

impl Analysis {
    /// A measured fact as a number; `None` while nobody has measured it.
    ///
    /// Its tolerance, taken as the 95 % interval (coverage factor 2, JCGM 100:2008 §6.2), is
    /// the one written beside it; else, for a length of the survey, that of the survey's
    /// method; else a measured corner's ±0.5° (common practice for a digital bevel); else of a
    /// reverberation time what chance leaves open of it.
    /// Spec-sheet facts and places that the crew chooses are exact unless they say otherwise.
    pub fn number<K: Kind>(&self, fact: Option<&Measured<K>>) -> Option<Uncertain> {
        let fact = fact?;
        let value = fact.value()?;
        let Some(MeasureNumber(number)) = fact.number() else {
            return Some(Uncertain::exact(value));
        };
        let tolerance = fact
            .reading()
            .tolerance_si()
            .unwrap_or_else(|| self.default_tolerance(number, K::NAME));
        let id = SourceId(number);
        let value = value + self.variables.shifts.get(&id).copied().unwrap_or(0.0);
        Some(Uncertain::measured(value, tolerance / COVERAGE_FACTOR, id))
    }

    fn default_tolerance(&self, number: u32, kind: &str) -> f64 {
        let path = (self.variables.measurement(number))
            .map_or("", |measurement| measurement.path.as_str());
        match kind {
            "length" if self.is_surveyed(path) => self.variables.survey_tolerance_m,
            "angle" if path.starts_with("space.") => degrees(0.5),
            "duration" => self.reverberation_interval(number).unwrap_or(0.0),
            _ => 0.0,
        }
    }

    /// Whether a length at that path was found on site, not chosen.
    fn is_surveyed(&self, path: &str) -> bool {
        let mut segments = path.split('.');
        match segments.next() {
            Some("space" | "pathway") => true,
            Some("item") => segments
                .next()
                .and_then(|id| self.item_at(id))
                .is_some_and(|at| self.job.item[at].existing),
            Some("cable") => path.contains(".legs."),
            _ => false,
        }
    }

    /// A value taken for granted, with its 95 % interval, until somebody measures it.
    /// The same `path` is the same assumption everywhere.
    pub fn assumed(&self, what: &str, path: &str, value: f64, tolerance: f64) -> Uncertain {
        let mut assumed = self
            .variables
            .assumed
            .lock()
            .expect("no thread panics while it holds this");
        let next = SourceId(
            FIRST_ASSUMPTION + u32::try_from(assumed.names.len()).expect("few assumptions"),
        );
        let id = *assumed.by_name.entry(path.to_owned()).or_insert(next);
        if id == next {
            let name = VariableName::Assumed {
                what: what.to_owned(),
                path: path.to_owned(),
            };
            assumed.names.push((name, tolerance / COVERAGE_FACTOR));
        }
        let value = value + self.variables.shifts.get(&id).copied().unwrap_or(0.0);
        Uncertain::measured(value, tolerance / COVERAGE_FACTOR, id)
    }

    /// What a source of uncertainty is.
    pub fn variable(&self, id: SourceId) -> VariableName {
        if id.0 >= FIRST_ASSUMPTION {
            let assumed = self
                .variables
                .assumed
                .lock()
                .expect("no thread panics while it holds this");
            return assumed.names[(id.0 - FIRST_ASSUMPTION) as usize].0.clone();
        }
        let measurement = &self.variables.measurements[id.0 as usize];
        VariableName::Measured {
            path: measurement.path.clone(),
            text: measurement.text.clone(),
        }
    }

    /// The measurement that is a source of uncertainty; `None` for an assumption.
    pub fn measurement_of(&self, id: SourceId) -> Option<&Measurement> {
        let measured = (id.0 < FIRST_ASSUMPTION).then_some(id.0)?;
        self.variables.measurement(measured)
    }

    /// A source's own standard uncertainty, SI; `None` for a measurement without one.
    pub fn standard_uncertainty_of(&self, id: SourceId) -> Option<f64> {
        if id.0 >= FIRST_ASSUMPTION {
            let assumed = self
                .variables
                .assumed
                .lock()
                .expect("no thread panics while it holds this");
            return Some(assumed.names[(id.0 - FIRST_ASSUMPTION) as usize].1);
        }
        let measurement = &self.variables.measurements[id.0 as usize];
        let kind = match measurement.path.as_str() {
            path if path.ends_with(".corner") => "angle",
            path if path.contains(".reverberation.") => "duration",
            _ => "length",
        };
        let tolerance = measurement
            .reading
            .tolerance_si()
            .unwrap_or_else(|| self.default_tolerance(id.0, kind));
        (tolerance > 0.0).then_some(tolerance / COVERAGE_FACTOR)
    }

    /// The same job with every source of uncertainty moved by a given amount: one trial
    /// of a Monte Carlo propagation (JCGM 101:2008 §7).
    pub fn shifted(&self, shifts: HashMap<SourceId, f64>) -> Self {
        let mut copy = Self::new(Arc::clone(&self.job));
        copy.variables = self.variables.for_edited(&self.job);
        copy.variables.shifts = Arc::new(shifts);
        copy
    }
}
