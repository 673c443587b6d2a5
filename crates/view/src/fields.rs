//! Fields of a thing, each with its text, what may be written, and what waits for it.

use std::collections::{BTreeMap, BTreeSet};

use analysis::Analysis;
use checks::tables::finishes::{Counts, Finish, finishes};
use model::{Item, Kit, Space};
use serde_json::Value;

use crate::words::{capital, words};
use crate::{Choice, Field, FieldKind, document, findings, schema};

/// The keys under which a place is written.
const PLACES: [&str; 3] = ["on", "at", "hung"];

/// Facts that findings wait for.
pub(crate) struct Blanks<'a> {
    by_path: BTreeMap<&'a str, BTreeSet<String>>,
}

impl<'a> Blanks<'a> {
    pub fn of(findings: &[&'a checks::Finding]) -> Self {
        let mut by_path: BTreeMap<&str, BTreeSet<String>> = BTreeMap::new();
        for finding in findings {
            for missing in &finding.needs {
                let keys = by_path.entry(&missing.at).or_default();
                keys.insert(findings::key(finding));
            }
        }
        Self { by_path }
    }

    /// How many findings wait for the fact at a path, or for the thing that it is part of.
    fn decided_by(&self, path: &str) -> usize {
        let names = |need: &str| {
            need == path
                || path
                    .strip_prefix(need)
                    .is_some_and(|rest| rest.starts_with('.'))
        };
        // What waits for a whole space or item waits for no single fact of it, but for the
        // place of an item.
        let is_place = || {
            path.split('.')
                .nth(2)
                .is_some_and(|key| PLACES.contains(&key))
        };
        let is_whole = |need: &str| need.split('.').count() <= 2;
        let counts = |need: &&str| {
            names(need) && (!is_whole(need) || need.starts_with("item.") && is_place())
        };
        let keys = (self.by_path.iter())
            .filter(|(need, _)| counts(need))
            .flat_map(|(_, keys)| keys);
        keys.collect::<BTreeSet<_>>().len()
    }
}

/// Builds the fields of one element of the document: a space, an item.
pub(crate) struct Fields<'a> {
    analysis: &'a Analysis,
    blanks: &'a Blanks<'a>,
    space: &'a Space,
    /// The element's path.
    root: String,
    /// The element as the document has it.
    written: Value,
}

impl<'a> Fields<'a> {
    pub fn of_space(analysis: &'a Analysis, blanks: &'a Blanks<'a>, space: &'a Space) -> Self {
        Self {
            analysis,
            blanks,
            space,
            root: format!("space.{}", space.id),
            written: serde_json::to_value(space).unwrap_or_default(),
        }
    }

    pub fn of_item(
        analysis: &'a Analysis,
        blanks: &'a Blanks<'a>,
        space: &'a Space,
        item: &'a Item,
    ) -> Self {
        Self {
            analysis,
            blanks,
            space,
            root: format!("item.{}", item.id),
            written: serde_json::to_value(item).unwrap_or_default(),
        }
    }

    /// What is written at a path below the element.
    pub fn text(&self, below: &str) -> Option<String> {
        let text = document::at(&self.written, below).and_then(document::text);
        text.filter(|text| text.trim() != "?")
    }

    /// Whether something is written at a path below the element.
    pub fn has(&self, below: &str) -> bool {
        document::at(&self.written, below).is_some()
    }

    /// The field at a path below the element, under a name.
    pub fn field(&self, below: &str, label: &str) -> Option<Field> {
        let at = format!("{}.{below}", self.root);
        let node = schema::node(&at).filter(|node| !node.has_parts())?;
        let choices = node.choices().or_else(|| self.names(below));
        let kind = match node.kind() {
            FieldKind::Text if choices.is_some() => FieldKind::Choice,
            kind => kind,
        };
        let text = self.text(below);
        Some(Field {
            label: label.to_owned(),
            kind,
            unit: node.bare_unit().map(str::to_owned),
            choices,
            help: node.help(),
            blocks: match text {
                Some(_) => 0,
                None => self.blanks.decided_by(&at),
            },
            text,
            at,
        })
    }

    /// Fields at paths below a thing of the element, each under its usual name.
    pub fn fields(&self, thing: &str, parts: &[&str]) -> Vec<Field> {
        let below = |part: &&str| match thing {
            "" => (*part).to_owned(),
            _ => format!("{thing}.{part}"),
        };
        (parts.iter())
            .filter_map(|part| self.field(&below(part), &label(part)))
            .collect()
    }

    /// The fields of the place that a thing has; of one that has none, those of `usual`.
    pub fn place(&self, thing: &str, usual: &str) -> Vec<Field> {
        let below = |key: &str| match thing {
            "" => key.to_owned(),
            _ => format!("{thing}.{key}"),
        };
        let kind = ["on", "at", "hung"]
            .into_iter()
            .find(|key| self.has(&below(key)));
        let parts: &[&str] = match kind.unwrap_or(usual) {
            "on" => &["on.wall", "on.from_left", "on.height", "on.to"],
            "at" => &[
                "at.from.0",
                "at.from.1",
                "at.and.0",
                "at.and.1",
                "at.height",
            ],
            "hung" => &[
                "hung.from.0",
                "hung.from.1",
                "hung.and.0",
                "hung.and.1",
                "hung.drop",
            ],
            _ => &[],
        };
        let is_seat = thing.starts_with("seat.");
        (self.fields(thing, parts).into_iter())
            .filter(|field| !(is_seat && field.at.ends_with(".at.height")))
            .collect()
    }

    /// Names of the job that may be written at a path below the element.
    fn names(&self, below: &str) -> Option<Vec<Choice>> {
        let parts: Vec<&str> = below.split('.').collect();
        let job = self.analysis.job();
        let choice = |value: &str, label: &str| Choice {
            value: value.to_owned(),
            label: label.to_owned(),
        };
        let walls = || (self.space.walls.iter()).map(|wall| choice(&wall.id, &words(&wall.id)));
        let items = |is_kind: fn(Kit<'_>) -> bool| {
            (job.item.iter())
                .filter(|item| self.analysis.kit_of(item).is_some_and(is_kind))
                .map(|item| choice(&item.id, &item_name(item)))
                .collect::<Vec<_>>()
        };
        let is_item = self.root.starts_with("item.");
        Some(match parts.as_slice() {
            [.., "on" | "turned", "wall"] | [.., "from" | "and", "0"] => walls().collect(),
            ["ceiling", "low"] | ["ceiling", "ridge", _] => walls().collect(),
            ["diagonals", _, "0" | "1"] => (self.space.walls.iter())
                .map(|wall| {
                    let value = format!("{}.left", wall.id);
                    choice(&value, &format!("Left end of {}", words(&wall.id)))
                })
                .collect(),
            ["construction", _, "along"] => walls().collect(),
            ["construction", _, "of"] | ["covering", _, "over"] => walls()
                .chain([choice("ceiling", "Ceiling"), choice("floor", "Floor")])
                .collect(),
            ["construction", _, "species"] => (checks::tables::wood::species().iter())
                .map(|species| choice(species.group, &words(species.group)))
                .collect(),
            ["finishes", ..] | ["covering", _, "finish"] => choices_of_finishes(),
            [.., "circuit"] => (job.circuit.iter())
                .map(|circuit| choice(&circuit.id, &circuit.id))
                .collect(),
            ["is"] if is_item => {
                let kind = job.item(&self.root[5..]).and_then(|item| job.kit_of(item));
                (job.kit.all())
                    .filter(|kit| kind.is_none_or(|kind| kind.kind() == kit.kind()))
                    .map(|kit| {
                        let common = kit.common();
                        choice(&common.id, common.name.as_deref().unwrap_or(&common.id))
                    })
                    .collect()
            }
            ["space"] if is_item => (job.space.iter())
                .map(|space| choice(&space.id, space.label()))
                .collect(),
            ["zone"] if is_item => (job.zone.iter())
                .map(|zone| choice(&zone.id, zone.name.as_deref().unwrap_or(&zone.id)))
                .collect(),
            ["mount"] if is_item => items(|kit| matches!(kit, Kit::Mount(_))),
            ["lights"] if is_item => items(|kit| matches!(kit, Kit::Screen(_))),
            ["under"] if is_item => items(|kit| matches!(kit, Kit::Screen(_) | Kit::Display(_))),
            ["driven_by"] if is_item => items(|kit| matches!(kit, Kit::Amplifier(_))),
            ["in"] if is_item => items(|kit| matches!(kit, Kit::Cupboard(_))),
            ["reuses"] if is_item => (self.space.fixture.iter())
                .map(|fixture| choice(&fixture.id, &words(&fixture.id)))
                .collect(),
            _ => return None,
        })
    }
}

/// Finishes by their keys, under what they are.
pub(crate) fn choices_of_finishes() -> Vec<Choice> {
    let choice = |finish: &Finish| Choice {
        value: finish.key.to_owned(),
        label: finish_words(finish).to_owned(),
    };
    finishes().iter().map(choice).collect()
}

/// What a finish is; in what its row counts is of no use to who chooses it.
pub(crate) fn finish_words(finish: &Finish) -> &str {
    match finish.counts {
        Counts::Each => finish.description.split(':').next().unwrap_or_default(),
        Counts::PerArea => finish.description,
    }
}

/// An item's name for people.
pub(crate) fn item_name(item: &Item) -> String {
    item.name.clone().unwrap_or_else(|| words(&item.id))
}

/// The usual name of a fact, by the end of its path.
pub(crate) fn label(part: &str) -> String {
    let known = match part {
        "on.wall" => "Wall",
        "on.from_left" => "From the left corner",
        "on.height" => "Height above the floor",
        "on.to" => "Measured to",
        "at.from.0" | "hung.from.0" | "from.0" => "First wall",
        "at.from.1" | "hung.from.1" | "from.1" => "Off the first wall",
        "at.and.0" | "hung.and.0" | "and.0" => "Second wall",
        "at.and.1" | "hung.and.1" | "and.1" => "Off the second wall",
        "at.height" => "Underside above the floor",
        "hung.drop" => "Below the ceiling",
        "turned.wall" => "Turned off wall",
        "turned.by" => "By, to the right from in front",
        "aim.dial" => "Dial of its drivers",
        "aim.off" => "Drivers off square",
        "size.0" => "Width",
        "size.1" => "Height",
        "size.2" => "Depth",
        "is" => "Catalogue entry",
        "in" => "Stands in",
        "kind" => "What it is",
        "swing.hinge" => "Hinges",
        "swing.into" => "Opens into",
        "swing.opens" => "Opens by",
        "into" => "Leads to",
        "eye" => "Eye height",
        "ear" => "Ear height",
        "of" => "Surface",
        "finish" => "What it is",
        "over" => "Over",
        "count" => "How many",
        "planned" => "What becomes of it",
        "first_from_left" => "First stud or joist",
        "along" => "Joists run along",
        "face" => "Width of a stud or joist",
        "cavity" => "Free depth inside",
        "board" => "Thickness of the board",
        "insulated" => "Insulated",
        "bearing" => "Carries load",
        "species" => "Wood",
        "driven_by" => "Driven by",
        "under" => "Belongs to the picture",
        "reuses" => "Takes over the plate",
        "lights" => "Lights the screen",
        "reading" => "Hottest reading",
        "underside" => "Underside above the floor",
        other => return capital(&other.replace(['.', '_'], " ")),
    };
    known.to_owned()
}
