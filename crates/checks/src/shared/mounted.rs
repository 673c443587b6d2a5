//! A mount on a wall, what it carries, and where its screws meet the wall.

use analysis::{Analysis, Known, Means, Missing, Uncertain, item_label};
use model::{Anchor, Construction, Edit, Item, Kit, MountKit, OnWall, Space};
use structure::framing::FACE_WIDTH;

use crate::cut_out::construction_path;
use crate::moves::{Round, from_left, to_spare, written_length};

/// A mount on a wall with what hangs on it.
pub(crate) struct Mounted<'a> {
    pub analysis: &'a Analysis,
    pub space: &'a Space,
    pub item: &'a Item,
    pub kit: &'a MountKit,
    pub carried: Vec<&'a Item>,
}

/// Mounts of a space that carry something.
pub(crate) fn mounts<'a>(
    analysis: &'a Analysis,
    space: &'a Space,
) -> impl Iterator<Item = Mounted<'a>> {
    let mounts = analysis.items_in_where(space, "is a mount", |analysis, item| {
        matches!(analysis.kit_of(item), Some(Kit::Mount(_)))
    });
    mounts.filter_map(move |item| {
        let Some(Kit::Mount(kit)) = analysis.kit_of(item) else {
            return None;
        };
        let carried: Vec<&Item> = analysis.carried_by(item).collect();
        (!carried.is_empty()).then_some(Mounted {
            analysis,
            space,
            item,
            kit,
            carried,
        })
    })
}

impl<'a> Mounted<'a> {
    /// What the mount's spec sheet lacks.
    pub fn unsaid(&self, what: &str, fact: &str) -> Missing {
        Missing::new(
            format!("{what} of {}", self.item.is),
            format!("kit.mount.{}.{fact}", self.item.is),
            Means::SpecSheet,
        )
    }

    /// The wall it is on: its own place, else that of what it carries.
    pub fn on(&self) -> Option<(&'a Item, &'a OnWall)> {
        let own = self.item.on.as_ref().map(|on| (self.item, on));
        own.or_else(|| {
            let carried = self.carried.iter();
            carried
                .filter_map(|item| Some((*item, item.on.as_ref()?)))
                .next()
        })
    }

    /// Words for what it carries.
    pub fn burden(&self) -> String {
        let names: Vec<&str> = self.carried.iter().map(|item| item_label(item)).collect();
        names.join(" and ")
    }

    /// Mass of one thing that it carries.
    pub fn mass_of(&self, item: &Item) -> Known<Uncertain> {
        let kit = self.analysis.kit_of(item);
        let mass = kit.and_then(|kit| self.analysis.number(kit.common().mass.as_ref()));
        mass.ok_or_else(|| {
            let kind = kit.map_or("?", Kit::kind);
            Missing::new(
                format!("the mass of {}", item.is),
                format!("kit.{kind}.{}.mass", item.is),
                Means::SpecSheet,
            )
        })
    }

    /// Mass of all that it carries.
    pub fn burden_mass(&self) -> Known<Uncertain> {
        let mut sum = Uncertain::exact(0.0);
        for item in &self.carried {
            sum = sum + self.mass_of(item)?;
        }
        Ok(sum)
    }

    /// What the wall is made of.
    pub fn construction(&self, wall: &str) -> Known<&'a Construction> {
        self.space.construction_of(wall).ok_or_else(|| {
            Missing::new(
                format!("what wall {wall} of {} is made of", self.space.label()),
                format!("space.{}.construction", self.space.id),
                Means::StudFinder,
            )
        })
    }

    /// Where the middle of the plate is, from the wall's left corner.
    pub fn middle(&self) -> Known<Uncertain> {
        let ask = || {
            Missing::new(
                format!("where {} is on its wall", item_label(self.item)),
                format!("item.{}.on", self.item.id),
                Means::Decide,
            )
        };
        let (placed, on) = self.on().ok_or_else(ask)?;
        let given = self
            .analysis
            .number(on.from_left.as_ref())
            .ok_or_else(ask)?;
        let [across, _] = on.to.unwrap_or(Anchor::Centre).offset();
        if across == 0.0 {
            return Ok(given);
        }
        let [width, ..] = self.analysis.item_size(placed)?;
        Ok(given - width * (across / 2.0))
    }

    /// Screws in one row; two rows.
    pub fn columns(&self) -> Known<u32> {
        let screws = self.kit.screws.filter(|screws| *screws > 0);
        let screws = screws.ok_or_else(|| self.unsaid("the number of wall screws", "screws"))?;
        Ok(screws.div_ceil(2))
    }

    /// Distances of the columns of screws from the plate's middle, to the right.
    pub fn column_offsets(&self) -> Known<Vec<Uncertain>> {
        let columns = self.columns()?;
        if columns == 1 {
            return Ok(vec![Uncertain::exact(0.0)]);
        }
        let spread = (self.analysis.number(self.kit.screw_spread.as_ref())).ok_or_else(|| {
            self.unsaid(
                "the distance between the outer screws of a row",
                "screw_spread",
            )
        })?;
        let part = |column: u32| f64::from(column) / f64::from(columns - 1) - 0.5;
        Ok((0..columns).map(|column| &spread * part(column)).collect())
    }

    pub fn screw_diameter(&self) -> Known<Uncertain> {
        (self.analysis.number(self.kit.screw_diameter.as_ref()))
            .ok_or_else(|| self.unsaid("the diameter of the wall screws", "screw_diameter"))
    }

    /// Moves the mount and all on the same wall that it carries; what to say and to edit.
    pub fn shifted(&self, by_m: f64) -> Option<(String, Vec<Edit>)> {
        let analysis = self.analysis;
        let (_, on) = self.on()?;
        let mut edits = Vec::new();
        for item in std::iter::once(&self.item).chain(&self.carried) {
            let Some(place) = item.on.as_ref().filter(|place| place.wall == on.wall) else {
                continue;
            };
            let moved = place.from_left.as_ref()?.value()? + by_m;
            if moved <= 0.0 {
                return None;
            }
            edits.push(from_left(analysis, item, moved, Round::Nearest));
        }
        let says = format!(
            "Move {} with {} {} to the {}",
            item_label(self.item),
            self.burden(),
            written_length(analysis, by_m.abs(), Round::Nearest),
            if by_m > 0.0 { "right" } else { "left" },
        );
        Some((says, edits))
    }
}

/// The studs behind a mount.
pub(crate) struct Studs {
    /// Centres from the wall's left corner, m.
    pub centres: Vec<Uncertain>,
    /// Width of a stud's face, m.
    pub face: Uncertain,
}

impl Studs {
    pub fn behind(mounted: &Mounted, wall: &str, made_of: &Construction) -> Known<Self> {
        Self::of(mounted.analysis, mounted.space, wall, made_of)
    }

    /// All the studs of a wall.
    pub fn of(
        analysis: &Analysis,
        space: &Space,
        wall: &str,
        made_of: &Construction,
    ) -> Known<Self> {
        /// Studs are laid out along one tape and nailed to a mark: common practice.
        const LAYOUT_M: f64 = 0.003;
        let at = construction_path(space, wall);
        let ask = |what: &str, field: &str| {
            let what = format!("{what} of wall {wall} in {}", space.label());
            Missing::new(what, format!("{at}.{field}"), Means::StudFinder)
        };
        let first = (analysis.number(made_of.first_from_left.as_ref())).ok_or_else(|| {
            ask(
                "the distance from the left corner to the first stud",
                "first_from_left",
            )
        })?;
        let spacing = (analysis.number(made_of.spacing.as_ref()))
            .ok_or_else(|| ask("the spacing of the studs", "spacing"))?;
        let face = (analysis.number(made_of.face.as_ref())).unwrap_or_else(|| FACE_WIDTH.0.into());
        let length = (space.walls.iter().find(|one| one.id == wall))
            .and_then(|one| analysis.number(one.length.as_ref()))
            .ok_or_else(|| {
                let at = format!("space.{}.walls.{wall}.length", space.id);
                Missing::new(format!("the length of wall {wall}"), at, Means::Tape)
            })?;
        let bars = structure::framing::Framing {
            first: units::Metres(first.value()),
            spacing: units::Metres(spacing.value()),
            face: units::Metres(face.value()),
            length: units::Metres(length.value()),
        };
        let count = (bars.bars())
            .ok_or_else(|| {
                ask(
                    "a spacing and a first stud that lie on the wall,",
                    "spacing",
                )
            })?
            .centres()
            .len();
        // A spacing read off a tape as one that houses are framed by is that very spacing.
        let spacing = usual(&spacing).map_or(spacing, Uncertain::exact);
        let layout = analysis.assumed(
            &format!("how far the studs of wall {wall} are off their marks"),
            &format!("{at}.layout"),
            0.0,
            LAYOUT_M,
        );
        let centre = |stud: usize| {
            let off = if stud == 0 {
                Uncertain::exact(0.0)
            } else {
                layout.clone()
            };
            &first + &spacing * stud as f64 + off
        };
        Ok(Self {
            centres: (0..count).map(centre).collect(),
            face,
        })
    }

    /// From a screw to the nearer side of the stud that it is nearest to; negative beside it.
    pub fn cover(&self, screw: &Uncertain) -> Uncertain {
        // Centres ascend, so the nearest is the last one before the screw or the next.
        let next = (self.centres).partition_point(|centre| centre.value() < screw.value());
        let near = [next.checked_sub(1), Some(next)];
        let near = near
            .into_iter()
            .flatten()
            .filter_map(|stud| self.centres.get(stud));
        let off = near
            .map(|centre| (screw - centre).abs())
            .reduce(|near, next| {
                if next.value() < near.value() {
                    next
                } else {
                    near
                }
            })
            .expect("framing has at least one bar");
        &self.face / 2.0 - off
    }

    /// The smallest move, m, after which every outer screw is this deep within a stud's face
    /// for certain; where the studs are not known that well, as far as they are known. A
    /// ruler's step is left for writing the place down.
    pub fn shift(
        &self,
        middle: &Uncertain,
        offsets: &[Uncertain],
        least_m: f64,
        step_m: f64,
    ) -> Option<f64> {
        let (first, last) = (offsets.first()?, offsets.last()?);
        let spread = last.value() - first.value();
        let mut moves: Vec<f64> = Vec::new();
        for (index, left) in self.centres.iter().enumerate() {
            // No other pair of studs lies under both columns.
            let far = |right: &&Uncertain| {
                (right.value() - left.value() - spread).abs() <= self.face.value()
            };
            moves.extend(self.centres[index..].iter().filter(far).map(|right| {
                (left.value() + right.value() - first.value() - last.value()) / 2.0 - middle.value()
            }));
        }
        let margins =
            |by: f64| [first, last].map(|offset| self.cover(&(middle + offset + by)) - least_m);
        let smallest = |spare: fn(&Uncertain) -> f64| {
            (moves.iter().copied())
                .filter(|by| {
                    margins(*by)
                        .iter()
                        .all(|margin| spare(margin) >= step_m / 2.0)
                })
                .min_by(|a, b| a.abs().total_cmp(&b.abs()))
        };
        smallest(|margin| to_spare(margin, 0.0)).or_else(|| smallest(Uncertain::value))
    }
}

/// The usual spacing that a measured one is within its uncertainty of: 16 and 24 in, and
/// 400 and 600 mm where houses are framed in metres (from memory).
pub(crate) fn usual(spacing: &Uncertain) -> Option<f64> {
    const METRIC_M: [f64; 2] = [0.4, 0.6];
    let inches = structure::framing::SPACINGS.map(|spacing| spacing.0);
    let within = analysis::COVERAGE_FACTOR * spacing.standard_uncertainty();
    let near = |usual: &f64| (usual - spacing.value()).abs();
    (inches.into_iter().chain(METRIC_M))
        .filter(|usual| near(usual) <= within.max(1e-6))
        .min_by(|a, b| near(a).total_cmp(&near(b)))
}
