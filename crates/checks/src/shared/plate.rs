//! Old plates and cable ends, what is to use them, and how far they can move.

use analysis::{Analysis, Known, Parts, Uncertain, WallRect, item_label};
use model::{Anchor, Cable, Fixture, FixtureKind, Item, Kit, LoudspeakerForm, OnWall, Space, Way};

use crate::Subject;
use crate::cut_out::{self, CutOut, Surface, bars_word};
use crate::moves::{Round, to_spare, written_length};

/// A plate, the thing that is to use it, and the old cable where the job names it.
pub(crate) struct Reuse<'a> {
    pub analysis: &'a Analysis,
    pub space: &'a Space,
    pub item: &'a Item,
    pub plate: &'a Fixture,
    pub cable: Option<&'a Cable>,
}

/// Things on a wall or ceiling that take over a plate. What stands on the floor reaches its
/// plate by a lead, and what has no place of its own sits at the plate anyway.
pub(crate) fn reuses<'a>(analysis: &'a Analysis, space: &'a Space) -> Vec<Reuse<'a>> {
    let cables = || analysis.existing_cables();
    let takes_over =
        analysis.items_in_where(space, "takes over a plate", |_, item| item.reuses.is_some());
    let named = takes_over.filter_map(|item| {
        let id = item.reuses.as_deref()?;
        let cable = cables().find(|cable: &&Cable| cable.existing.as_deref() == Some(id));
        Some((item, id, cable))
    });
    let by_cable = cables().filter_map(|cable: &Cable| {
        let id = cable.existing.as_deref()?;
        let item = at_plate(analysis, cable, id)?;
        let here = analysis.is_in(item, space);
        // It was found by where it belongs: where it hangs is looked at below.
        here.then(|| analysis.item(&item.id))
            .flatten()
            .map(|item| (item, id, Some(cable)))
    });
    let mut found: Vec<Reuse<'a>> = Vec::new();
    for (item, id, cable) in named.chain(by_cable) {
        let placed = item.on.is_some() || item.hung.is_some();
        let known = found.iter().any(|one| one.plate.id == id);
        let plate = space.fixture(id).filter(|plate| is_an_end(plate.kind));
        if let Some(plate) = plate.filter(|_| placed && !known) {
            found.push(Reuse {
                analysis,
                space,
                item,
                plate,
                cable,
            });
        }
    }
    found
}

/// The end of an old cable that comes out at its plate: the far one, if the plate is in its
/// space, else the near one.
fn at_plate<'a>(analysis: &'a Analysis, cable: &Cable, plate: &str) -> Option<&'a Item> {
    [&cable.to, &cable.from].into_iter().find_map(|end| {
        let item = analysis.item_anywhere(end.split('.').next().unwrap_or_default())?;
        let home = analysis.space_with(item, Parts::FIXTURES).ok()?;
        home.fixture(plate)?;
        Some(item)
    })
}

fn is_an_end(kind: FixtureKind) -> bool {
    matches!(
        kind,
        FixtureKind::Plate | FixtureKind::CableEnd | FixtureKind::ConduitEnd
    )
}

/// What a plate meets when it moves within its bay.
pub(crate) struct WayInBay {
    /// Blocks to drill for its cable.
    pub blocks: u32,
    /// The rest of the sentence.
    pub words: String,
}

impl WayInBay {
    fn unsure(words: &str) -> Self {
        Self {
            blocks: 0,
            words: words.to_owned(),
        }
    }
}

impl<'a> Reuse<'a> {
    pub fn plate_label(&self) -> String {
        Subject::fixture(self.plate).label
    }

    pub fn item_label(&self) -> &'a str {
        item_label(self.item)
    }

    pub fn plate_rect(&self, on: &OnWall) -> Known<WallRect> {
        let nothing = || [0.0, 0.0].map(Uncertain::exact);
        // A loose cable end has no size.
        let [width, height] = match (&self.plate.size, on.to) {
            (None, None | Some(Anchor::Centre)) => nothing(),
            _ => (self.analysis.fixture_size(self.space, self.plate))
                .map(|[width, height, _]| [width, height])?,
        };
        let at = format!("space.{}.fixture.{}.on", self.space.id, self.plate.id);
        let size = [&width, &height];
        self.analysis
            .wall_rect(self.space, on, size, Anchor::Centre, &at)
    }

    /// What hides the plate: a picture's outside, an in-wall loudspeaker's hole, else the case.
    pub fn outline(&self, on: &OnWall) -> Known<WallRect> {
        let analysis = self.analysis;
        let kit = analysis.kit_of(self.item);
        let at = format!("item.{}.on", self.item.id);
        match kit {
            Some(Kit::Screen(_) | Kit::Display(_)) => Ok(analysis.picture(self.item)?.outside),
            Some(Kit::Loudspeaker(own)) if own.form == Some(LoudspeakerForm::InWall) => {
                let hole = CutOut {
                    item: self.item,
                    kit: Kit::Loudspeaker(own),
                    surface: Surface::Wall(on),
                };
                let [width, height] = hole.size(analysis)?;
                let [left, up] = hole.middle_on_wall(analysis, self.space, on)?;
                Ok(WallRect {
                    wall: self.space.wall(&on.wall).expect("its middle has a wall"),
                    left: &left - &width / 2.0,
                    right: &left + &width / 2.0,
                    bottom: &up - &height / 2.0,
                    top: &up + &height / 2.0,
                    out: None,
                })
            }
            _ => {
                let [width, height, _] = analysis.item_size(self.item)?;
                analysis.wall_rect(self.space, on, [&width, &height], Anchor::Centre, &at)
            }
        }
    }

    /// What a plate meets on its way to another place inside its bay; `None` when that place
    /// is in another bay, or the wall has none.
    pub fn way_in_bay(&self, plate: &WallRect, right_m: f64, up_m: f64) -> Option<WayInBay> {
        let wall = &self.space.walls[plate.wall].id;
        let Some(built) = self.space.construction_of(wall) else {
            let unsure = "; look behind the board first, what the wall is made of is not known";
            return (right_m == 0.0).then(|| WayInBay::unsure(unsure));
        };
        bars_word(built.framing)?;
        if right_m != 0.0 {
            let first = built.first_from_left.as_ref()?.value()?;
            let spacing = built.spacing.as_ref()?.value()?;
            let face = cut_out::face(self.analysis, built, "").value();
            let bay = ((plate.centre_left().value() - first) / spacing).floor();
            let low = (first + bay * spacing + face / 2.0).max(0.0);
            let high = first + (bay + 1.0) * spacing - face / 2.0;
            let fits = plate.left.value() + right_m >= low && plate.right.value() + right_m <= high;
            fits.then_some(())?;
        }
        let Some(blocks) = &built.fire_block_at else {
            return Some(WayInBay::unsure("; look for a block between first"));
        };
        let from = plate.centre_height().value();
        let (low, high) = (from.min(from + up_m), from.max(from + up_m));
        let between =
            |block: &&model::Length| block.value().is_some_and(|at| at > low && at < high);
        let between: Vec<String> = (blocks.iter().filter(between))
            .filter_map(|block| self.analysis.number(Some(block)))
            .map(|block| self.analysis.length(&block))
            .collect();
        Some(WayInBay {
            blocks: u32::try_from(between.len()).ok()?,
            words: match between.len() {
                0 => String::new(),
                _ => format!(
                    "; its cable has to go through the block at {}: drill it, and seal the hole against fire",
                    between.join(" and ")
                ),
            },
        })
    }

    /// Whether the old cable allows the plate to move, in words; `None` when it is too short.
    pub fn cable_allows(&self, right_m: f64, up_m: f64) -> Option<String> {
        let analysis = self.analysis;
        let unknown = || {
            let overhead = self
                .cable
                .is_none_or(|cable| cable.way != Some(Way::Underfoot));
            // From above, a lower place takes more cable; from below, a higher one.
            let more = right_m.abs() + if overhead { -up_m } else { up_m };
            if more <= 0.0 {
                return "; its cable gets shorter that way".to_owned();
            }
            let more = written_length(analysis, more, Round::Up);
            format!(
                "; pull its cable out first and see whether {more} are to spare, which nobody has measured"
            )
        };
        let Some(cable) = self.cable else {
            return Some(unknown());
        };
        let (Some(length), Ok(route)) = (
            analysis.number(cable.length.as_ref()),
            analysis.route(cable),
        ) else {
            return Some(unknown());
        };
        let need = &route.length * (1.0 + analysis.slack(cable));
        let spare = &length - &need;
        (to_spare(&spare, 0.0) >= 0.0).then(|| {
            format!(
                "; its cable of {} reaches, {} are needed",
                analysis.length(&length),
                analysis.length(&need)
            )
        })
    }
}
