//! How does a space look from above, with what stands in it and the cables that run through it?

use std::collections::BTreeSet;
use std::f64::consts::{FRAC_PI_2, PI};

use analysis::{Body, Uncertain};
use checks::Caution;
use drawing::{
    Loudspeaker, Piece, Plan, PlanOpening, PlanOpeningKind, PlanWall, Route, Seat, ViewArrow,
};
use model::{
    Construction, Item, Kit, LoudspeakerForm, LoudspeakerKit, OpeningKind, Space, SpaceKind, Swing,
    SwingInto,
};

use super::elevation::{hatch, side};
use super::page::{Drawn, SetOut};
use super::place::{label_of, outline, plan_of, ring, turned_outline, xy};
use super::route::{OnPlan, side_by_side};
use super::{Set, unbroken, words};
use crate::{ColumnKind, Sheet};

/// How wide a seat is drawn, m. A sign: its head is what is measured.
const SEAT_M: f64 = 0.5;
/// How thick a wall is drawn whose inside is not known, m. A sign too.
const WALL_M: f64 = 0.1;
/// From line to line of neighbouring cables, mm of paper.
const CABLES_APART_MM: f64 = 1.3;
/// What stands out of its wall by less is left to the elevation, m.
const FLAT_M: f64 = 0.03;
/// Free space about the sign of a viewing direction, m.
const VIEW_FREE_M: f64 = 0.5;

/// The plan's sheet; `views` are the walls that are drawn, with their letters.
pub(super) fn sheet<'a>(
    set: &Set<'a>,
    space: &'a Space,
    views: &[(usize, String)],
    remarks: Vec<String>,
) -> Sheet {
    let mut gathered = Gathered {
        set,
        space,
        plan: Plan {
            title: format!("{}, plan", space.label()),
            ..Plan::default()
        },
        ids: BTreeSet::from([space.id.as_str()]),
        cautions: BTreeSet::new(),
        remarks,
        taken: Vec::new(),
        standing: Vec::new(),
    };
    gathered.walls();
    gathered.fixtures();
    gathered.items();
    gathered.seats();
    gathered.beams();
    let lines = gathered.cables();
    gathered.views(views);
    let Gathered {
        mut plan,
        ids,
        cautions,
        mut remarks,
        standing,
        ..
    } = gathered;
    plan.north_rad = set
        .analysis
        .number(space.first_wall_faces.as_ref())
        .map(|faces| -faces.value());
    if plan.north_rad.is_none() {
        remarks
            .push("Which way is north is not known: hold a compass to the first wall.".to_owned());
    }
    // Cables lie side by side by millimetres of paper, so the scale comes first.
    if let Ok(bare) = drawing::on_best(&set.areas, |area| drawing::plan(&plan, area)) {
        plan.routes = routes(lines, CABLES_APART_MM / 1000.0 * f64::from(bare.scale.0));
    }
    let words = Drawn {
        cautions: set.cautions(space, &ids, cautions),
        lead: Vec::new(),
        setting_out: SET_OUT.table(standing),
        reasons: set.reasons(space, &ids),
        remarks,
        may_shrink: false,
    };
    set.drawn(words, |area| drawing::plan(&plan, area))
}

/// What stands, to be ticked off; walls and ceilings have sheets of their own.
const SET_OUT: SetOut<'_> = SetOut {
    heading: "Where things stand; to their middles",
    columns: &[
        ("Off a first wall", ColumnKind::Text),
        ("Off a second wall", ColumnKind::Text),
        ("Stands on", ColumnKind::Text),
    ],
};

type Line<'a> = (&'a str, drawing::RouteDash, Vec<[f64; 2]>);

fn routes(lines: Vec<Line<'_>>, apart_m: f64) -> Vec<Route> {
    let (names, mut points): (Vec<_>, Vec<_>) = lines
        .into_iter()
        .map(|(id, dash, line)| ((id, dash), line))
        .unzip();
    side_by_side(&mut points, apart_m);
    let route = |((id, dash), points_m): ((&str, drawing::RouteDash), Vec<[f64; 2]>)| Route {
        id: id.to_owned(),
        points_m,
        dash,
        label: id.to_owned(),
    };
    names.into_iter().zip(points).map(route).collect()
}

struct Gathered<'a, 'b> {
    set: &'b Set<'a>,
    space: &'a Space,
    plan: Plan,
    ids: BTreeSet<&'a str>,
    cautions: BTreeSet<Caution>,
    remarks: Vec<String>,
    /// Middles and radii of what is drawn, m.
    taken: Vec<([f64; 2], f64)>,
    /// Where things stand, a row each.
    standing: Vec<Vec<String>>,
}

impl<'a> Gathered<'a, '_> {
    fn walls(&mut self) {
        let analysis = self.set.analysis;
        let shape = analysis.shape(self.space);
        self.plan.corners_m = shape
            .outline()
            .unwrap_or_default()
            .iter()
            .map(|corner| [corner.x, corner.y])
            .collect();
        for (index, wall) in self.space.walls.iter().enumerate() {
            let length = shape.wall_length(index).unwrap_or_default();
            let made_of = self.space.construction_of(&wall.id);
            let mut stops = Vec::new();
            let mut openings = Vec::new();
            if wall.open {
                // An edge without a wall is open from end to end.
                openings.push(PlanOpening {
                    id: String::new(),
                    kind: PlanOpeningKind::Archway,
                    from_left_m: 0.0,
                    width_m: length.value(),
                    label: String::new(),
                });
            }
            for opening in self
                .space
                .opening
                .iter()
                .filter(|opening| opening.on.wall == wall.id)
            {
                let label = words(&opening.id);
                match analysis.opening_rect(self.space, opening) {
                    Err(missing) => self
                        .remarks
                        .push(format!("{label} is not drawn: needs {missing}.")),
                    Ok(rect) => {
                        self.ids.insert(&opening.id);
                        stops.extend([rect.left.clone(), rect.right.clone()]);
                        openings.push(PlanOpening {
                            id: opening.id.clone(),
                            kind: match (opening.kind, &opening.swing) {
                                (OpeningKind::Window, _) => PlanOpeningKind::Window,
                                (OpeningKind::Door, Some(swing)) => PlanOpeningKind::Door {
                                    hinges: side(swing.hinge),
                                    into_room: swing.into == SwingInto::Room,
                                    opens_rad: self.opens_rad(swing),
                                },
                                (
                                    OpeningKind::Door | OpeningKind::Archway | OpeningKind::Recess,
                                    _,
                                ) => PlanOpeningKind::Archway,
                            },
                            from_left_m: rect.left.value(),
                            width_m: rect.width().value(),
                            label,
                        });
                    }
                }
            }
            let whole = length.value();
            stops.retain(|stop| (0.0..=whole).contains(&stop.value()));
            let figures = &self.set.figures;
            let zero = || Uncertain::exact(0.0);
            let mut chains = Vec::new();
            if !stops.is_empty() {
                stops.extend([zero(), length.clone()]);
                chains.extend(figures.chain(stops));
            }
            if chains.first().is_none_or(|chain| chain.figures.len() > 1) {
                chains.extend(figures.chain(vec![zero(), length]));
            }
            self.plan.walls.push(PlanWall {
                name: match wall.open {
                    true => format!("{} (open)", words(&wall.id)),
                    false => words(&wall.id),
                },
                thickness_m: if wall.open {
                    0.0
                } else {
                    self.thickness(made_of)
                },
                hatch: made_of.map(hatch),
                openings,
                chains,
            });
        }
        if self
            .space
            .walls
            .iter()
            .any(|wall| !wall.open && self.space.construction_of(&wall.id).is_none())
        {
            self.remarks.push("Walls without hatch: what is inside them is not known. Their thickness is a sign only.".to_owned());
        }
    }

    fn opens_rad(&self, swing: &Swing) -> f64 {
        let stated = self.set.analysis.number(swing.opens.as_ref());
        stated
            .map(|opens| opens.value())
            .filter(|opens| *opens > 0.0)
            .map_or(FRAC_PI_2, |opens| opens.min(PI))
    }

    fn thickness(&self, made_of: Option<&Construction>) -> f64 {
        let number = |fact| self.set.analysis.number(fact).map(|number| number.value());
        let known = made_of.and_then(|made_of| {
            let board = number(made_of.board.as_ref()).unwrap_or(0.0);
            Some(number(made_of.cavity.as_ref())? + 2.0 * board)
        });
        known.filter(|thickness| *thickness > 0.0).unwrap_or(WALL_M)
    }

    fn fixtures(&mut self) {
        for fixture in &self.space.fixture {
            self.cautions.extend(checks::fixture_caution(fixture.kind));
            if fixture.hung.is_some() {
                continue;
            }
            match self.set.analysis.fixture_body(self.space, fixture) {
                Ok(body) => {
                    self.ids.insert(&fixture.id);
                    if fixture.on.is_none() || body.size[2].value() > FLAT_M {
                        let piece = self.piece(&fixture.id, words(&fixture.id), &body, None);
                        self.plan.furniture.push(piece);
                    }
                }
                // On a wall its elevation says what is missing.
                Err(_) if fixture.on.is_some() => {}
                Err(missing) => self.remarks.push(format!(
                    "{} is not drawn: needs {missing}.",
                    words(&fixture.id)
                )),
            }
        }
    }

    fn piece(
        &mut self,
        id: &str,
        label: String,
        body: &Body,
        verdict: Option<drawing::Verdict>,
    ) -> Piece {
        let reach = body.size[0].value().hypot(body.size[2].value()) / 2.0;
        self.taken.push((plan_of(&body.centre), reach));
        Piece {
            id: id.to_owned(),
            outline_m: outline(body),
            label,
            verdict,
        }
    }

    fn items(&mut self) {
        let items: Vec<&Item> = self.set.analysis.items_in(self.space).collect();
        for item in items {
            let fitting = checks::fitting_cautions(self.set.analysis, self.space, item);
            self.cautions.extend(fitting);
            // What is in a cupboard is told by the cupboard.
            if item.inside.is_some() || item.reuses.is_some() && !item.is_placed() {
                self.ids.insert(&item.id);
                continue;
            }
            let body = match self.set.analysis.item_body(self.space, item) {
                Ok(body) => body,
                Err(missing) => {
                    self.remarks
                        .push(format!("{} is not drawn: needs {missing}.", label_of(item)));
                    continue;
                }
            };
            self.ids.insert(&item.id);
            if !item.existing {
                self.stands(item);
            }
            self.item(item, &body);
        }
    }

    fn stands(&mut self, item: &Item) {
        let Some(at) = &item.at else { return };
        let verdict = self.set.verdict(self.space, &item.id);
        let height = self.set.analysis.number(at.height.as_ref());
        let on = match height.filter(|height| height.value() > 0.0) {
            Some(height) => format!(
                "{} above the floor",
                unbroken(&self.set.analysis.length(&height))
            ),
            None if self.space.kind == Some(SpaceKind::Outdoor) => "the ground".to_owned(),
            None => "the floor".to_owned(),
        };
        self.standing.push(vec![
            label_of(item),
            verdict.map_or("–", drawing::Verdict::word).to_owned(),
            self.set.off_wall(&at.from),
            self.set.off_wall(&at.and),
            on,
        ]);
    }

    fn item(&mut self, item: &Item, body: &Body) {
        let verdict = self.set.verdict(self.space, &item.id);
        let label = label_of(item);
        match self.set.job().kit_of(item) {
            // Hidden behind what it carries; the elevation shows it.
            Some(Kit::Mount(_)) => {}
            Some(Kit::Loudspeaker(kit)) if kit.form == Some(LoudspeakerForm::InCeiling) => {
                let radius = (body.size[0].value() / 2.0).max(0.05);
                self.taken.push((plan_of(&body.centre), radius));
                self.plan.kit.push(Piece {
                    id: item.id.clone(),
                    outline_m: ring(plan_of(&body.centre), radius),
                    label,
                    verdict,
                });
            }
            Some(Kit::Loudspeaker(kit))
                if !matches!(
                    kit.form,
                    Some(LoudspeakerForm::Subwoofer | LoudspeakerForm::Bar)
                ) =>
            {
                self.loudspeaker(item, kit, body, verdict);
            }
            _ => {
                let piece = self.piece(&item.id, label, body, verdict);
                match item.existing {
                    true => self.plan.furniture.push(piece),
                    false => self.plan.kit.push(piece),
                }
            }
        }
    }

    fn loudspeaker(
        &mut self,
        item: &Item,
        kit: &LoudspeakerKit,
        body: &Body,
        verdict: Option<drawing::Verdict>,
    ) {
        let at = self
            .set
            .analysis
            .loudspeaker(item, kit)
            .map_or_else(|_| plan_of(&body.centre), |place| plan_of(&place.at));
        let wall = item.on.as_ref().and_then(|on| self.space.wall(&on.wall));
        let inward = wall
            .and_then(|wall| self.set.analysis.shape(self.space).wall_frame(wall).ok())
            .map(|frame| xy(&frame.2));
        let aim = inward.unwrap_or_else(|| {
            let [x, y] = self.listeners();
            [x - at[0], y - at[1]]
        });
        // One that is turned on the floor stands with its front to what it looks at.
        let looks = |space| {
            let towards = [at[0] + aim[0], at[1] + aim[1], 0.0];
            let square =
                (self.set.analysis).square_aim(space, item, kit, [at[0], at[1], 0.0], towards);
            let [x, y, _] = square.ok()?.axis();
            Some([x, y])
        };
        let turned = (item.turned.as_ref()).and_then(|_| looks(self.space));
        let aim = turned.unwrap_or(aim);
        self.taken.push((at, 0.3));
        self.plan.loudspeakers.push(Loudspeaker {
            outline_m: self.loudspeaker_outline(item, kit, body, inward, turned),
            id: item.id.clone(),
            at_m: at,
            aim,
            width_m: body.size[0].value().max(0.1),
            label: label_of(item),
            verdict,
        });
    }

    /// A loudspeaker's outline as it stands, hangs or is let in; empty where its size is not known.
    fn loudspeaker_outline(
        &self,
        item: &Item,
        kit: &LoudspeakerKit,
        body: &Body,
        inward: Option<[f64; 2]>,
        turned: Option<[f64; 2]>,
    ) -> Vec<[f64; 2]> {
        let analysis = self.set.analysis;
        let shape = analysis.item_shape(item);
        if !shape.is_sized {
            return Vec::new();
        }
        let behind = analysis.number(kit.depth_behind.as_ref());
        let [width, _, depth] = shape.size;
        let middle = plan_of(&body.centre);
        match (inward, turned) {
            // From the wall's face back into the wall.
            (Some(out), _) if shape.is_flush => {
                let depth_m = behind.unwrap_or(depth).value();
                let back = [0, 1].map(|axis| middle[axis] - out[axis] * depth_m / 2.0);
                turned_outline(back, out, width.value(), depth_m)
            }
            (_, Some(front)) => turned_outline(middle, front, width.value(), depth.value()),
            _ => outline(body),
        }
    }

    /// The middle of those who listen, or of the space.
    fn listeners(&self) -> [f64; 2] {
        let seats: Vec<[f64; 2]> = self
            .set
            .analysis
            .seats_in(self.space)
            .filter_map(|(_, place)| Some(xy(&place.ok()?.plan)))
            .collect();
        let points = if seats.is_empty() {
            &self.plan.corners_m
        } else {
            &seats
        };
        let count = points.len().max(1) as f64;
        [0, 1].map(|axis| points.iter().map(|point| point[axis]).sum::<f64>() / count)
    }

    fn seats(&mut self) {
        for seat in &self.space.seat {
            match self.set.analysis.seat(self.space, seat) {
                Err(missing) => self
                    .remarks
                    .push(format!("Seat {} is not drawn: needs {missing}.", seat.id)),
                Ok(place) => {
                    self.ids.insert(&seat.id);
                    // Towards the picture; without one towards the first wall.
                    let facing = self
                        .set
                        .analysis
                        .look_direction(self.space, &place)
                        .map_or([0.0, 1.0], |way| xy(&way));
                    self.taken.push((xy(&place.plan), SEAT_M / 2.0));
                    self.plan.seats.push(Seat {
                        id: seat.id.clone(),
                        at_m: xy(&place.plan),
                        facing,
                        width_m: SEAT_M,
                        label: words(&seat.id),
                    });
                }
            }
        }
    }

    fn beams(&mut self) {
        let projectors: Vec<_> = self.set.analysis.projectors_in(self.space).collect();
        for (item, kit) in projectors {
            match self.set.analysis.projector(item, kit) {
                Ok(place) => {
                    let edges =
                        [-1.0, 1.0].map(|across| plan_of(&place.picture.point(across, 0.0)));
                    self.plan.beams.push(Piece {
                        id: item.id.clone(),
                        outline_m: vec![plan_of(&place.lens.at), edges[0], edges[1]],
                        label: String::new(),
                        verdict: None,
                    });
                }
                Err(missing) => self.remarks.push(format!(
                    "The beam of {} is not drawn: needs {missing}.",
                    label_of(item)
                )),
            }
        }
    }

    fn cables(&mut self) -> Vec<Line<'a>> {
        let set = self.set;
        let (mut lines, mut inside, mut elsewhere) = (Vec::new(), Vec::new(), Vec::new());
        for cable in set.job().cable.iter() {
            let Some(on_plan) = set.route_in(self.space, cable) else {
                continue;
            };
            self.ids.insert(&cable.id);
            if self.space.kind == Some(SpaceKind::Outdoor) && cable.existing.is_none() {
                self.cautions.insert(Caution::Digging);
            }
            match on_plan {
                OnPlan::Lines(parts) => {
                    let part = |points| (cable.id.as_str(), set.dash(cable), points);
                    lines.extend(parts.into_iter().map(part));
                }
                OnPlan::Inside => inside.push(cable.id.as_str()),
                OnPlan::Elsewhere => elsewhere.push(cable.id.as_str()),
            }
        }
        if !inside.is_empty() {
            self.remarks.push(format!(
                "Inside the cupboard, not drawn: {}.",
                inside.join(", ")
            ));
        }
        if !elsewhere.is_empty() {
            self.remarks.push(format!(
                "Cables with an end here that leave the drawing: {}; see the cable schedule.",
                elsewhere.join(", ")
            ));
        }
        if !lines.is_empty() {
            self.remarks
                .push("Cables that share a way are drawn side by side.".to_owned());
        }
        lines
    }

    /// Signs of the viewing directions where nothing stands in their way.
    fn views(&mut self, views: &[(usize, String)]) {
        let shape = self.set.analysis.shape(self.space);
        for (wall, letter) in views {
            let (Ok((left, along, inward)), Ok(length)) =
                (shape.wall_frame(*wall), shape.wall_length(*wall))
            else {
                continue;
            };
            let ([x, y], [ax, ay], [nx, ny]) = (xy(&left), xy(&along), xy(&inward));
            let at = |part: f64, off: f64| {
                let u = length.value() * part;
                [x + ax * u + nx * off, y + ay * u + ny * off]
            };
            let spots = [0.9, 1.2, 1.6, 2.0, 0.7]
                .into_iter()
                .flat_map(|off| [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8].map(|part| at(part, off)));
            let free = |spot: [f64; 2]| {
                let room = |(middle, reach): &([f64; 2], f64)| {
                    (middle[0] - spot[0]).hypot(middle[1] - spot[1]) - reach
                };
                let nearest = self.taken.iter().map(room).fold(f64::INFINITY, f64::min);
                let corners: Vec<geometry::Point2> = self
                    .plan
                    .corners_m
                    .iter()
                    .map(|c| geometry::Point2::new(c[0], c[1]))
                    .collect();
                let inside =
                    geometry::plan::contains(&corners, geometry::Point2::new(spot[0], spot[1]));
                if inside { nearest } else { f64::NEG_INFINITY }
            };
            let spots: Vec<[f64; 2]> = spots.collect();
            let chosen = spots.iter().copied().find(|spot| free(*spot) > VIEW_FREE_M);
            let widest = || {
                spots
                    .iter()
                    .copied()
                    .max_by(|a, b| free(*a).total_cmp(&free(*b)))
            };
            let Some(spot) = chosen.or_else(widest) else {
                continue;
            };
            self.taken.push((spot, 0.2));
            self.plan.views.push(ViewArrow {
                at_m: spot,
                towards: [-nx, -ny],
                label: letter.clone(),
            });
        }
    }
}
