//! Does the document make sense: names that point somewhere, places that exist?

mod framing;
mod house;
mod kit;
mod names;
mod ports;
mod site;
mod space;

use std::collections::{BTreeMap, HashMap, HashSet};
use std::rc::Rc;

use units::{Printer, System};

use crate::read::{LimitName, Problem, Problems, Use, Watched, shown};
use crate::{FORMAT, Item, Job, Length, Space, Units};

use names::{Names, by_name};
use space::Within;

/// Longest list of known names that a message prints.
const NAMES_PRINTED: usize = 12;

/// Everything in a well-formed job that points nowhere or cannot be.
pub(crate) fn problems(job: &Job, limits: &[LimitName]) -> Vec<Problem> {
    looked_over(job, limits, Problems::default()).into_vec()
}

/// Every place of the document that names a wall of a space.
pub(crate) fn uses_of_wall(job: &Job, space: &str, wall: &str) -> Vec<Use> {
    let watched = Watched {
        what: wall_called(space),
        name: wall.to_owned(),
        uses: Vec::new(),
    };
    let watched = looked_over(job, &[], Problems::watching(watched)).watched;
    watched.map_or_else(Vec::new, |watched| watched.uses)
}

/// "wall of `loft` called", for messages.
fn wall_called(space: &str) -> String {
    format!("wall of `{space}` called")
}

fn looked_over(job: &Job, limits: &[LimitName], found: Problems) -> Problems {
    let mut sense = Sense {
        job,
        known: Known::of(job),
        within: HashMap::new(),
        found,
    };
    sense.format();
    sense.site();
    sense.glass();
    sense.currency();
    sense.ids();
    for space in &job.space {
        sense.space(space);
    }
    sense.rings_of_spaces();
    for item in &job.item {
        sense.item(item);
    }
    sense.containment();
    sense.zones_and_signals();
    sense.cables();
    sense.ports();
    sense.cable_ports();
    sense.signal_loops();
    sense.activities();
    sense.pathways();
    sense.pictures();
    sense.kit_sizes();
    sense.rules(limits);
    sense.found
}

struct Sense<'a> {
    job: &'a Job,
    known: Known<'a>,
    /// The names inside each space that an item stands in.
    within: HashMap<&'a str, Rc<Within<'a>>>,
    found: Problems,
}

/// Every name that something may point to.
struct Known<'a> {
    kit: Names<'a>,
    cable_kind: Names<'a>,
    space: Names<'a>,
    item: Names<'a>,
    zone: Names<'a>,
    circuit: Names<'a>,
    spool: Names<'a>,
    fixture: Names<'a>,
    spaces: HashMap<&'a str, &'a Space>,
    items: HashMap<&'a str, &'a Item>,
    /// Space and opening.
    openings: HashSet<(&'a str, &'a str)>,
}

impl<'a> Known<'a> {
    fn of(job: &'a Job) -> Self {
        let spaces = || job.space.iter().map(|space| &**space);
        let items = || job.item.iter().map(|item| &**item);
        let openings = |space: &'a Space| {
            let id = space.id.as_str();
            space
                .opening
                .iter()
                .map(move |opening| (id, opening.id.as_str()))
        };
        Self {
            kit: job.kit.all().map(|kit| kit.common().id.as_str()).collect(),
            cable_kind: (job.kit.cable.iter())
                .map(|kit| kit.common.id.as_str())
                .collect(),
            space: spaces().map(|space| space.id.as_str()).collect(),
            item: items().map(|item| item.id.as_str()).collect(),
            zone: job.zone.iter().map(|zone| zone.id.as_str()).collect(),
            circuit: (job.circuit.iter())
                .map(|circuit| circuit.id.as_str())
                .collect(),
            spool: job.spool.iter().map(|spool| spool.id.as_str()).collect(),
            fixture: spaces()
                .flat_map(|space| &space.fixture)
                .map(|fixture| fixture.id.as_str())
                .collect(),
            spaces: by_name(spaces(), |space| &space.id),
            items: by_name(items(), |item| &item.id),
            openings: spaces().flat_map(openings).collect(),
        }
    }
}

/// A name in the document that must be one of some known names.
struct Pointer<'p> {
    at: String,
    what: &'p str,
    written: &'p str,
    /// What stands behind the name in the same text.
    behind: &'p str,
    /// The name is the last key of the path.
    in_key: bool,
}

impl<'p> Pointer<'p> {
    fn new(at: impl Into<String>, what: &'p str, written: &'p str) -> Self {
        Self {
            at: at.into(),
            what,
            written,
            behind: "",
            in_key: false,
        }
    }

    fn followed_by(self, behind: &'p str) -> Self {
        Self { behind, ..self }
    }

    fn in_key(self) -> Self {
        let in_key = true;
        Self { in_key, ..self }
    }
}

impl Problems {
    fn report(&mut self, at: impl Into<String>, message: String, accepted: impl Into<String>) {
        self.push(Problem::at(at, message, accepted));
    }

    /// Reports a name that is not among the known ones.
    fn unless_known(&mut self, pointer: Pointer, names: &Names) {
        let Pointer { what, written, .. } = pointer;
        if let Some(watched) = &mut self.watched
            && (watched.what.as_str(), watched.name.as_str()) == (what, written)
        {
            watched.uses.push(Use {
                at: pointer.at.clone(),
                behind: pointer.behind.to_owned(),
                in_key: pointer.in_key,
            });
        }
        if names.contains(written) {
            return;
        }
        let message = format!("there is no {what} `{}`", shown(written));
        let mut brief = Problem::at(pointer.at, message, "");
        if pointer.in_key {
            brief = brief.in_key();
        }
        self.add(brief, |mut problem| {
            problem.accepted = accepted_names(what, names.list());
            let mut problem = problem.suggesting(written, names.list().iter().copied());
            if let Some(suggestion) = &mut problem.suggestion {
                suggestion.replacement.push_str(pointer.behind);
            }
            problem
        });
    }
}

fn accepted_names(what: &str, names: &[&str]) -> String {
    if names.is_empty() {
        return format!("nothing yet: the job has no {what}");
    }
    let mut accepted: Vec<String> = names
        .iter()
        .take(NAMES_PRINTED)
        .map(|name| format!("`{name}`"))
        .collect();
    if names.len() > NAMES_PRINTED {
        accepted.push(format!("and {} more", names.len() - NAMES_PRINTED));
    }
    accepted.join(", ")
}

impl Sense<'_> {
    fn format(&mut self) {
        if self.job.format != FORMAT {
            self.found.report(
                "format",
                format!("format {} is not known to this program", self.job.format),
                format!("format = {FORMAT}"),
            );
        }
    }

    fn ids(&mut self) {
        let job = self.job;
        let found = &mut self.found;
        unique(found, "space", job.space.iter().map(|space| &space.id));
        unique(found, "item", job.item.iter().map(|item| &item.id));
        unique(found, "cable", job.cable.iter().map(|cable| &cable.id));
        unique(found, "zone", job.zone.iter().map(|zone| &zone.id));
        unique(
            found,
            "circuit",
            job.circuit.iter().map(|circuit| &circuit.id),
        );
        unique(
            found,
            "pathway",
            job.pathway.iter().map(|pathway| &pathway.id),
        );
        unique(found, "spool", job.spool.iter().map(|spool| &spool.id));
        unique(found, "signal", job.signal.iter().map(|signal| &signal.id));
        unique(
            found,
            "activity",
            job.activity.iter().map(|activity| &activity.id),
        );
        // One name for the whole catalogue, though its lists are one for each kind.
        let mut seen = HashSet::new();
        let mut index_of: BTreeMap<&str, usize> = BTreeMap::new();
        for kit in job.kit.all() {
            let index = index_of.entry(kit.kind()).or_default();
            let id = &kit.common().id;
            if !seen.insert(id) {
                used_twice(found, format!("kit.{}.{index}", kit.kind()), id);
            }
            *index += 1;
        }
    }

    fn positive(&mut self, at: &str, length: Option<&Length>, what: &str) {
        if let Some(value) = length.and_then(Length::value)
            && value <= 0.0
        {
            let text = length.map(Length::text).unwrap_or_default();
            self.found
                .report(at, format!("{what} can't be {text}"), "a length above zero");
        }
    }

    fn printer(&self) -> Printer {
        Printer {
            system: if self.job.units() == Units::Imperial {
                System::Imperial
            } else {
                System::Metric
            },
        }
    }
}

/// Reports each id that was used before, at its second place.
fn unique<'n>(found: &mut Problems, path: &str, ids: impl IntoIterator<Item = &'n String>) {
    let mut seen = HashSet::new();
    for (index, id) in ids.into_iter().enumerate() {
        if !seen.insert(id) {
            used_twice(found, format!("{path}.{index}"), id);
        }
    }
}

fn used_twice(found: &mut Problems, at: String, id: &str) {
    found.report(
        at,
        format!("the id `{id}` is used already"),
        "an id of its own for each",
    );
}
