//! Who hears which channel from where: what several checks of this area ask first.

use acoustics::direction::{Direction, Listener};
use acoustics::layout::{self, Position};
use analysis::{
    Analysis, Limit, LoudspeakerPlace, Means, Missing, SeatPlace, Source, Vector2, Vector3,
};
use model::{Item, Kit, Seat, Space, Zone};
use units::{Dimension, Metres};

use crate::{Check, Finding, Known, Subject, Uncertain};

/// How much farther out of its range a channel may be heard where nobody important sits.
pub(crate) static OTHER_SEAT_ALLOWANCE: Limit = Limit {
    name: "other_seat_allowance",
    meaning: "how far beyond a channel's range of direction it may be heard at any seat but the main one",
    dimension: Dimension::Angle,
    value: 20.0 * std::f64::consts::PI / 180.0,
    source: Source::CommonPractice,
    regional: &[],
};

/// A zone with a layout, its loudspeakers and its listeners.
pub(crate) struct Audience<'a> {
    /// The channels that are placed.
    pub channels: Vec<Channel<'a>>,
    /// The seats that are placed.
    pub seats: Vec<Ears<'a>>,
    /// What keeps a loudspeaker, a seat or all of them from being judged.
    pub unplaced: Vec<(Subject, Missing)>,
}

/// A loudspeaker and where its channel belongs.
pub(crate) struct Channel<'a> {
    pub item: &'a Item,
    pub at: Vector3,
    /// The layout's name in the job.
    pub layout: &'a str,
    pub position: Position,
}

/// A listener.
pub(crate) struct Ears<'a> {
    pub seat: &'a Seat,
    pub place: SeatPlace,
    /// What the listener looks at, in plan.
    pub faced: Vector2,
    /// The seat that the layout is meant for: the most important, the first of equals.
    pub main_seat: &'a str,
    /// The main seat's ear, best estimate, if this is another seat.
    pub main_ear: Option<[f64; 3]>,
}

/// The audiences of a space: one for each of its zones that claims a layout.
pub(crate) fn audiences<'a>(analysis: &'a Analysis, space: &'a Space) -> Vec<Audience<'a>> {
    let zones = analysis.zones();
    zones
        .filter(|zone| zone.space == space.id)
        .filter_map(|zone| Some((zone, zone.layout.as_deref()?)))
        .map(|(zone, layout)| audience(analysis, space, zone, layout, false))
        .collect()
}

/// The audience of one zone; if it is `planned`, who listens there before any channel is placed.
pub(crate) fn audience<'a>(
    analysis: &'a Analysis,
    space: &'a Space,
    zone: &'a Zone,
    layout: &'a str,
    planned: bool,
) -> Audience<'a> {
    let mut unplaced = Vec::new();
    let mut channels = Vec::new();
    for (item, _) in analysis.loudspeakers_of(zone) {
        let placed = analysis.kept_of_item("channel", item, || placed(analysis, item));
        match placed {
            Ok(Some((position, at))) => channels.push(Channel {
                item,
                at,
                layout,
                position,
            }),
            // A subwoofer that may stand anywhere is not worth a question.
            Ok(None) => {}
            Err(missing) => unplaced.push((Subject::item(item), missing)),
        }
    }
    let mut seats = Vec::new();
    if planned || !channels.is_empty() {
        match faced(analysis, space, zone, &channels) {
            Ok(faced) => seats = listeners(analysis, space, &faced, &mut unplaced),
            Err(missing) => unplaced.push((Subject::new(&zone.id, zone_label(zone)), missing)),
        }
    }
    Audience {
        channels,
        seats,
        unplaced,
    }
}

/// Where a loudspeaker's channel belongs and where it is; nothing if it may be anywhere.
fn placed(analysis: &Analysis, item: &Item) -> Known<Option<(Position, Vector3)>> {
    let zone = analysis.zone_of(item);
    let (Some((zone, layout)), Some(Kit::Loudspeaker(kit))) = (
        zone.and_then(|zone| Some((zone, zone.layout.as_deref()?))),
        analysis.kit_of(item),
    ) else {
        return Ok(None);
    };
    let position = position(zone, layout, item)?;
    if is_free(&position) {
        return Ok(None);
    }
    let LoudspeakerPlace { at, .. } = analysis.loudspeaker(item, kit)?;
    Ok(Some((position, at)))
}

fn listeners<'a>(
    analysis: &'a Analysis,
    space: &'a Space,
    faced: &Vector2,
    unplaced: &mut Vec<(Subject, Missing)>,
) -> Vec<Ears<'a>> {
    let mut seats = Vec::with_capacity(space.seat.len());
    let main_seat = main_seat(space).map_or("", |seat| &seat.id);
    for (seat, place) in analysis.seats_in(space) {
        match place {
            Ok(place) => seats.push(Ears {
                seat,
                place,
                faced: faced.clone(),
                main_seat,
                main_ear: None,
            }),
            Err(missing) => unplaced.push((Subject::seat(seat), missing)),
        }
    }
    let main = seats.iter().find(|ears| ears.seat.id == main_seat);
    if let Some(ear) = main.map(|ears| ears.place.ear.value()) {
        for ears in seats.iter_mut().filter(|ears| ears.seat.id != main_seat) {
            ears.main_ear = Some(ear);
        }
    }
    seats
}

/// The seat with the highest importance, the first of equals.
pub(crate) fn main_seat(space: &Space) -> Option<&Seat> {
    let weight = |seat: &Seat| seat.importance.unwrap_or(1);
    let most = space.seat.iter().map(weight).max()?;
    space.seat.iter().find(|seat| weight(seat) == most)
}

pub(crate) fn zone_label(zone: &Zone) -> String {
    format!("zone {}", zone.name.as_deref().unwrap_or(&zone.id))
}

pub(crate) fn position(zone: &Zone, layout: &str, item: &Item) -> Known<Position> {
    let channel = item.channel.as_deref().ok_or_else(|| {
        let what = format!("the channel that {} plays", analysis::item_label(item));
        Missing::new(what, format!("item.{}.channel", item.id), Means::Decide)
    })?;
    layout::position(layout, channel).map_err(|error| {
        let at = match error {
            layout::LayoutError::System { .. } => format!("zone.{}.layout", zone.id),
            layout::LayoutError::Channel { .. } => format!("item.{}.channel", item.id),
        };
        let what = format!(
            "a channel of the layout for {}: {error}{}",
            analysis::item_label(item),
            match error {
                layout::LayoutError::System { .. } => "",
                layout::LayoutError::Channel { .. } =>
                    "; plain names such as left, centre, left-surround and top-front-left do too",
            }
        );
        Missing::new(what, at, Means::Decide)
    })
}

fn is_free(position: &Position) -> bool {
    position.azimuth_limit.is_none()
        && position.elevation_limit.is_none()
        && position.overhead_limit.is_none()
}

/// What the listeners look at: the middle of the zone's picture; without any picture,
/// the middle between the left and the right loudspeaker.
fn faced(
    analysis: &Analysis,
    space: &Space,
    zone: &Zone,
    channels: &[Channel<'_>],
) -> Known<Vector2> {
    let named = zone.faces.as_deref().and_then(|id| analysis.item(id));
    let picture = match named {
        Some(picture) => Ok(picture),
        None => analysis.picture_faced(space),
    };
    if analysis.pictures_in(space).next().is_none() && named.is_none() {
        let front = |labels: [&str; 3]| {
            (channels.iter())
                .find(|channel| labels.contains(&channel.position.channel))
                .map(|channel| channel.at.in_plan())
        };
        let pair = front(["M+030", "L", "M+060"]).zip(front(["M-030", "R", "M-060"]));
        if let Some((left, right)) = pair {
            return Ok((&left + &right).scaled(&Uncertain::exact(0.5)));
        }
    }
    Ok(analysis.picture(picture?)?.centre.in_plan())
}

/// The unknown findings of an audience.
pub(crate) fn questions<'a>(
    check: &'a Check,
    space: &'a Space,
    audience: &'a Audience<'_>,
) -> impl Iterator<Item = Finding> + 'a {
    (audience.unplaced.iter())
        .map(|(subject, missing)| check.about(space, subject.clone(), || Err(missing.clone())))
}

/// Whether a position is above the listeners.
pub(crate) fn is_overhead(position: &Position) -> bool {
    position.overhead_limit.is_some()
        || (position.elevation).is_some_and(|angle| angle.degrees() > 20.0)
}

/// Whether a position is beside or behind the listeners at ear level.
pub(crate) fn is_surround(position: &Position) -> bool {
    !is_overhead(position) && (position.azimuth).is_some_and(|angle| angle.degrees().abs() > 61.0)
}

impl Channel<'_> {
    /// This channel at a seat.
    pub fn subject(&self, ears: &Ears<'_>) -> Subject {
        Subject::item(self.item).with(&Subject::seat(ears.seat), "at")
    }

    /// What a check finds of this channel at a seat. In a trial it rests on the direction,
    /// the position in its layout, these limits and further numbers alone.
    pub fn heard<T: Clone + 'static>(
        &self,
        check: &Check,
        (analysis, space): (&Analysis, &Space),
        ears: &Ears<'_>,
        limits: &[f64],
        further: &[&Uncertain],
        found: impl FnOnce() -> T,
    ) -> T {
        let words = [
            &space.id,
            &self.item.id,
            analysis::item_label(self.item),
            &ears.seat.id,
            self.layout,
            self.position.channel,
        ];
        let own = ears.inputs(&self.at);
        if further.is_empty() {
            return analysis.remembered_in_trials(check.id, (&words, limits, &own), found);
        }
        let inputs = [&own, further].concat();
        analysis.remembered_in_trials(check.id, (&words, limits, &inputs), found)
    }

    /// Whether it plays above the listeners.
    pub fn is_overhead(&self) -> bool {
        is_overhead(&self.position)
    }

    /// Whether it is a dipole or bipole.
    pub fn is_two_sided(&self, analysis: &Analysis) -> bool {
        matches!(analysis.kit_of(self.item), Some(Kit::Loudspeaker(kit)) if kit.is_two_sided())
    }
}

impl Ears<'_> {
    /// From straight ahead, positive to the left: atan2(f × d, f · d) in plan, with f from
    /// the head to what it faces and d from the head to the loudspeaker, rad.
    pub fn azimuth(&self, at: &Vector3) -> Uncertain {
        let ahead = &self.faced - &self.place.plan;
        let offset = &at.in_plan() - &self.place.plan;
        ahead.cross(&offset).atan2(&ahead.dot(&offset))
    }

    /// From ear height, positive up: atan2(d_z, √(d_x² + d_y²)), rad.
    pub fn elevation(&self, at: &Vector3) -> Uncertain {
        let offset = at - &self.place.ear;
        offset.z.atan2(&offset.in_plan().norm())
    }

    /// Up from straight ahead in the side view, more than a quarter turn behind, rad.
    pub fn overhead(&self, at: &Vector3) -> Uncertain {
        let offset = at - &self.place.ear;
        let ahead = (&self.faced - &self.place.plan).unit();
        offset.z.atan2(&ahead.dot(&offset.in_plan()))
    }

    /// The angle between two loudspeakers at the ear, rad.
    pub fn angle_between(&self, one: &Vector3, other: &Vector3) -> Uncertain {
        let one = one - &self.place.ear;
        let other = other - &self.place.ear;
        (one.dot(&other) / (one.norm() * other.norm())).acos()
    }

    /// As [`Ears::angle_between`] by best estimates: to find the nearest of many.
    pub fn angle_value_between(&self, one: &Vector3, other: &Vector3) -> f64 {
        let ear = self.place.ear.value();
        let from_ear = |point: &Vector3| {
            let point = point.value();
            [0, 1, 2].map(|axis| point[axis] - ear[axis])
        };
        let dot = |a: [f64; 3], b: [f64; 3]| a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
        let (one, other) = (from_ear(one), from_ear(other));
        let lengths = dot(one, one).sqrt() * dot(other, other).sqrt();
        (dot(one, other) / lengths).clamp(-1.0, 1.0).acos()
    }

    /// What the direction of a loudspeaker rests on.
    pub fn inputs<'a>(&'a self, at: &'a Vector3) -> [&'a Uncertain; 10] {
        let SeatPlace { plan, ear, .. } = &self.place;
        let faced = &self.faced;
        [
            &at.x, &at.y, &at.z, &plan.x, &plan.y, &ear.x, &ear.y, &ear.z, &faced.x, &faced.y,
        ]
    }

    /// Whether the layout is meant for this seat.
    pub fn is_main(&self) -> bool {
        self.seat.id == self.main_seat
    }

    /// How far beyond a range this seat may be: nothing for the one that layouts are meant for.
    pub fn allowance(&self, analysis: &Analysis) -> f64 {
        if self.is_main() {
            0.0
        } else {
            analysis.limit(&OTHER_SEAT_ALLOWANCE).value
        }
    }

    /// Words that tell a side seat from the one that layouts are meant for.
    pub fn remark(&self, analysis: &Analysis) -> String {
        if self.is_main() {
            return String::new();
        }
        format!(
            " Layouts are meant for the main seat, {}; here {} more is allowed.",
            self.main_seat,
            analysis.exact(self.allowance(analysis), Dimension::Angle),
        )
    }
}

/// A listener at `ear` who looks along +y, for values from outside the project.
pub(crate) fn example(ear: [f64; 3]) -> Ears<'static> {
    static NOBODY: Seat = Seat {
        id: String::new(),
        at: None,
        eye: None,
        ear: None,
        recline: None,
        pitch: None,
        row: None,
        riser: None,
        importance: None,
    };
    let [x, y, _] = ear;
    let ear = point(ear);
    Ears {
        seat: &NOBODY,
        place: SeatPlace {
            plan: ear.in_plan(),
            eye: ear.clone(),
            ear,
            pitch: Uncertain::exact(0.0),
        },
        faced: Vector2::new(x, y + 1.0),
        main_seat: "",
        main_ear: None,
    }
}

/// An exact point.
pub(crate) fn point([x, y, z]: [f64; 3]) -> Vector3 {
    Vector3::new(x, y, z)
}

/// Where a listener with the ear at `ear`, looking at `faced`, hears a loudspeaker: best
/// estimates, to search for a better place. `None` where there is no direction.
pub(crate) fn heard(ear: [f64; 3], faced: [f64; 2], at: [f64; 3]) -> Option<Direction> {
    let listener = Listener {
        ear: ear.map(Metres),
        facing: [faced[0] - ear[0], faced[1] - ear[1]],
    };
    Direction::heard(&listener, at.map(Metres)).ok()
}

/// A cinema in the test room: screen in the middle of the west wall, the head of seat
/// `sofa` 3 m before it and 1.1 m up, a zone `film` with the layout, and further items.
/// In the frame of the room (x from the north-west corner to the east, y to the north)
/// the head is at (3, −2, 1.1) m and looks along −x, so that its left is the south.
#[cfg(test)]
pub(crate) fn cinema(layout: &str, items: &str) -> String {
    format!(
        r#"
[[space.seat]]
id = "sofa"
at = {{ from = ["west", "3 m"], and = ["north", "2 m"] }}
eye = "1.1 m"
[[kit.screen]]
id = "screen-s1"
aspect = "16:9"
picture_width = "2 m"
frame = "80 mm"
[[kit.loudspeaker]]
id = "in-wall-w1"
form = "in-wall"
[[kit.loudspeaker]]
id = "in-ceiling-c1"
form = "in-ceiling"
[[item]]
id = "screen"
is = "screen-s1"
on = {{ wall = "west", from_left = "2 m", height = "1.3 m" }}
[[zone]]
id = "film"
space = "den"
layout = "{layout}"
faces = "screen"
{items}"#
    )
}

/// An in-wall loudspeaker of the test cinema.
#[cfg(test)]
pub(crate) fn in_wall(channel: &str, wall: &str, from_left: &str, height: &str) -> String {
    format!(
        r#"
[[item]]
id = "{channel}"
is = "in-wall-w1"
zone = "film"
channel = "{channel}"
on = {{ wall = "{wall}", from_left = "{from_left}", height = "{height}" }}
"#
    )
}

/// An in-ceiling loudspeaker of the test cinema.
#[cfg(test)]
pub(crate) fn in_ceiling(channel: &str, from_west: &str, from_north: &str) -> String {
    format!(
        r#"
[[item]]
id = "{channel}"
is = "in-ceiling-c1"
zone = "film"
channel = "{channel}"
hung = {{ from = ["west", "{from_west}"], and = ["north", "{from_north}"] }}
"#
    )
}
