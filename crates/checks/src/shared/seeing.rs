//! How those who sit in a space see the picture that they face.

use analysis::{
    Analysis, Known, Means, Missing, Picture, SeatPlace, Uncertain, Vector3, item_label,
};
use model::{Item, Kit, LoudspeakerForm, LoudspeakerKit, Seat, Space, SpaceKind};
use optics::{Point, Pose};
use units::{Metres, Radians};

use crate::{Check, Finding, Outcome, Subject};

/// The picture that the seats of a space face, wherever it can be watched.
pub(crate) struct Watched<'a> {
    /// The screen or display.
    pub item: &'a Item,
    /// As it hangs; a display on an arm: parked.
    pub parked: Picture,
    /// With its arm pulled fully down, when an arm moves it.
    pub lowered: Option<Picture>,
    /// Tilt downwards, rad.
    pub tilt: Uncertain,
}

impl<'a> Watched<'a> {
    /// Nothing when nobody sits there or there is no picture to look at.
    pub fn of(analysis: &'a Analysis, space: &'a Space) -> Option<Known<Self>> {
        if space.seat.is_empty() {
            return None;
        }
        let item = match analysis.picture_faced(space) {
            Ok(item) => item,
            Err(_) if analysis.pictures_in(space).next().is_none() => return None,
            Err(missing) => return Some(Err(missing)),
        };
        Some(Self::through(analysis, space, item))
    }

    fn through(analysis: &'a Analysis, space: &Space, item: &'a Item) -> Known<Self> {
        if analysis.space_id_of(item)? != space.id {
            let what = format!(
                "a picture in {}: {} hangs in another space",
                space.label(),
                item_label(item)
            );
            let at = format!("item.{}.space", item.id);
            return Err(Missing::new(what, at, Means::OutsideModel));
        }
        Ok(Self {
            item,
            parked: analysis.picture(item)?,
            lowered: analysis.picture_pulled_down(item).transpose()?,
            tilt: analysis.number(item.tilt.as_ref()).unwrap_or_default(),
        })
    }

    /// Where it is watched: an arm that can be pulled down is.
    pub fn in_use(&self) -> &Picture {
        self.lowered.as_ref().unwrap_or(&self.parked)
    }

    /// Words for where an arm holds it when it is watched, to stand behind its name.
    pub fn position(&self) -> &'static str {
        match (&self.lowered, self.item.turn.is_some()) {
            (None, _) => "",
            (Some(_), true) => ", swung out,",
            (Some(_), false) => ", pulled down,",
        }
    }

    /// An angle of the picture in use, as an eye sees it.
    pub fn angle(
        &self,
        picture: &Picture,
        eye: &Vector3,
        angle: impl Fn(optics::Picture, Point) -> Option<Radians>,
    ) -> Option<Uncertain> {
        let facing = picture.face.normal.y.atan2(&picture.face.normal.x);
        let (width, height) = (picture.width(), picture.height());
        let centre = &picture.centre;
        let seen = uncertainty::through(
            [
                &width, &height, &centre.x, &centre.y, &centre.z, &facing, &self.tilt, &eye.x,
                &eye.y, &eye.z,
            ],
            |[width, height, x, y, z, facing, tilt, eye_x, eye_y, eye_z]| {
                let sides = optics::size::Sides {
                    width: Metres(width),
                    height: Metres(height),
                };
                let pose = Pose {
                    centre_m: [x, y, z],
                    facing: Radians(facing),
                    tilt: Radians(tilt),
                };
                optics::PictureSize::from_sides(sides)
                    .and_then(|size| optics::Picture::new(size, pose))
                    .and_then(|picture| angle(picture, [eye_x, eye_y, eye_z]))
                    .map_or(f64::NAN, |angle| angle.0)
            },
        );
        seen.value().is_finite().then_some(seen)
    }
}

/// One finding a seat about the picture that it faces; one for the space when that
/// picture is not known.
pub(crate) fn each_seat(
    check: &Check,
    analysis: &Analysis,
    space: &Space,
    decide: impl Fn(&Watched, &Seat, &SeatPlace) -> Known<Outcome>,
) -> Vec<Finding> {
    match Watched::of(analysis, space) {
        None => Vec::new(),
        Some(Err(missing)) => vec![check.about(space, Subject::space(space), || Err(missing))],
        Some(Ok(watched)) => analysis
            .seats_in(space)
            .map(|(seat, place)| {
                check.about(space, Subject::seat(seat), || {
                    decide(&watched, seat, &place?)
                })
            })
            .collect(),
    }
}

/// What is missing for a seat that has the picture beside or behind it.
pub(crate) fn not_before(space: &Space, seat: &Seat) -> Missing {
    Missing::new(
        format!("a place before the picture for seat {}", seat.id),
        format!("space.{}.seat.{}.at", space.id, seat.id),
        Means::Decide,
    )
}

/// An eye moved level, along a direction in plan.
pub(crate) fn moved(eye: &Vector3, direction: [f64; 2], by_m: f64) -> Vector3 {
    Vector3 {
        x: &eye.x + direction[0] * by_m,
        y: &eye.y + direction[1] * by_m,
        z: eye.z.clone(),
    }
}

/// How far a seat can move along a direction before its head is this near to a wall, m.
pub(crate) fn room_behind(
    analysis: &Analysis,
    space: &Space,
    place: &SeatPlace,
    direction: [f64; 2],
) -> f64 {
    /// A head and the back of a chair: common practice, no source.
    const BEHIND_HEAD_M: f64 = 0.3;
    const STEP_M: f64 = 0.1;
    let Ok(outline) = analysis.shape(space).outline() else {
        return 0.0;
    };
    let [x, y] = place.plan.value();
    let inside = |by: f64| {
        let by = by + BEHIND_HEAD_M;
        let point = geometry::Point2::new(x + direction[0] * by, y + direction[1] * by);
        geometry::plan::contains(&outline, point)
    };
    (1..400)
        .map(|count| f64::from(count) * STEP_M)
        .take_while(|by| inside(*by))
        .last()
        .unwrap_or(0.0)
}

/// How far a picture can be raised before its upper edge meets the ceiling above its
/// middle, m; outdoors what a ladder reaches.
pub(crate) fn headroom(analysis: &Analysis, space: &Space, picture: &Picture) -> f64 {
    /// Common practice, no source.
    const OUTDOORS_M: f64 = 2.0;
    if space.kind == Some(SpaceKind::Outdoor) {
        return OUTDOORS_M;
    }
    let ceiling = analysis.shape(space).ceiling_at(&picture.centre.in_plan());
    ceiling.map_or(0.0, |ceiling| {
        (ceiling.value() - picture.outside.top.value()).max(0.0)
    })
}

/// The picture that a loudspeaker belongs to: the one it names; for a bar or a centre
/// channel, the only one on its wall.
pub(crate) fn picture_with<'a>(
    analysis: &'a Analysis,
    space: &'a Space,
    item: &Item,
    kit: &LoudspeakerKit,
) -> Option<&'a Item> {
    let shows = |item: &Item| {
        matches!(
            analysis.kit_of(item),
            Some(Kit::Screen(_) | Kit::Display(_))
        )
    };
    if let Some(named) = item.under.as_deref().and_then(|id| analysis.item(id)) {
        return Some(named).filter(|named| shows(named));
    }
    let centre = matches!(item.channel.as_deref(), Some("centre" | "center" | "M+000"));
    let belongs = kit.form == Some(LoudspeakerForm::Bar) || centre;
    let wall = &item.on.as_ref().filter(|_| belongs)?.wall;
    let mut same = analysis
        .pictures_in(space)
        .filter(|picture| picture.on.as_ref().is_some_and(|on| on.wall == *wall));
    same.next().filter(|_| same.next().is_none())
}
