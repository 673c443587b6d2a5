//! What the finders answer: where a projector can be, how large a picture, how high a display.

use analysis::{Analysis, Known, Missing, item_label};
use checks::Caution;
use finders::{Height, Stop};
use geometry::Point2;
use model::{Item, Kit, Space};
use schemars::JsonSchema;
use serde::Serialize;
use units::Dimension;

use crate::findings::caution_words;
use crate::scene::{Plan, length, round};
use crate::{Edit, Verdict};

/// Where the projectors of a space can be.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ProjectorPlaces {
    /// The space's id.
    pub space: String,
    /// One answer a projector.
    pub projectors: Vec<ProjectorPlace>,
}

/// Where a projector can be at one height.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ProjectorPlace {
    /// The item's id.
    pub item: String,
    /// Its name for people.
    pub label: String,
    /// Whether it stands; it hangs otherwise.
    pub stands: bool,
    /// How far its top hangs below the ceiling, or its underside stands above the floor, m.
    pub height_m: f64,
    /// The same for people.
    pub height_text: String,
    /// One sentence on where it can be.
    pub says: String,
    /// Connected parts of the region of the case's middle, the largest first.
    pub parts: Vec<FoundPart>,
    /// What stops it at the edges, by the number that an edge carries.
    pub stops: Vec<FoundStop>,
    /// Where it can be nowhere: what stops it, each alone.
    pub stopped_by: Vec<FoundStop>,
    /// Drops at which there is a place, shortest and longest, m.
    pub drops_m: Vec<[f64; 2]>,
    /// The same for people.
    pub drops_text: String,
    /// The place with the most room around it.
    pub place: Option<FoundPlace>,
    /// Where its case's middle is now.
    pub present: Option<Plan>,
    /// What must be known before a check says anything: nothing is kept off for it.
    pub needs: Vec<String>,
    /// Dangers of hanging or moving it.
    pub cautions: Vec<&'static str>,
}

/// A connected part of a region.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct FoundPart {
    /// Its area, m².
    pub area_m2: f64,
    /// Its edge and the edges of its holes; what is allowed lies on the left.
    pub rings: Vec<Vec<FoundEdge>>,
}

/// A straight stretch of a boundary.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct FoundEdge {
    /// Where it starts.
    pub from: Plan,
    /// Where it ends.
    pub to: Plan,
    /// What stops a step over it, by its place in `stops`; null where the region goes on.
    pub stop: Option<usize>,
}

/// What stops a thing.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct FoundStop {
    /// The check that refuses a step further.
    pub check: String,
    /// A few words on it.
    pub label: String,
}

/// A place to use.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct FoundPlace {
    /// The case's middle.
    pub at: Plan,
    /// To the nearest edge, m.
    pub room_m: f64,
    /// One sentence on what to do.
    pub says: String,
    /// The worst that its checks say of it there.
    pub verdict: Verdict,
    /// The sentence of the check that says so.
    pub because: String,
    /// What puts it there.
    pub edits: Vec<Edit>,
}

/// How large the pictures of a space can be.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LargestPictures {
    /// The space's id.
    pub space: String,
    /// One answer a screen or display.
    pub pictures: Vec<LargestPicture>,
}

/// How large a picture can be where its middle is.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LargestPicture {
    /// The item's id.
    pub item: String,
    /// Its name for people.
    pub label: String,
    /// One sentence on the largest size.
    pub says: String,
    /// The largest width at which nothing fails that a width can mend, m.
    pub largest_m: Option<f64>,
    /// What stops it from being larger, nearest first.
    pub stops: Vec<SizeStop>,
    /// What is too small at the largest width.
    pub too_small: Vec<FoundStop>,
    /// What fails at every width.
    pub always: Vec<FoundStop>,
    /// What orders the largest that fits with all uncertainty, and its size for people.
    pub order: Option<FoundChange>,
    /// What must be known first.
    pub needs: Vec<String>,
    /// Dangers of hanging it.
    pub cautions: Vec<&'static str>,
}

/// What stops a picture from being larger.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SizeStop {
    /// The check that refuses a larger one.
    pub check: String,
    /// What it is about.
    pub label: String,
    /// The width up to which it does not, m.
    pub width_m: f64,
    /// The same for people, with the diagonal.
    pub size_text: String,
    /// What the check says just beyond.
    pub because: String,
}

/// A change to use.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct FoundChange {
    /// One sentence on what to do.
    pub says: String,
    /// What does it.
    pub edits: Vec<Edit>,
}

/// Where the displays of a space can hang.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct DisplayPlaces {
    /// The space's id.
    pub space: String,
    /// One answer a display.
    pub displays: Vec<DisplayPlace>,
}

/// How high a display can hang.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct DisplayPlace {
    /// The item's id.
    pub item: String,
    /// Its name for people.
    pub label: String,
    /// One sentence on where it can hang.
    pub says: String,
    /// Heights of its middle at which nothing fails that a height can mend.
    pub stretches: Vec<HeightStretch>,
    /// What fails at every height.
    pub always: Vec<FoundStop>,
    /// The best height and tilt.
    pub best: Option<FoundChange>,
    /// What must be known first.
    pub needs: Vec<String>,
    /// Dangers of hanging it.
    pub cautions: Vec<&'static str>,
}

/// Heights at which nothing fails.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct HeightStretch {
    /// The lowest, m.
    pub low_m: f64,
    /// The highest, m.
    pub high_m: f64,
    /// Both for people.
    pub text: String,
    /// What stops it below; null at the end of what was tried.
    pub below: Option<FoundStop>,
    /// What stops it above.
    pub above: Option<FoundStop>,
}

/// Where the projectors of a space can hang or stand: at a drop, or as they do; none where
/// the job has no such space.
pub fn projector_places(
    analysis: &Analysis,
    space: &str,
    height: Option<Height>,
) -> Option<ProjectorPlaces> {
    let space = analysis.space(space)?;
    let projectors = of_kind(analysis, space, |kit| matches!(kit, Kit::Projector(_)));
    Some(ProjectorPlaces {
        space: space.id.clone(),
        projectors: projectors
            .into_iter()
            .map(|item| projector_place(analysis, space, item, height))
            .collect(),
    })
}

/// How large the pictures of a space can be; none where the job has no such space.
pub fn largest_pictures(analysis: &Analysis, space: &str) -> Option<LargestPictures> {
    let space = analysis.space(space)?;
    let is_picture = |kit: Kit<'_>| matches!(kit, Kit::Screen(_) | Kit::Display(_));
    Some(LargestPictures {
        space: space.id.clone(),
        pictures: of_kind(analysis, space, is_picture)
            .into_iter()
            .map(|item| largest_picture(analysis, item))
            .collect(),
    })
}

/// Where the displays of a space can hang; none where the job has no such space.
pub fn display_places(analysis: &Analysis, space: &str) -> Option<DisplayPlaces> {
    let space = analysis.space(space)?;
    let displays = of_kind(analysis, space, |kit| matches!(kit, Kit::Display(_)));
    Some(DisplayPlaces {
        space: space.id.clone(),
        displays: displays
            .into_iter()
            .map(|item| display_place(analysis, item))
            .collect(),
    })
}

fn of_kind<'a>(
    analysis: &'a Analysis,
    space: &'a Space,
    is_asked: impl Fn(Kit<'_>) -> bool,
) -> Vec<&'a Item> {
    (analysis.items_in(space))
        .filter(|item| analysis.kit_of(item).is_some_and(&is_asked))
        .collect()
}

pub(crate) fn stop(stop: &Stop) -> FoundStop {
    FoundStop {
        check: stop.check.to_owned(),
        label: stop.label.clone(),
    }
}

pub(crate) fn rounded<const N: usize>(numbers: [f64; N]) -> [f64; N] {
    numbers.map(round)
}

pub(crate) fn plan(point: Point2) -> Plan {
    rounded([point.x, point.y])
}

pub(crate) fn needed(missing: &Missing) -> String {
    missing.to_string()
}

fn projector_place(
    analysis: &Analysis,
    space: &Space,
    item: &Item,
    height: Option<Height>,
) -> ProjectorPlace {
    let found = match finders::projector_place(analysis, item, height) {
        Ok(found) => found,
        Err(missing) => return unknown_place(item, &missing),
    };
    let mut stops: Vec<FoundStop> = Vec::new();
    let mut number = |found: &Stop| {
        let found = stop(found);
        (stops.iter().position(|known| *known == found)).unwrap_or_else(|| {
            stops.push(found);
            stops.len() - 1
        })
    };
    let mut edge = |edge: &finders::Edge| FoundEdge {
        from: plan(edge.from),
        to: plan(edge.to),
        stop: edge.stop.as_ref().map(&mut number),
    };
    let parts = (found.region.parts.iter())
        .map(|part| FoundPart {
            area_m2: round(part.area_m2),
            rings: (part.rings.iter())
                .map(|ring| ring.iter().map(&mut edge).collect())
                .collect(),
        })
        .collect();
    let (stands, height_m) = match found.height {
        Height::Drop(drop_m) => (false, drop_m),
        Height::Above(above_m) => (true, above_m),
    };
    let height_text = length(analysis, height_m);
    let way = match stands {
        true => format!("stand {height_text} above the floor"),
        false => format!("hang {height_text} below the ceiling"),
    };
    let stopped_by: Vec<FoundStop> = found.stopped_by.iter().map(stop).collect();
    let says = if found.region.parts.is_empty() {
        let labels = |stops: &[Stop]| {
            let labels: Vec<&str> = stops.iter().map(|stop| stop.label.as_str()).collect();
            labels.join(", ")
        };
        let by = match (&*found.stopped_by, &*found.stopped_together) {
            ([], []) => "several things together stop it".to_owned(),
            ([], together) => format!("it could if none of these were: {}", labels(together)),
            (each, _) => format!("it could if one of these were not: {}", labels(each)),
        };
        let by = match found.drops_m.is_empty() && !stands {
            true => format!("{by}; there is no place at another drop either"),
            false => by,
        };
        format!(
            "{} can {way} nowhere in {}; {by}.",
            found.label,
            space.label()
        )
    } else {
        let area = analysis.exact(found.region.area_m2(), Dimension::Area);
        format!(
            "{} can {way} with its middle over {area} of {}.",
            found.label,
            space.label()
        )
    };
    let drops: Vec<String> = (found.drops_m.iter())
        .map(|[short, long]| {
            format!(
                "{} to {}",
                length(analysis, *short),
                length(analysis, *long)
            )
        })
        .collect();
    ProjectorPlace {
        item: found.item.clone(),
        label: found.label.clone(),
        stands,
        height_m: round(height_m),
        height_text,
        says,
        parts,
        stopped_by,
        drops_m: found.drops_m.iter().map(|ends| rounded(*ends)).collect(),
        drops_text: drops.join(", "),
        place: found.place.as_ref().map(|place| FoundPlace {
            at: plan(place.at),
            room_m: round(place.room_m),
            says: place_says(analysis, &found.label, place),
            verdict: place.verdict.into(),
            because: place.because.clone(),
            edits: place.edits.iter().map(Edit::from).collect(),
        }),
        present: found.present.map(plan),
        needs: found.needs.iter().map(needed).collect(),
        stops,
        cautions: projector_cautions(stands),
    }
}

/// What stands is not hung from a ladder.
fn projector_cautions(stands: bool) -> Vec<&'static str> {
    let hung = [Caution::Ladder, Caution::Lifting, Caution::Drilling];
    let up = hung.into_iter().filter(|_| !stands);
    let all: Vec<Caution> = up.chain([Caution::BrightBeam]).collect();
    caution_words(&all)
}

/// Of a screen or display on a wall.
fn picture_cautions() -> Vec<&'static str> {
    caution_words(&[Caution::Lifting, Caution::Drilling])
}

fn place_says(analysis: &Analysis, label: &str, place: &finders::Place) -> String {
    let table = place.edits.iter().find_map(|edit| edit.set.as_ref());
    let from = |key: &str| {
        let pair = table?.get(key)?;
        Some(format!(
            "{} from {}",
            pair.get(1)?.as_str()?,
            pair.get(0)?.as_str()?
        ))
    };
    let walls: Vec<String> = ["from", "and"].into_iter().filter_map(from).collect();
    format!(
        "Most room around {label} is {}: {} to the nearest edge.",
        walls.join(" and "),
        length(analysis, place.room_m),
    )
}

fn unknown_place(item: &Item, missing: &Missing) -> ProjectorPlace {
    ProjectorPlace {
        item: item.id.clone(),
        label: item_label(item).to_owned(),
        stands: item.at.is_some(),
        height_m: 0.0,
        height_text: String::new(),
        says: format!(
            "Where {} can be is not known: needs {missing}.",
            item_label(item)
        ),
        parts: Vec::new(),
        stops: Vec::new(),
        stopped_by: Vec::new(),
        drops_m: Vec::new(),
        drops_text: String::new(),
        place: None,
        present: None,
        needs: vec![needed(missing)],
        cautions: projector_cautions(item.at.is_some()),
    }
}

fn largest_picture(analysis: &Analysis, item: &Item) -> LargestPicture {
    let nothing = |says: String, needs: Vec<String>| LargestPicture {
        item: item.id.clone(),
        label: item_label(item).to_owned(),
        says,
        largest_m: None,
        stops: Vec::new(),
        too_small: Vec::new(),
        always: Vec::new(),
        order: None,
        needs,
        cautions: picture_cautions(),
    };
    let found = match finders::largest_picture(analysis, item) {
        Ok(found) => found,
        Err(missing) => {
            let says = format!("The size of {} is open: needs {missing}.", item_label(item));
            return nothing(says, vec![needed(&missing)]);
        }
    };
    LargestPicture {
        largest_m: found.largest_m.map(round),
        stops: (found.stops.iter())
            .map(|stop| SizeStop {
                check: stop.stop.check.to_owned(),
                label: stop.stop.label.clone(),
                width_m: round(stop.width_m),
                size_text: found.size_text(analysis, stop.width_m),
                because: stop.because.clone(),
            })
            .collect(),
        too_small: found.too_small.iter().map(stop).collect(),
        always: found.always.iter().map(stop).collect(),
        order: change(
            found.order_says(analysis),
            found.order.as_ref().map(|order| &order.edits),
        ),
        ..nothing(found.says(analysis), Vec::new())
    }
}

fn change(says: Option<String>, edits: Option<&Vec<model::Edit>>) -> Option<FoundChange> {
    Some(FoundChange {
        says: says?,
        edits: edits?.iter().map(Edit::from).collect(),
    })
}

fn display_place(analysis: &Analysis, item: &Item) -> DisplayPlace {
    let nothing = |says: String, needs: Vec<String>| DisplayPlace {
        item: item.id.clone(),
        label: item_label(item).to_owned(),
        says,
        stretches: Vec::new(),
        always: Vec::new(),
        best: None,
        needs,
        cautions: picture_cautions(),
    };
    let found: Known<finders::DisplayPlace> = finders::display_place(analysis, item);
    let found = match found {
        Ok(found) => found,
        Err(missing) => {
            let says = format!(
                "The height of {} is open: needs {missing}.",
                item_label(item)
            );
            return nothing(says, vec![needed(&missing)]);
        }
    };
    let stretches: Vec<HeightStretch> = (found.stretches.iter())
        .map(|stretch| HeightStretch {
            low_m: round(stretch.low_m),
            high_m: round(stretch.high_m),
            text: stretch.text(analysis),
            below: stretch.below.as_ref().map(stop),
            above: stretch.above.as_ref().map(stop),
        })
        .collect();
    DisplayPlace {
        stretches,
        always: found.always.iter().map(stop).collect(),
        best: change(
            found.best_says(analysis),
            found.best.as_ref().map(|best| &best.edits),
        ),
        ..nothing(found.says(analysis), Vec::new())
    }
}
