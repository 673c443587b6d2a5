//! How does one wall look from inside, and what is to be fitted there?

use std::collections::BTreeSet;

use analysis::{ItemOnWall, Known, Uncertain, WallRect};
use checks::Caution;
use checks::hanging::picture_shadows;
use drawing::{Chain, CutOut, Elevation, Fitted, Fixture, Hatch, Opening, OpeningKind, Stud};
use model::{Construction, FixtureKind, Framing, Item, OpeningKind as Kind, Side, Space};
use units::Dimension;

use super::page::{Drawn, SetOut};
use super::place::{label_of, mark, patch};
use super::route::side_by_side;
use super::{Set, unbroken, words};
use crate::{ColumnKind, Sheet};

/// A stud's face where nobody measured it, m: 1 1/2 in, the dressed width of common framing (from memory). A sign only.
const STUD_FACE_M: f64 = 0.038;

/// How far cables of one bay are drawn apart, m. A sign only.
const CABLES_APART_M: f64 = 0.03;

/// Whether anything is on a wall or to be fitted there.
pub(super) fn has_something(set: &Set<'_>, space: &Space, wall: usize) -> bool {
    let id = &space.walls[wall].id;
    space.opening.iter().any(|opening| opening.on.wall == *id)
        || space
            .fixture
            .iter()
            .any(|fixture| fixture.on.as_ref().is_some_and(|on| on.wall == *id))
        || set
            .analysis
            .items_in(space)
            .any(|item| item.on.as_ref().is_some_and(|on| on.wall == *id))
        || (space.coverings()).any(|covering| covering.on.as_ref().is_some_and(|on| on.wall == *id))
}

/// What is gathered of one wall while it is drawn.
struct Wall<'a, 'b> {
    set: &'b Set<'a>,
    space: &'a Space,
    wall: usize,
    drawing: Elevation,
    /// What is drawn, for the findings that speak of it.
    ids: BTreeSet<&'a str>,
    cautions: BTreeSet<Caution>,
    /// Where things go, a row each.
    setting_out: Vec<Vec<String>>,
    remarks: Vec<String>,
    new_across: Vec<Uncertain>,
    new_up: Vec<Uncertain>,
    old_across: Vec<Uncertain>,
    old_up: Vec<Uncertain>,
}

/// The wall's sheet.
pub(super) fn sheet<'a>(set: &Set<'a>, space: &'a Space, wall: usize, letter: &str) -> Sheet {
    let name = words(&space.walls[wall].id);
    let mut gathered = Wall {
        set,
        space,
        wall,
        drawing: Elevation {
            title: format!("{}, wall {letter}: {name}, seen from inside", space.label()),
            ..Elevation::default()
        },
        ids: BTreeSet::from([space.walls[wall].id.as_str()]),
        cautions: BTreeSet::new(),
        setting_out: Vec::new(),
        remarks: Vec::new(),
        new_across: Vec::new(),
        new_up: Vec::new(),
        old_across: Vec::new(),
        old_up: Vec::new(),
    };
    let length = gathered.outline();
    gathered.framing();
    gathered.openings();
    gathered.fixtures();
    gathered.items();
    gathered.shadows();
    gathered.panels();
    gathered.cables();
    gathered.dimensions(length);
    let Wall {
        drawing,
        ids,
        cautions,
        setting_out,
        remarks,
        ..
    } = gathered;
    let words = Drawn {
        cautions: set.cautions(space, &ids, cautions),
        lead: Vec::new(),
        setting_out: SET_OUT.table(setting_out),
        reasons: set.reasons(space, &ids),
        remarks,
        may_shrink: true,
    };
    set.drawn(words, |area| drawing::elevation(&drawing, area))
}

/// Where things go, to be ticked off.
const SET_OUT: SetOut<'_> = SetOut {
    heading: "Where things go; left is left when you face the wall",
    columns: &[
        ("Middle from left corner", ColumnKind::Number),
        ("Middle from floor", ColumnKind::Number),
        ("Lower edge from floor", ColumnKind::Number),
        ("Outside", ColumnKind::Number),
        ("Cut-out", ColumnKind::Text),
    ],
};

impl<'a> Wall<'a, '_> {
    /// What darkens a projected picture on the wall: dashed, and told below.
    fn shadows(&mut self) {
        let (analysis, space, wall) = (self.set.analysis, self.space, self.wall);
        let Ok((left, along, _)) = analysis.shape(space).wall_frame(wall) else {
            return;
        };
        let ([lx, ly], [ax, ay]) = (left.value(), along.value());
        let mut told = Vec::new();
        for (item, kit) in analysis.projectors_in(space) {
            let Ok(projector) = analysis.projector(item, kit) else {
                continue;
            };
            if projector.picture.lit.wall != wall {
                continue;
            }
            for shadow in picture_shadows(analysis, space, &projector) {
                let on_wall = |[x, y, z]: &[f64; 3]| [(x - lx) * ax + (y - ly) * ay, *z];
                let outline = shadow.outline_m.iter().map(on_wall).collect();
                self.drawing.shadows.push(outline);
                let percent = (shadow.part * 100.0).max(1.0);
                told.push(format!("{} on {percent:.0} %", shadow.label));
            }
        }
        if !told.is_empty() {
            let list = told.join(", ");
            self.remarks.push(format!(
                "Dashed on the picture: shadows of what reaches into the beam, {list} of it."
            ));
        }
    }

    /// Cables inside the wall; those of one bay side by side.
    fn cables(&mut self) {
        let mut routes = self.set.routes_in_wall(self.space, self.wall);
        let mut lines: Vec<Vec<[f64; 2]>> = (routes.iter_mut())
            .map(|route| std::mem::take(&mut route.points_m))
            .collect();
        side_by_side(&mut lines, CABLES_APART_M);
        for (route, points_m) in routes.iter_mut().zip(lines) {
            route.points_m = points_m;
        }
        if !routes.is_empty() {
            let doubts = "Cables run as drawn: find mains and pipes before you drill.";
            self.remarks.push(doubts.to_owned());
        }
        self.drawing.routes = routes;
    }

    /// The wall's own outline; its length with uncertainty is given back.
    fn outline(&mut self) -> Uncertain {
        let shape = self.set.analysis.shape(self.space);
        let length = shape.wall_length(self.wall).unwrap_or_default();
        let mut top: Vec<[f64; 2]> = Vec::new();
        if let Ok(solid) = shape.solid() {
            top.extend(
                solid
                    .wall_top(self.wall)
                    .iter()
                    .map(|point| [point.from_left_m, point.height_m]),
            );
        }
        if top.len() < 2 {
            let corners = shape.outline().unwrap_or_default();
            let bare = shape
                .ceiling()
                .ok()
                .and_then(|ceiling| ceiling.wall_top(&corners, self.wall).ok());
            top = bare
                .into_iter()
                .flatten()
                .map(|point| [point.from_left_m, point.height_m])
                .collect();
        }
        self.drawing.length_m = length.value();
        self.drawing.top_m = top;
        length
    }

    fn own(&self, wall: &str) -> bool {
        self.space.walls[self.wall].id == wall
    }

    fn missing(&mut self, label: &str, missing: &analysis::Missing) {
        self.remarks
            .push(format!("{label} is not drawn: needs {missing}."));
    }

    fn framing(&mut self) {
        let Some(made_of) = self.space.construction_of(&self.space.walls[self.wall].id) else {
            self.remarks
                .push("What is inside this wall is not known: look before cutting.".to_owned());
            return;
        };
        self.drawing.cut = Some(hatch(made_of));
        if !matches!(made_of.framing, Framing::Stud | Framing::SteelStud) {
            return;
        }
        let analysis = self.set.analysis;
        let number = |fact| analysis.number(fact);
        match (
            number(made_of.spacing.as_ref()),
            number(made_of.first_from_left.as_ref()),
        ) {
            (Some(spacing), Some(first)) if spacing.value() > 0.05 => {
                let face = number(made_of.face.as_ref());
                let width_m = face
                    .as_ref()
                    .map_or(STUD_FACE_M, |face| face.value().max(0.01));
                let count = ((self.drawing.length_m - first.value()) / spacing.value()).floor();
                // A wall has fewer studs than this, and a slip of the pen has not.
                let count = count.clamp(-1.0, 200.0) as i64;
                self.drawing.studs = (0..=count)
                    .map(|n| Stud {
                        centre_m: first.value() + spacing.value() * n as f64,
                        width_m,
                    })
                    .collect();
                let face = match face {
                    Some(_) => String::new(),
                    None => format!(
                        " Their width was not measured; {} is assumed.",
                        analysis.exact(width_m, Dimension::Length)
                    ),
                };
                self.remarks.push(format!(
                    "Studs as surveyed: first middle {} from the left corner, then every {}.{face} Find each one before drilling.",
                    analysis.length(&first),
                    // Rounded by its tolerance it would drift from bay to bay.
                    analysis.exact(spacing.value(), Dimension::Length)
                ));
            }
            _ => self.remarks.push(
                "Studs are not drawn: find the first one and their spacing with a stud finder."
                    .to_owned(),
            ),
        }
        let blocks = made_of
            .fire_block_at
            .iter()
            .flatten()
            .filter_map(|height| number(Some(height)));
        self.drawing.fire_blocks_m = blocks.map(|height| height.value()).collect();
    }

    fn openings(&mut self) {
        let space = self.space;
        let wall = &space.walls[self.wall].id;
        for opening in space
            .opening
            .iter()
            .filter(|opening| opening.on.wall == *wall)
        {
            let label = words(&opening.id);
            let rect = match self.set.analysis.opening_rect(self.space, opening) {
                Ok(rect) => rect,
                Err(missing) => {
                    self.missing(&label, &missing);
                    continue;
                }
            };
            self.ids.insert(&opening.id);
            self.old_across
                .extend([rect.left.clone(), rect.right.clone()]);
            self.old_up.extend([rect.bottom.clone(), rect.top.clone()]);
            let (kind, label) = match (opening.kind, &opening.swing) {
                (Kind::Window, _) => (OpeningKind::Window, label),
                (Kind::Door, Some(swing)) => (OpeningKind::Door(side(swing.hinge)), label),
                // Which side a handle is on is not guessed.
                (Kind::Door, None) => (OpeningKind::Archway, format!("{label}, swing not known")),
                (Kind::Archway | Kind::Recess, _) => (OpeningKind::Archway, label),
            };
            self.drawing.openings.push(Opening {
                id: opening.id.clone(),
                kind,
                patch: patch(&rect),
                label,
            });
        }
    }

    fn fixtures(&mut self) {
        for fixture in &self.space.fixture {
            let Some(on) = fixture.on.as_ref().filter(|on| self.own(&on.wall)) else {
                continue;
            };
            let mut label = words(&fixture.id);
            if let Some(cable) = &fixture.cable {
                label = format!("{label} ({cable})");
            }
            let analysis = self.set.analysis;
            let place = match analysis.fixture_rect(self.space, fixture) {
                Some(Ok(rect)) => Ok((rect.centre_left(), rect.centre_height(), patch(&rect))),
                _ => analysis
                    .fixture_point(self.space, fixture)
                    .and_then(|point| {
                        let (left, _) = analysis
                            .shape(self.space)
                            .on_wall(self.wall, &point.in_plan())?;
                        let marked = mark(left.value(), point.z.value());
                        Ok((left, point.z, marked))
                    }),
            };
            match place {
                Err(missing) => self.missing(&label, &missing),
                Ok((left, height, patch)) => {
                    self.ids.insert(&fixture.id);
                    if on.from_left.is_some() {
                        self.old_across.push(left);
                    }
                    self.old_up.push(height);
                    self.cautions.extend(checks::fixture_caution(fixture.kind));
                    self.drawing.fixtures.push(Fixture {
                        id: fixture.id.clone(),
                        kind: sign(fixture.kind),
                        patch,
                        label,
                    });
                }
            }
        }
        // A shelf or breast would hide what stands on it.
        self.drawing
            .fixtures
            .sort_by(|a, b| area(&b.patch).total_cmp(&area(&a.patch)));
    }

    fn items(&mut self) {
        let mut items: Vec<&Item> = self.set.analysis.items_in(self.space).collect();
        // A mount goes up before what hangs on it.
        items
            .sort_by_key(|item| !matches!(self.set.job().kit_of(item), Some(model::Kit::Mount(_))));
        for item in items {
            let Some(on) = item.on.as_ref().filter(|on| self.own(&on.wall)) else {
                continue;
            };
            match self.set.analysis.item_on_wall(self.space, item, on) {
                Ok(place) => self.item(item, &place),
                Err(missing) => self.missing(&label_of(item), &missing),
            }
        }
        self.drawing
            .fitted
            .sort_by(|a, b| area(&b.patch).total_cmp(&area(&a.patch)));
    }

    /// Panels and curtains with a place of their own, as where a reflection is to be stopped.
    fn panels(&mut self) {
        for covering in self.space.coverings() {
            let label = words(&covering.id);
            match self.set.analysis.covering_rect(self.space, covering) {
                Some(Ok(rect)) if rect.wall == self.wall => {
                    self.ids.insert(&covering.id);
                    let row = self.row(&label, None, &rect, true, "–".to_owned());
                    self.setting_out.push(row);
                    self.new_across.push(rect.centre_left());
                    self.new_up.push(rect.centre_height());
                    self.drawing.fitted.push(Fitted {
                        id: covering.id.clone(),
                        patch: patch(&rect),
                        inner: None,
                        label,
                        verdict: None,
                    });
                }
                Some(Err(missing))
                    if (covering.on.as_ref()).is_some_and(|on| self.own(&on.wall)) =>
                {
                    self.missing(&label, &missing);
                }
                _ => {}
            }
        }
    }

    fn item(&mut self, item: &'a Item, place: &ItemOnWall) {
        let rect = &place.outside;
        self.ids.insert(&item.id);
        let fitting = checks::fitting_cautions(self.set.analysis, self.space, item);
        self.cautions.extend(fitting);
        let label = label_of(item);
        if item.existing {
            self.old_across.push(rect.centre_left());
            self.old_up.push(rect.centre_height());
            self.drawing.fixtures.push(Fixture {
                id: item.id.clone(),
                kind: drawing::FixtureKind::Plain,
                patch: patch(rect),
                label,
            });
            return;
        }
        self.new_across.push(rect.centre_left());
        self.new_up.push(rect.centre_height());
        let verdict = self.set.verdict(self.space, &item.id);
        let hole = self.set.cut_out(item);
        let cut = hole
            .as_ref()
            .map_or("–".to_owned(), |size| self.set.cut_words(item, size));
        let row = self.row(&label, verdict, rect, place.is_sized, cut);
        self.setting_out.push(row);
        if let Some(size) = &hole {
            self.cut_out(item, rect, size);
        }
        self.drawing.fitted.push(Fitted {
            id: item.id.clone(),
            patch: patch(rect),
            inner: place.picture.as_ref().map(patch),
            label: label.clone(),
            verdict,
        });
        if let Some(travel) = self.travel(item) {
            let label = format!("{label}, pulled down");
            let low = WallRect {
                bottom: &rect.bottom - &travel,
                top: &rect.top - &travel,
                ..rect.clone()
            };
            let row = self.row(&label, None, &low, place.is_sized, "–".to_owned());
            self.setting_out.push(row);
            self.drawing.cut_outs.push(CutOut {
                id: item.id.clone(),
                patch: patch(&low),
                // A bar that hangs on the display goes where that goes.
                label: if place.picture.is_some() {
                    label
                } else {
                    String::new()
                },
            });
        }
    }

    /// How far an item's arm pulls it down.
    fn travel(&self, item: &Item) -> Option<Uncertain> {
        let (_, mount) = self.set.analysis.mount_of(item)?;
        let travel = self.set.analysis.number(mount.pull_down.as_ref())?;
        (travel.value() > 0.0).then_some(travel)
    }

    fn cut_out(&mut self, item: &Item, rect: &WallRect, size: &[Uncertain; 2]) {
        let analysis = self.set.analysis;
        let half = |number: &Uncertain| number / 2.0;
        let hole = WallRect {
            wall: rect.wall,
            left: rect.centre_left() - half(&size[0]),
            right: rect.centre_left() + half(&size[0]),
            bottom: rect.centre_height() - half(&size[1]),
            top: rect.centre_height() + half(&size[1]),
            out: None,
        };
        self.drawing.cut_outs.push(CutOut {
            id: item.id.clone(),
            patch: patch(&hole),
            label: format!(
                "Cut {} × {}",
                analysis.length(&size[0]),
                analysis.length(&size[1])
            ),
        });
    }

    fn row(
        &self,
        label: &str,
        verdict: Option<drawing::Verdict>,
        rect: &WallRect,
        sized: bool,
        cut: String,
    ) -> Vec<String> {
        let length = |number: &Uncertain| unbroken(&self.set.analysis.length(number));
        let known = |text: String| if sized { text } else { "not known".to_owned() };
        vec![
            label.to_owned(),
            verdict.map_or("–", drawing::Verdict::word).to_owned(),
            length(&rect.centre_left()),
            length(&rect.centre_height()),
            known(length(&rect.bottom)),
            known(format!(
                "{} × {}",
                length(&rect.width()),
                length(&rect.height())
            )),
            cut,
        ]
    }

    /// Chains below: what is to be fitted, what is there, the whole; heights on the left in the same order.
    fn dimensions(&mut self, length: Uncertain) {
        let figures = &self.set.figures;
        let top = self
            .drawing
            .top_m
            .iter()
            .map(|point| point[1])
            .fold(0.0, f64::max);
        let shape = self.set.analysis.shape(self.space);
        let edge = |from_left: f64| -> Known<Uncertain> {
            let from_left = Uncertain::exact(from_left);
            let foot = shape.point_on_wall(
                self.wall,
                &from_left,
                &Uncertain::exact(0.0),
                &Uncertain::exact(0.0),
            )?;
            shape.ceiling_at(&foot.in_plan())
        };
        // The ceiling's height where this wall is highest, with its own uncertainty when no soffit lowers it.
        let highest = self
            .drawing
            .top_m
            .iter()
            .find(|point| point[1] == top)
            .map_or(0.0, |point| point[0]);
        let whole_up = edge(highest)
            .ok()
            .filter(|height| (height.value() - top).abs() < 0.01)
            .unwrap_or(Uncertain::exact(top));
        let zero = || Uncertain::exact(0.0);
        let inside = |stops: Vec<Uncertain>, end: f64| -> Vec<Uncertain> {
            stops
                .into_iter()
                .filter(|stop| (0.0..=end).contains(&stop.value()))
                .collect()
        };
        let chain = |stops: Vec<Uncertain>, whole: &Uncertain, closed: bool| -> Option<Chain> {
            let mut stops = inside(stops, whole.value());
            if stops.is_empty() {
                return None;
            }
            stops.push(zero());
            if closed {
                stops.push(whole.clone());
            }
            figures.chain(stops)
        };
        let across = [
            chain(std::mem::take(&mut self.new_across), &length, false),
            chain(std::mem::take(&mut self.old_across), &length, false),
            figures.chain(vec![zero(), length.clone()]),
        ];
        let up = [
            chain(std::mem::take(&mut self.new_up), &whole_up, false),
            chain(std::mem::take(&mut self.old_up), &whole_up, false),
            figures.chain(vec![zero(), whole_up.clone()]),
        ];
        // What is new may stand where something is: one chain tells both.
        let once = |chains: [Option<Chain>; 3]| {
            let mut chains: Vec<Chain> = chains.into_iter().flatten().collect();
            chains.dedup();
            chains
        };
        self.drawing.across = once(across);
        self.drawing.up = once(up);
    }
}

fn area(patch: &drawing::Patch) -> f64 {
    patch.width_m * patch.height_m
}

pub(super) fn side(side: Side) -> drawing::Side {
    match side {
        Side::Left => drawing::Side::Left,
        Side::Right => drawing::Side::Right,
    }
}

/// The hatch of what a wall is made of.
pub(super) fn hatch(made_of: &Construction) -> Hatch {
    match made_of.framing {
        Framing::Masonry | Framing::Concrete => Hatch::Masonry,
        Framing::Stud | Framing::SteelStud | Framing::Joist if made_of.insulated == Some(true) => {
            Hatch::Insulation
        }
        Framing::Stud | Framing::SteelStud | Framing::Joist => Hatch::Wood,
    }
}

fn sign(kind: FixtureKind) -> drawing::FixtureKind {
    match kind {
        FixtureKind::WallLight | FixtureKind::CeilingLight => drawing::FixtureKind::Light,
        FixtureKind::Vent => drawing::FixtureKind::Vent,
        FixtureKind::Socket => drawing::FixtureKind::Socket,
        FixtureKind::Switch => drawing::FixtureKind::Switch,
        FixtureKind::Radiator => drawing::FixtureKind::Radiator,
        FixtureKind::Fan
        | FixtureKind::Sprinkler
        | FixtureKind::SmokeAlarm
        | FixtureKind::Thermostat
        | FixtureKind::Fireplace
        | FixtureKind::Mantel
        | FixtureKind::ChimneyBreast
        | FixtureKind::CurtainStack
        | FixtureKind::PictureRail
        | FixtureKind::Furniture
        | FixtureKind::Plate
        | FixtureKind::ConduitEnd
        | FixtureKind::CableEnd
        | FixtureKind::Walkway
        | FixtureKind::Post
        | FixtureKind::MainsRun
        | FixtureKind::Other => drawing::FixtureKind::Plain,
    }
}
