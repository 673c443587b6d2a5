//! What is on, in and above a ceiling, and how far from which walls?

use std::collections::{BTreeMap, BTreeSet};

use analysis::{Body, Known, SpaceModel, Uncertain, Vector2};
use checks::Caution;
use drawing::{CeilingPiece, CeilingPlan, Distance, Joists, Piece};
use geometry::Surface;
use model::{Framing, FromWall, Hung, Item, Kit, LoudspeakerForm, Space};
use units::Dimension;

use super::figure::ONE_STOP_M;
use super::page::{Drawn, SetOut};
use super::place::{label_of, outline, xy};
use super::{Set, unbroken, wall_words, words};
use crate::{ColumnKind, Sheet};

/// A dimension's line passes other things by at least this, m.
const CLEAR_M: f64 = 0.2;

/// The ceiling's sheet.
pub(super) fn sheet<'a>(set: &Set<'a>, space: &'a Space) -> Sheet {
    let shape = set.analysis.shape(space);
    let mut gathered = Gathered {
        set,
        space,
        plan: CeilingPlan {
            title: format!("{}, ceiling seen in a mirror on the floor", space.label()),
            corners_m: shape
                .outline()
                .unwrap_or_default()
                .iter()
                .map(|corner| [corner.x, corner.y])
                .collect(),
            wall_names: space.walls.iter().map(|wall| words(&wall.id)).collect(),
            ridges_m: ridges(shape),
            north_rad: set
                .analysis
                .number(space.first_wall_faces.as_ref())
                .map(|faces| -faces.value()),
            ..CeilingPlan::default()
        },
        ids: BTreeSet::from(["ceiling"]),
        cautions: BTreeSet::new(),
        setting_out: Vec::new(),
        measured: Vec::new(),
        remarks: Vec::new(),
    };
    gathered.lengths();
    gathered.joists();
    gathered.soffits();
    gathered.fixtures();
    gathered.items();
    gathered.distances();
    let Gathered {
        plan,
        ids,
        cautions,
        setting_out,
        mut remarks,
        ..
    } = gathered;
    remarks.insert(0, "Left and right are as on the plan.".to_owned());
    let words = Drawn {
        cautions: set.cautions(space, &ids, cautions),
        lead: Vec::new(),
        setting_out: SET_OUT.table(setting_out),
        reasons: set.reasons(space, &ids),
        remarks,
        may_shrink: false,
    };
    set.drawn(words, |area| drawing::ceiling(&plan, area))
}

/// Whether anything is on a ceiling or to be fitted there.
pub(super) fn has_something(set: &Set<'_>, space: &Space) -> bool {
    !space.soffit.is_empty()
        || space.fixture.iter().any(|fixture| fixture.hung.is_some())
        || set.analysis.items_in(space).any(|item| item.hung.is_some())
}

/// Where things go, to be ticked off.
const SET_OUT: SetOut<'_> = SetOut {
    heading: "Where things go; to their middles",
    columns: &[
        ("Off a first wall", ColumnKind::Text),
        ("Off a second wall", ColumnKind::Text),
        ("Top below ceiling", ColumnKind::Number),
        ("Cut-out", ColumnKind::Text),
    ],
};

struct Gathered<'a, 'b> {
    set: &'b Set<'a>,
    space: &'a Space,
    plan: CeilingPlan,
    ids: BTreeSet<&'a str>,
    cautions: BTreeSet<Caution>,
    /// Where things go, a row each.
    setting_out: Vec<Vec<String>>,
    /// Pieces by index with their middles and what was measured.
    measured: Vec<(usize, Vector2, Hung)>,
    remarks: Vec<String>,
}

impl<'a> Gathered<'a, '_> {
    fn lengths(&mut self) {
        let shape = self.set.analysis.shape(self.space);
        let whole = |wall: usize| {
            let length = shape.wall_length(wall).ok()?;
            self.set.figures.chain(vec![0.0.into(), length])
        };
        self.plan.chains = (0..self.space.walls.len())
            .map(|wall| whole(wall).into_iter().collect())
            .collect();
    }

    fn joists(&mut self) {
        let Some(made_of) = self.space.construction_of("ceiling") else {
            self.remarks
                .push("What is above this ceiling is not known: look before cutting.".to_owned());
            return;
        };
        if made_of.framing != Framing::Joist {
            return;
        }
        let analysis = self.set.analysis;
        let frame = made_of
            .along
            .as_deref()
            .and_then(|wall| self.space.wall(wall));
        let frame = frame.and_then(|wall| analysis.shape(self.space).wall_frame(wall).ok());
        let spacing = analysis.number(made_of.spacing.as_ref());
        let first = analysis.number(made_of.first_from_left.as_ref());
        let (Some((left, along, inward)), Some(spacing), Some(first)) = (frame, spacing, first)
        else {
            self.remarks.push("Joists are not drawn: find their direction, the first one and their spacing with a stud finder.".to_owned());
            return;
        };
        let [ax, ay] = xy(&along);
        self.plan.joists = (spacing.value() > 0.05).then(|| Joists {
            along_rad: ay.atan2(ax),
            spacing_m: spacing.value(),
            through_m: xy(&(&left + &inward.scaled(&first))),
        });
        self.remarks.push(format!(
            "Joists as surveyed: first middle {} off {}, then every {}. Find each one before cutting.",
            analysis.length(&first),
            wall_words(made_of.along.as_deref().unwrap_or_default()),
            // Rounded by its tolerance it would drift from bay to bay.
            analysis.exact(spacing.value(), Dimension::Length)
        ));
    }

    fn soffits(&mut self) {
        let Ok(boxes) = self.set.analysis.shape(self.space).boxes() else {
            return;
        };
        for (soffit, hanging) in self.space.soffit.iter().zip(boxes) {
            self.ids.insert(&soffit.id);
            let underside = self.set.analysis.number(Some(&soffit.underside));
            let under = underside
                .map(|height| format!(", underside {}", self.set.analysis.length(&height)));
            self.plan.pieces.push(CeilingPiece {
                piece: Piece {
                    id: soffit.id.clone(),
                    outline_m: hanging
                        .rect
                        .corners()
                        .map(|corner| [corner.x, corner.y])
                        .into(),
                    label: format!("{}{}", words(&soffit.id), under.unwrap_or_default()),
                    verdict: None,
                },
                round: false,
                existing: true,
                distances: Vec::new(),
            });
        }
    }

    fn fixtures(&mut self) {
        for fixture in &self.space.fixture {
            let Some(hung) = &fixture.hung else { continue };
            let label = words(&fixture.id);
            match self.set.analysis.fixture_body(self.space, fixture) {
                Ok(body) => {
                    self.ids.insert(&fixture.id);
                    self.cautions.extend(checks::fixture_caution(fixture.kind));
                    self.push(&fixture.id, label, &body, hung, true, false, None);
                }
                Err(missing) => self
                    .remarks
                    .push(format!("{label} is not drawn: needs {missing}.")),
            }
        }
    }

    fn items(&mut self) {
        let items: Vec<&Item> = self.set.analysis.items_in(self.space).collect();
        for item in items {
            let Some(hung) = &item.hung else { continue };
            match self.set.analysis.item_body(self.space, item) {
                Ok(body) => self.item(item, hung, &body),
                Err(missing) => self
                    .remarks
                    .push(format!("{} is not drawn: needs {missing}.", label_of(item))),
            }
        }
    }

    fn item(&mut self, item: &'a Item, hung: &Hung, body: &Body) {
        let analysis = self.set.analysis;
        self.ids.insert(&item.id);
        let fitting = checks::fitting_cautions(analysis, self.space, item);
        self.cautions.extend(fitting);
        let name = label_of(item);
        let verdict = self.set.verdict(self.space, &item.id);
        if !item.existing {
            let length = |number: &Uncertain| unbroken(&analysis.length(number));
            let cut = self.set.cut_out(item);
            self.setting_out.push(vec![
                name.clone(),
                verdict.map_or("–", drawing::Verdict::word).to_owned(),
                self.set.off_wall(&hung.from),
                self.set.off_wall(&hung.and),
                analysis
                    .number(hung.drop.as_ref())
                    .map_or("flush".to_owned(), |drop| length(&drop)),
                cut.map_or("–".to_owned(), |size| self.set.cut_words(item, &size)),
            ]);
        }
        let round = matches!(self.set.job().kit_of(item), Some(Kit::Loudspeaker(kit)) if kit.form == Some(LoudspeakerForm::InCeiling));
        self.push(&item.id, name, body, hung, item.existing, round, verdict);
    }

    #[allow(
        clippy::too_many_arguments,
        reason = "one call for what is there and one for what comes"
    )]
    fn push(
        &mut self,
        id: &str,
        label: String,
        body: &Body,
        hung: &Hung,
        existing: bool,
        round: bool,
        verdict: Option<drawing::Verdict>,
    ) {
        self.measured
            .push((self.plan.pieces.len(), body.centre.in_plan(), hung.clone()));
        self.plan.pieces.push(CeilingPiece {
            piece: Piece {
                id: id.to_owned(),
                outline_m: outline(body),
                label,
                verdict,
            },
            round,
            existing,
            distances: Vec::new(),
        });
    }

    /// Gives each thing its distances from two walls, once all things are known that a line may run through.
    fn distances(&mut self) {
        let measured = std::mem::take(&mut self.measured);
        let middles: Vec<[f64; 2]> = measured.iter().map(|(_, middle, _)| xy(middle)).collect();
        for (nth, (index, middle, hung)) in measured.iter().enumerate() {
            // A mount and what hangs on it are at one place: told twice on one line, it reads as a sum.
            let [x, y] = xy(middle);
            let is_there = |[u, v]: &[f64; 2]| (x - u).hypot(y - v) < ONE_STOP_M;
            if middles[..nth].iter().any(is_there) {
                continue;
            }
            let distances =
                [&hung.from, &hung.and].map(|from| self.distance(middle, from, &middles));
            self.plan.pieces[*index].distances = distances.into_iter().flatten().collect();
        }
    }

    /// From the wall that was named; from the one across where the line would run through another thing.
    fn distance(&self, middle: &Vector2, from: &FromWall, things: &[[f64; 2]]) -> Known<Distance> {
        let shape = self.set.analysis.shape(self.space);
        let named = self.space.wall(&from.0).unwrap_or_default();
        let (_, _, inward) = shape.wall_frame(named)?;
        let foot = |wall: usize| -> Known<([f64; 2], Uncertain)> {
            let (_, off) = shape.on_wall(wall, middle)?;
            let (_, _, inward) = shape.wall_frame(wall)?;
            Ok((xy(&(middle - &inward.scaled(&off))), off))
        };
        let is_across = |wall: usize| {
            let along = shape
                .wall_frame(wall)
                .map(|frame| frame.2.dot(&inward).value());
            let within = shape
                .on_wall(wall, middle)
                .ok()
                .zip(shape.wall_length(wall).ok());
            let within = within
                .is_some_and(|((at, _), length)| (0.0..=length.value()).contains(&at.value()));
            within && along.is_ok_and(|cosine| cosine < -0.98)
        };
        let across = (0..self.space.walls.len()).find(|wall| *wall != named && is_across(*wall));
        let is_clear = |end: [f64; 2]| {
            let start = xy(middle);
            things
                .iter()
                .all(|thing| *thing == start || distance_to_segment(*thing, start, end) > CLEAR_M)
        };
        let (end, off) = foot(named)?;
        let instead = across
            .filter(|_| !is_clear(end))
            .and_then(|wall| foot(wall).ok());
        let (foot_m, figure) = match instead.filter(|(end, _)| is_clear(*end)) {
            Some((end, off)) => (end, self.set.figures.figure(&off)),
            // As it was measured or chosen, not as it comes out of the corners.
            None => {
                let stated = self.set.analysis.number(Some(&from.1));
                (
                    end,
                    self.set.figures.figure(stated.as_ref().unwrap_or(&off)),
                )
            }
        };
        Ok(Distance { foot_m, figure })
    }
}

fn distance_to_segment(point: [f64; 2], from: [f64; 2], to: [f64; 2]) -> f64 {
    let (dx, dy) = (to[0] - from[0], to[1] - from[1]);
    let (px, py) = (point[0] - from[0], point[1] - from[1]);
    let along = ((px * dx + py * dy) / (dx * dx + dy * dy).max(1e-12)).clamp(0.0, 1.0);
    (px - along * dx).hypot(py - along * dy)
}

/// Edges between two planes of the ceiling, and between a plane and a flat part.
pub(super) fn ridges(shape: &SpaceModel) -> Vec<[[f64; 2]; 2]> {
    let Ok(solid) = shape.solid() else {
        return Vec::new();
    };
    let mut owners: BTreeMap<(usize, usize), BTreeSet<usize>> = BTreeMap::new();
    for face in solid.faces() {
        let Surface::Ceiling(plane) = face.surface else {
            continue;
        };
        for ring in &face.loops {
            for (i, from) in ring.iter().enumerate() {
                let to = ring[(i + 1) % ring.len()];
                owners
                    .entry(((*from).min(to), (*from).max(to)))
                    .or_default()
                    .insert(plane);
            }
        }
    }
    let shared = owners.into_iter().filter(|(_, planes)| planes.len() > 1);
    let ends = shared.map(|((from, to), _)| {
        [from, to].map(|vertex| {
            let point = solid.vertices()[vertex];
            [point.x, point.y]
        })
    });
    ends.collect()
}
