//! Applies edits to a job in memory, reading only the touched part again.

use std::sync::Arc;

use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::{Map, Value};

use crate::edit::{Edit, EditError};
use crate::read::{Conformer, LimitName, Tree, can_be_id};
use crate::{
    Activity, AmplifierKit, Cable, CableKit, Circuit, Construction, Covering, CupboardKit,
    DeviceKit, DisplayKit, Fixture, Item, Job, LoudspeakerKit, Measurements, MountKit, Opening,
    Pathway, PlateKit, ProjectorKit, ScreenKit, Seat, Signal, Soffit, Space, Spool, Zone, validate,
};

impl Job {
    /// A copy with the edits made. Facts that an edit does not touch keep their
    /// measurement numbers, so that findings of both jobs can be compared.
    pub fn edited(&self, edits: &[Edit]) -> Result<Self, EditError> {
        let mut job = self.clone();
        for edit in edits {
            job.make(edit)?;
        }
        Ok(job)
    }

    /// As [`Job::edited`], and held to what [`crate::read`] holds a whole document to. None where
    /// that would refuse it, or where only reading it tells.
    pub fn edited_soundly(&self, edits: &[Edit], limits: &[LimitName]) -> Option<Self> {
        let job = self.edited(edits).ok()?;
        validate::problems(&job, limits).is_empty().then_some(job)
    }

    fn make(&mut self, edit: &Edit) -> Result<(), EditError> {
        let segments = edit.segments()?;
        let missing = |segment: &str| EditError::NoSuchPlace {
            path: edit.at.clone(),
            segment: segment.to_owned(),
        };
        let numbers = &mut self.measurements;
        match segments.as_slice() {
            ["space", id, list, thing, rest @ ..]
                if edit.set.is_some() && is_list_of_elements(list) && *rest != ["id"] =>
            {
                let space = (self.space.iter_mut()).find(|space| space.id == *id);
                let space = Arc::make_mut(space.ok_or_else(|| missing(id))?);
                let path = format!("space.{id}.{list}");
                in_list_of_space(space, list, thing, rest, edit, &path, numbers)
            }
            ["space", id, rest @ ..] => {
                in_list(&mut self.space, "Space", "space", id, rest, edit, numbers)
            }
            ["item", id, rest @ ..] => {
                in_list(&mut self.item, "Item", "item", id, rest, edit, numbers)
            }
            ["cable", id, rest @ ..] => {
                in_list(&mut self.cable, "Cable", "cable", id, rest, edit, numbers)
            }
            ["zone", id, rest @ ..] => in_list(
                Arc::make_mut(&mut self.zone),
                "Zone",
                "zone",
                id,
                rest,
                edit,
                numbers,
            ),
            ["circuit", id, rest @ ..] => in_list(
                Arc::make_mut(&mut self.circuit),
                "Circuit",
                "circuit",
                id,
                rest,
                edit,
                numbers,
            ),
            ["spool", id, rest @ ..] => in_list(
                Arc::make_mut(&mut self.spool),
                "Spool",
                "spool",
                id,
                rest,
                edit,
                numbers,
            ),
            ["pathway", id, rest @ ..] => in_list(
                Arc::make_mut(&mut self.pathway),
                "Pathway",
                "pathway",
                id,
                rest,
                edit,
                numbers,
            ),
            ["signal", id, rest @ ..] => in_list(
                Arc::make_mut(&mut self.signal),
                "Signal",
                "signal",
                id,
                rest,
                edit,
                numbers,
            ),
            ["activity", id, rest @ ..] => in_list(
                Arc::make_mut(&mut self.activity),
                "Activity",
                "activity",
                id,
                rest,
                edit,
                numbers,
            ),
            ["kit", kind, id, rest @ ..] => {
                let kit = Arc::make_mut(&mut self.kit);
                let path = format!("kit.{kind}");
                match *kind {
                    "screen" => {
                        in_list(&mut kit.screen, "ScreenKit", &path, id, rest, edit, numbers)
                    }
                    "projector" => in_list(
                        &mut kit.projector,
                        "ProjectorKit",
                        &path,
                        id,
                        rest,
                        edit,
                        numbers,
                    ),
                    "display" => in_list(
                        &mut kit.display,
                        "DisplayKit",
                        &path,
                        id,
                        rest,
                        edit,
                        numbers,
                    ),
                    "mount" => in_list(&mut kit.mount, "MountKit", &path, id, rest, edit, numbers),
                    "loudspeaker" => in_list(
                        &mut kit.loudspeaker,
                        "LoudspeakerKit",
                        &path,
                        id,
                        rest,
                        edit,
                        numbers,
                    ),
                    "amplifier" => in_list(
                        &mut kit.amplifier,
                        "AmplifierKit",
                        &path,
                        id,
                        rest,
                        edit,
                        numbers,
                    ),
                    "device" => {
                        in_list(&mut kit.device, "DeviceKit", &path, id, rest, edit, numbers)
                    }
                    "cupboard" => in_list(
                        &mut kit.cupboard,
                        "CupboardKit",
                        &path,
                        id,
                        rest,
                        edit,
                        numbers,
                    ),
                    "cable" => in_list(&mut kit.cable, "CableKit", &path, id, rest, edit, numbers),
                    "plate" => in_list(&mut kit.plate, "PlateKit", &path, id, rest, edit, numbers),
                    _ => Err(missing(kind)),
                }
            }
            ["job", rest @ ..] => in_place(&mut self.job, "Header", "job", rest, edit, numbers),
            ["survey", rest @ ..] => {
                in_place(&mut self.survey, "Survey", "survey", rest, edit, numbers)
            }
            ["rates", rest @ ..] => {
                in_place(&mut self.rates, "Rates", "rates", rest, edit, numbers)
            }
            ["rules", rest @ ..] => {
                in_place(&mut self.rules, "Rules", "rules", rest, edit, numbers)
            }
            ["site", rest @ ..] => {
                let mut site = self.site.clone().unwrap_or_default();
                in_place(&mut site, "Site", "site", rest, edit, numbers)?;
                self.site = Some(site);
                Ok(())
            }
            _ => Err(missing(segments[0])),
        }
    }
}

/// An element of a list of the job.
trait Element: Serialize + DeserializeOwned {
    fn id(&self) -> &str;
}

impl<T: Element> Element for Arc<T>
where
    Self: Serialize + DeserializeOwned,
{
    fn id(&self) -> &str {
        self.as_ref().id()
    }
}

/// Where each kind of element keeps its id.
macro_rules! elements {
    ($($type:ident: $($field:ident).+;)+) => {
        $(impl Element for $type {
            fn id(&self) -> &str {
                &self.$($field).+
            }
        })+
    };
}

elements! {
    Space: id;
    Item: id;
    Cable: id;
    Zone: id;
    Circuit: id;
    Pathway: id;
    Spool: id;
    Signal: id;
    Activity: id;
    ScreenKit: common.id;
    ProjectorKit: common.id;
    DisplayKit: common.id;
    MountKit: common.id;
    LoudspeakerKit: common.id;
    AmplifierKit: common.id;
    DeviceKit: common.id;
    CupboardKit: common.id;
    CableKit: common.id;
    PlateKit: common.id;
    Opening: id;
    Fixture: id;
    Soffit: id;
    Seat: id;
    Covering: id;
}

/// Named by its place in the list alone.
impl Element for Construction {
    fn id(&self) -> &str {
        ""
    }
}

fn in_list<T: Element>(
    list: &mut Vec<T>,
    definition: &str,
    path: &str,
    id: &str,
    rest: &[&str],
    edit: &Edit,
    numbers: &mut Measurements,
) -> Result<(), EditError> {
    let missing = || EditError::NoSuchPlace {
        path: edit.at.clone(),
        segment: id.to_owned(),
    };
    let place = list.iter().position(|element| element.id() == id);
    match (place, rest, &edit.set) {
        (Some(place), [], None) => {
            list.remove(place);
            Ok(())
        }
        (None, [], Some(value)) => {
            list.push(read_part(
                value,
                definition,
                &format!("{path}.{id}"),
                numbers,
            )?);
            Ok(())
        }
        (Some(place), [], Some(value)) => {
            list[place] = read_part(value, definition, &format!("{path}.{id}"), numbers)?;
            Ok(())
        }
        (Some(place), rest, _) => {
            let mut value = serde_json::to_value(&list[place]).expect("every fact can be written");
            change(&mut value, rest, edit)?;
            list[place] = read_part(&value, definition, &format!("{path}.{id}"), numbers)?;
            Ok(())
        }
        (None, ..) => Err(missing()),
    }
}

/// Sets a fact of a thing that a space lists, or adds such a thing: what else is in the space
/// is not read again.
fn in_list_of_space(
    space: &mut Space,
    list: &str,
    thing: &str,
    rest: &[&str],
    edit: &Edit,
    path: &str,
    numbers: &mut Measurements,
) -> Result<(), EditError> {
    match list {
        "opening" => in_part(
            &mut space.opening,
            "Opening",
            thing,
            rest,
            edit,
            path,
            numbers,
        ),
        "fixture" => in_part(
            &mut space.fixture,
            "Fixture",
            thing,
            rest,
            edit,
            path,
            numbers,
        ),
        "soffit" => in_part(
            &mut space.soffit,
            "Soffit",
            thing,
            rest,
            edit,
            path,
            numbers,
        ),
        "seat" => in_part(&mut space.seat, "Seat", thing, rest, edit, path, numbers),
        "covering" => in_part(
            &mut space.covering,
            "Covering",
            thing,
            rest,
            edit,
            path,
            numbers,
        ),
        _ => {
            let construction = &mut space.construction;
            in_part(
                construction,
                "Construction",
                thing,
                rest,
                edit,
                path,
                numbers,
            )
        }
    }
}

fn in_part<T: Element>(
    list: &mut Vec<T>,
    definition: &str,
    thing: &str,
    rest: &[&str],
    edit: &Edit,
    path: &str,
    numbers: &mut Measurements,
) -> Result<(), EditError> {
    let place = list.iter().enumerate().position(|(index, part)| {
        (part.id() == thing && !thing.is_empty()) || index.to_string() == thing
    });
    // A list of the part alone, in which it is named by its place.
    let (mut part, at) = match place {
        Some(place) => {
            let part = serde_json::to_value(&list[place]).expect("every fact can be written");
            (Value::Array(vec![part]), "0")
        }
        None => (Value::Array(Vec::new()), thing),
    };
    let segments: Vec<&str> = std::iter::once(at).chain(rest.iter().copied()).collect();
    change(&mut part, &segments, edit)?;
    let value = &part[0];
    let segment = match value["id"].as_str() {
        Some(id) if can_be_id(id) => id.to_owned(),
        _ => place.unwrap_or(list.len()).to_string(),
    };
    let part = read_part(value, definition, &format!("{path}.{segment}"), numbers)?;
    match place {
        Some(place) => list[place] = part,
        None => list.push(part),
    }
    Ok(())
}

fn in_place<T: Serialize + DeserializeOwned>(
    part: &mut T,
    definition: &str,
    path: &str,
    rest: &[&str],
    edit: &Edit,
    numbers: &mut Measurements,
) -> Result<(), EditError> {
    let mut value = serde_json::to_value(&*part).expect("every fact can be written");
    change(&mut value, rest, edit)?;
    *part = read_part(&value, definition, path, numbers)?;
    Ok(())
}

/// Sets or removes the fact under `segments`, making tables on the way.
fn change(value: &mut Value, segments: &[&str], edit: &Edit) -> Result<(), EditError> {
    let missing = |segment: &str| EditError::NoSuchPlace {
        path: edit.at.clone(),
        segment: segment.to_owned(),
    };
    let Some((segment, rest)) = segments.split_first() else {
        *value = edit.set.clone().ok_or_else(|| missing(&edit.at))?;
        return Ok(());
    };
    match value {
        Value::Array(list) => {
            let place = list.iter().enumerate().position(|(index, part)| {
                part.get("id").and_then(Value::as_str) == Some(segment)
                    || *segment == index.to_string()
            });
            match (place, rest.is_empty(), &edit.set) {
                (Some(place), true, None) => {
                    list.remove(place);
                    Ok(())
                }
                (Some(place), ..) => change(&mut list[place], rest, edit),
                (None, true, Some(value)) => {
                    list.push(value.clone());
                    Ok(())
                }
                (None, ..) => Err(missing(segment)),
            }
        }
        Value::Object(table) if rest.is_empty() && edit.set.is_none() => table
            .remove(*segment)
            .map(drop)
            .ok_or_else(|| missing(segment)),
        Value::Object(table) => {
            let absent = if is_list_of_elements(segment) {
                Value::Array(Vec::new())
            } else {
                Value::Object(Map::new())
            };
            change(
                table.entry((*segment).to_owned()).or_insert(absent),
                rest,
                edit,
            )
        }
        _ => Err(missing(segment)),
    }
}

/// The keys of a space under which named things are listed.
pub(super) fn is_list_of_elements(key: &str) -> bool {
    matches!(
        key,
        "opening" | "fixture" | "soffit" | "construction" | "seat" | "covering"
    )
}

/// Reads a part again; unchanged measurements keep their numbers.
fn read_part<T: DeserializeOwned>(
    value: &Value,
    definition: &str,
    path: &str,
    numbers: &mut Measurements,
) -> Result<T, EditError> {
    let first =
        u32::try_from(numbers.len()).expect("fewer than four thousand million measurements");
    let tree = Tree::from_json(value);
    let (value, problems, fresh) = {
        let same = |path: &str, text: &str| {
            let (number, latest) = numbers.latest(path)?;
            (latest.text == text).then(|| (number, latest.reading.clone()))
        };
        let mut conformer = Conformer::again(first, same);
        let value = conformer.conform_part(&tree, definition, path);
        let (problems, fresh) = conformer.finish();
        (value, problems, fresh)
    };
    if let Some(problem) = problems.first() {
        return Err(EditError::Refused(problem.to_string()));
    }
    numbers.extend(fresh);
    T::deserialize(value).map_err(|error| EditError::Refused(error.to_string()))
}
