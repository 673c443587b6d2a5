//! How a job's subs come to stand and be set as an arrangement says.

use analysis::Analysis;
use bass::{PlaceSort, Placed, Polarity, planned_subs};
use model::{Item, Space};
use schemars::JsonSchema;
use serde::Serialize;
use serde_json::{Map, Value, json};

use crate::{Edit, Move, MoveTo};

/// A change of the job that puts subs where an arrangement has them, set as it says.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BassPut {
    /// Facts set or taken away, made first.
    pub edits: Vec<Edit>,
    /// Subs moved.
    pub moves: Vec<Move>,
    /// What is done, for the history.
    pub says: String,
}

/// None where the job has no sub to go by or more than the arrangement, so that some would have
/// to go, or where one is to lie in a cabinet; its own cables and circuits are a person's choice.
pub(crate) fn put(analysis: &Analysis, space: &Space, subs: &[Placed]) -> Option<BassPut> {
    let planned = planned_subs(analysis, space);
    let first = planned.first()?.item;
    let in_cabinet = |sub: &Placed| sub.sort == Some(PlaceSort::Cabinet);
    if planned.len() > subs.len() || subs.iter().any(in_cabinet) {
        return None;
    }
    let mut left: Vec<&Placed> = subs.iter().collect();
    let (mut edits, mut moves, mut names) = (Vec::new(), Vec::new(), Vec::new());
    for sub in &planned {
        // Each goes to the nearest place that is left; one without a place takes the next.
        let far = |placed: &&Placed| {
            sub.at
                .map_or(0.0, |at| (at[0] - placed.at[0]).hypot(at[1] - placed.at[1]))
        };
        let nearest = (0..left.len()).min_by(|&a, &b| far(&left[a]).total_cmp(&far(&left[b])))?;
        let place = left.remove(nearest);
        match setting(place) {
            Some(set) => edits.push(edit(sub.item, "bass", Some(set))),
            None if sub.item.bass.is_some() => edits.push(edit(sub.item, "bass", None)),
            None => {}
        }
        moves.push(moved(space, &sub.item.id, place));
        names.push(sub.label.clone());
    }
    for place in left {
        let id = free_id(analysis, &first.id, &edits);
        let mut item = Map::new();
        item.insert("is".into(), json!(first.is));
        item.insert("space".into(), json!(space.id));
        for (fact, value) in [("zone", &first.zone), ("channel", &first.channel)] {
            if let Some(value) = value {
                item.insert(fact.into(), json!(value));
            }
        }
        if let Some(set) = setting(place) {
            item.insert("bass".into(), set);
        }
        edits.push(Edit {
            at: format!("item.{id}"),
            set: Some(Value::Object(item)),
        });
        moves.push(moved(space, &id, place));
        names.push(id.replace('-', " "));
    }
    Some(BassPut {
        edits,
        moves,
        says: format!("{} put where the bass is most even", names.join(", ")),
    })
}

fn edit(item: &Item, fact: &str, set: Option<Value>) -> Edit {
    Edit {
        at: format!("item.{}.{fact}", item.id),
        set,
    }
}

fn moved(space: &Space, item: &str, place: &Placed) -> Move {
    Move {
        of: format!("item:{item}"),
        space: Some(space.id.clone()),
        to: match &place.wall {
            Some((wall, along_m)) if place.sort == Some(PlaceSort::InWall) => MoveTo::Wall {
                wall: wall.clone(),
                along_m: *along_m,
                height_m: place.at[2],
            },
            _ => MoveTo::Plan {
                x: place.at[0],
                y: place.at[1],
                height_m: None,
            },
        },
    }
}

/// As a job writes it; none where nothing is set.
fn setting(placed: &Placed) -> Option<Value> {
    let set = placed.setting;
    let mut table = Map::new();
    if set.gain.0 != 0.0 {
        table.insert("gain".into(), json!(set.gain.0));
    }
    if set.delay.0 != 0.0 {
        table.insert(
            "delay".into(),
            json!(format!("{:.1} ms", set.delay.0 * 1000.0)),
        );
    }
    if set.polarity == Polarity::Inverted {
        table.insert("inverted".into(), json!(true));
    }
    (!table.is_empty()).then_some(Value::Object(table))
}

/// The first sub's id with the next number that nothing has.
fn free_id(analysis: &Analysis, like: &str, edits: &[Edit]) -> String {
    let taken = |id: &str| {
        let path = format!("item.{id}");
        analysis.job().item.iter().any(|item| item.id == id) || edits.iter().any(|e| e.at == path)
    };
    let numbered = (2..).map(|number| format!("{like}-{number}"));
    let free = numbered.into_iter().find(|id| !taken(id));
    free.expect("numbers do not end")
}
