//! How bright a projector's white is on its screen, from both spec sheets.

use analysis::{Analysis, Known, Means, Missing, ProjectorPlace, Uncertain, item_label};
use light::luminance::{FluxFactors, Projection};
use model::Kit;
use units::{Lumens, SquareMetres};

/// Share of the printed lumens that an accurate picture mode keeps, and its 95 % interval:
/// from memory, 50 to 75 %.
const MODE_SHARE: f64 = 0.625;
const MODE_SHARE_TOLERANCE: f64 = 0.125;
/// Share of the light left at the long end of the zoom: from memory, a loss of 20 to 40 %.
const ZOOM_SHARE: f64 = 0.7;
const ZOOM_SHARE_TOLERANCE: f64 = 0.1;
/// The share that the zoom leaves where its throw ratios are not known: anything from all
/// the light to the largest usual loss.
const ZOOM_UNKNOWN: f64 = 0.8;
const ZOOM_UNKNOWN_TOLERANCE: f64 = 0.2;

/// What a screen's white is made of.
pub(crate) struct ScreenLight<'a> {
    pub projector: &'a ProjectorPlace<'a>,
    /// Printed lumens.
    pub lumens: Uncertain,
    /// Share of them in the picture mode used.
    pub mode: Uncertain,
    /// Share of a source's light that its age leaves.
    pub kept: f64,
    /// The screen's gain.
    pub gain: Uncertain,
    /// Throw ratios of the zoom's ends and the share left at the long one.
    zoom: Zoom,
    /// The lit share of the chip.
    chip: f64,
}

enum Zoom {
    Ends {
        wide: Uncertain,
        long: Uncertain,
        share: Uncertain,
    },
    Somewhere(Uncertain),
}

impl<'a> ScreenLight<'a> {
    /// The light of a projector whose source has `kept` of its light left.
    pub fn of(analysis: &Analysis, projector: &'a ProjectorPlace<'a>, kept: f64) -> Known<Self> {
        let kit = projector.kit;
        let id = &kit.common.id;
        let name = item_label(projector.item);
        let path = |fact: &str| format!("kit.projector.{id}.{fact}");
        let lumens = analysis.number(kit.lumens.as_ref()).ok_or_else(|| {
            let what = format!("the light that {id} gives, in lumens");
            Missing::new(what, path("lumens"), Means::SpecSheet)
        })?;
        let screen = projector.screen;
        let gain = match analysis.kit_of(screen) {
            Some(Kit::Screen(kit)) => analysis.number(kit.gain.as_ref()),
            _ => None,
        };
        let gain = gain.ok_or_else(|| {
            let at = format!("kit.screen.{}.gain", screen.is);
            Missing::new(format!("the gain of {}", screen.is), at, Means::SpecSheet)
        })?;
        let mode = analysis.number(kit.mode_share.as_ref()).unwrap_or_else(|| {
            let what = format!("the share of light that the picture mode of {name} keeps");
            analysis.assumed(&what, &path("mode_share"), MODE_SHARE, MODE_SHARE_TOLERANCE)
        });
        let end = |index: usize| analysis.number(Some(&kit.throw.as_ref()?[index]));
        let zoom = match (end(0), end(1)) {
            (Some(a), Some(b)) => Zoom::Ends {
                wide: a.min(&b),
                long: a.max(&b),
                share: analysis.number(kit.zoom_share.as_ref()).unwrap_or_else(|| {
                    let what = format!("the share of light left at the long end of {name}'s zoom");
                    analysis.assumed(&what, &path("zoom_share"), ZOOM_SHARE, ZOOM_SHARE_TOLERANCE)
                }),
            },
            _ => {
                let what = format!("the share of light that the zoom of {name} keeps");
                let at = path("throw");
                Zoom::Somewhere(analysis.assumed(&what, &at, ZOOM_UNKNOWN, ZOOM_UNKNOWN_TOLERANCE))
            }
        };
        // A chip without stated elements is taken as 16:9.
        let chip_aspect = kit
            .resolution
            .filter(|[_, down]| *down > 0)
            .map_or(16.0 / 9.0, |[across, down]| {
                f64::from(across) / f64::from(down)
            });
        let fill = projector.picture.aspect / chip_aspect;
        Ok(Self {
            projector,
            lumens,
            mode,
            kept,
            gain,
            zoom,
            chip: fill.min(1.0 / fill),
        })
    }

    /// Share of the light that the zoom keeps for a picture of a width, taken as falling
    /// evenly from the wide end to the long one.
    pub fn zoom(&self, width: &Uncertain) -> Uncertain {
        match &self.zoom {
            Zoom::Somewhere(share) => share.clone(),
            Zoom::Ends { wide, long, .. } if long.value() <= wide.value() => Uncertain::exact(1.0),
            Zoom::Ends { wide, long, share } => {
                let throw = &self.projector.lens.distance / width;
                let along = ((throw - wide) / (long - wide))
                    .max(&Uncertain::exact(0.0))
                    .min(&Uncertain::exact(1.0));
                1.0 - (1.0 - share) * along
            }
        }
    }

    /// The greatest distance at which the zoom leaves a share of the light for a picture of a
    /// width, m: below zero where no distance does, nothing where each does.
    pub fn reach_m(&self, width_m: f64, needed: f64) -> Option<f64> {
        const NOWHERE_M: f64 = -1000.0;
        let everywhere = |share: f64| (share < needed).then_some(NOWHERE_M);
        let [wide, long, share] = match &self.zoom {
            Zoom::Somewhere(share) => return everywhere(share.value()),
            Zoom::Ends { wide, long, share } => [wide, long, share].map(Uncertain::value),
        };
        if needed > 1.0 || long <= wide {
            return everywhere(1.0);
        }
        let along = (1.0 - needed) / (1.0 - share);
        (needed > share).then_some(width_m * (wide + (long - wide) * along))
    }

    /// White on the screen, cd/m².
    pub fn white(&self) -> Known<Uncertain> {
        let white = self.white_on(&self.projector.picture.width());
        if white.value().is_finite() {
            return Ok(white);
        }
        let what = format!(
            "a gain, a picture and shares of light above zero for {} and {}",
            item_label(self.projector.item),
            item_label(self.projector.screen)
        );
        let at = format!("kit.screen.{}.gain", self.projector.screen.is);
        Err(Missing::new(what, at, Means::SpecSheet))
    }

    /// White on a picture of a width, cd/m²; not a number outside the engine's range.
    pub fn white_on(&self, width: &Uncertain) -> Uncertain {
        let zoom = self.zoom(width);
        let aspect = self.projector.picture.aspect;
        uncertainty::through(
            [&self.lumens, &self.mode, &zoom, &self.gain, width],
            |[lumens, mode, zoom, gain, width_m]| {
                let lit = Lit {
                    lumens,
                    // A share that a spread carries above 1 is still no gain of light.
                    mode: mode.min(1.0),
                    zoom: zoom.min(1.0),
                    age: self.kept,
                    chip: self.chip,
                    gain,
                    width_m,
                    aspect,
                };
                white_cd_m2(&lit)
            },
        )
    }
}

/// A picture and its light in plain numbers.
pub(crate) struct Lit {
    pub lumens: f64,
    pub mode: f64,
    pub zoom: f64,
    pub age: f64,
    pub chip: f64,
    pub gain: f64,
    pub width_m: f64,
    pub aspect: f64,
}

/// L = Φ k g / (π A); not a number outside the engine's range.
pub(crate) fn white_cd_m2(lit: &Lit) -> f64 {
    let projection = Projection {
        factors: FluxFactors {
            mode: lit.mode,
            zoom: lit.zoom,
            age: lit.age,
            chip: lit.chip,
        },
        gain: lit.gain,
        area: SquareMetres(lit.width_m * lit.width_m / lit.aspect),
    };
    projection
        .luminance(Lumens(lit.lumens))
        .map_or(f64::NAN, |luminance| luminance.0)
}
