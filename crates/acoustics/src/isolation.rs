//! How much sound does a wall with a door in it let into the next room?
//!
//! `R = −10 log₁₀(Σ S_i 10^(−R_i/10) / Σ S_i)`, `L₂ = L₁ − R + 10 log₁₀(S/A)`
//!
//! | symbol | meaning | unit |
//! | --- | --- | --- |
//! | R, R_i | sound reduction index of the whole, of each part | dB |
//! | S, S_i | area of the whole, of each part | m² |
//! | L₁, L₂ | level in the sending, in the receiving room | dB re 20 µPa |
//! | A | absorption area of the receiving room | m² |
//!
//! Single numbers: R_w (ISO 717-1) shifts the reference curve by whole decibels until the
//! unfavourable deviations sum to at most 32.0 dB over sixteen third octaves (10.0 dB over
//! five octaves, from memory); C and C_tr add the spectra of pink and of traffic noise. STC
//! (ASTM E413) does the same from 125 Hz to 4 kHz with no deficiency above 8 dB.
//!
//! All of it is of the wall itself. In a house sound goes round it as well, by floors, ducts
//! and side walls: what is measured there is commonly 3 to 8 dB less (from memory), and a
//! good wall between light floors is worth no more than they are.

use std::sync::OnceLock;

use units::{Decibels, Hertz, SquareMetres, table};

mod references;
pub(crate) use references::REFERENCES;

/// A part of a wall.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Part {
    /// Its area.
    pub area: SquareMetres,
    /// Its sound reduction index in the band looked at; 0 for a hole.
    pub reduction: Decibels,
}

/// The sound reduction index of a wall of parts; `None` for one without area.
pub fn composite(parts: &[Part]) -> Option<Decibels> {
    let area: f64 = parts.iter().map(|part| part.area.0).sum();
    let through: f64 = (parts.iter())
        .map(|part| part.area.0 * 10_f64.powf(-part.reduction.0 / 10.0))
        .sum();
    let sound = area > 0.0 && parts.iter().all(|part| part.area.0 >= 0.0);
    sound.then(|| Decibels(-10.0 * (through / area).log10()))
}

/// The level in the next room.
pub fn received(
    level: Decibels,
    reduction: Decibels,
    area: SquareMetres,
    absorption: SquareMetres,
) -> Decibels {
    level - reduction + Decibels(10.0 * (area.0 / absorption.0).log10())
}

/// The reduction of a single sheet at normal incidence: `10 log₁₀(1 + (πfm/ρc)²)`.
pub fn mass_law(frequency: Hertz, mass_kg_m2: f64, density_kg_m3: f64, speed_m_s: f64) -> Decibels {
    let ratio = std::f64::consts::PI * frequency.0 * mass_kg_m2 / (density_kg_m3 * speed_m_s);
    Decibels(10.0 * (1.0 + ratio * ratio).log10())
}

/// A weighted sound reduction index and its adaptation terms, whole decibels.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Weighted {
    /// R_w.
    pub index: f64,
    /// R_w + C before it is rounded.
    pub pink: f64,
    /// R_w + C_tr before it is rounded.
    pub traffic: f64,
    /// The sum of unfavourable deviations.
    pub deviations: f64,
}

impl Weighted {
    /// C.
    pub fn c(&self) -> f64 {
        self.pink.round() - self.index
    }

    /// C_tr.
    pub fn c_traffic(&self) -> f64 {
        self.traffic.round() - self.index
    }
}

/// R_w of third octaves from 100 Hz to 3.15 kHz.
pub fn weighted(reductions: &[Decibels; 16]) -> Weighted {
    let curves = iso_curves();
    // Each is first rounded to 0.1 dB, as the standard has it.
    let rounded = reductions.map(|r| (r.0 * 10.0).round() / 10.0);
    let (shift, deviations) = shifted(&rounded, &curves.reference, 32.0, f64::INFINITY);
    let adapted = |spectrum: &[f64]| {
        let sum: f64 = (rounded.iter().zip(spectrum))
            .map(|(r, level)| 10_f64.powf((level - r) / 10.0))
            .sum();
        -10.0 * sum.log10()
    };
    Weighted {
        index: 52.0 + shift,
        pink: adapted(&curves.pink),
        traffic: adapted(&curves.traffic),
        deviations,
    }
}

/// The ISO 717-1 curve in octaves, 125 Hz to 2 kHz.
const OCTAVE_CURVE: [f64; 5] = [36.0, 45.0, 52.0, 55.0, 56.0];

/// R_w of octaves from 125 Hz to 2 kHz.
pub fn weighted_of_octaves(reductions: &[Decibels; 5]) -> f64 {
    let rounded = reductions.map(|r| (r.0 * 10.0).round() / 10.0);
    52.0 + shifted(&rounded, &OCTAVE_CURVE, 10.0, f64::INFINITY).0
}

/// Reductions by octave, 125 Hz to 4 kHz, of a wall known by its R_w alone: the reference
/// curve's own shape, which real walls follow to some 5 dB (common practice).
pub fn octaves_of_weighted(index: f64) -> [Decibels; 6] {
    let shape = [36.0, 45.0, 52.0, 55.0, 56.0, 56.0];
    shape.map(|level| Decibels(level - 52.0 + index))
}

/// The sound transmission class of third octaves from 125 Hz to 4 kHz, each rounded to whole
/// decibels.
pub fn transmission_class(reductions: &[Decibels; 16]) -> f64 {
    let rounded = reductions.map(|r| r.0.round());
    shifted(&rounded, stc_contour(), 32.0, 8.0).0
}

/// The highest whole shift of a curve at which the deviations below it stay within their sum
/// and none is above `each`; with that sum.
fn shifted(reductions: &[f64], curve: &[f64], sum_max: f64, each: f64) -> (f64, f64) {
    let below = |shift: f64| {
        let deviations = (reductions.iter().zip(curve)).map(move |(r, c)| (c + shift - r).max(0.0));
        let largest = deviations.clone().fold(0.0, f64::max);
        (deviations.sum::<f64>(), largest)
    };
    let fits = |shift: f64| {
        let (sum, largest) = below(shift);
        sum <= sum_max + 1e-9 && largest <= each + 1e-9
    };
    // Down from where every value lies far above the curve's end.
    let most = reductions.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let mut shift = (most + 200.0).ceil();
    while !fits(shift) && shift > -1000.0 {
        shift -= 1.0;
    }
    (shift, below(shift).0)
}

struct Curves {
    reference: Vec<f64>,
    pink: Vec<f64>,
    traffic: Vec<f64>,
}

fn iso_curves() -> &'static Curves {
    static CURVES: OnceLock<Curves> = OnceLock::new();
    CURVES.get_or_init(|| {
        let column = |index: usize| {
            table::rows(include_str!("isolation/iso717-1.csv"))
                .map(|row| table::number(row[index]))
                .collect()
        };
        Curves {
            reference: column(1),
            pink: column(2),
            traffic: column(3),
        }
    })
}

fn stc_contour() -> &'static [f64] {
    static CONTOUR: OnceLock<Vec<f64>> = OnceLock::new();
    CONTOUR.get_or_init(|| {
        table::rows(include_str!("isolation/stc.csv"))
            .map(|row| table::number(row[1]))
            .collect()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn column(text: &'static str, index: usize) -> [f64; 16] {
        let column: Vec<f64> = table::rows(text)
            .map(|row| table::number(row[index]))
            .collect();
        column.try_into().expect("sixteen third octaves")
    }

    #[test]
    fn the_worked_example_closes_step_by_step() {
        let text = include_str!("isolation/iso717-1.csv");
        let example = column(text, 4);
        let found = weighted(&example.map(Decibels));
        assert_eq!(
            (found.index, found.c(), found.c_traffic()),
            (30.0, -2.0, -3.0)
        );
        assert!((found.deviations - 31.8).abs() < 1e-9);
        let unfavourable: f64 = (example.iter().zip(column(text, 5)))
            .map(|(r, shifted)| (shifted - r).max(0.0))
            .sum();
        assert!((found.deviations - unfavourable).abs() < 1e-9);
    }

    #[test]
    fn the_eight_decibel_rule_decides_where_it_is_stricter() {
        let example = column(include_str!("isolation/stc.csv"), 2).map(Decibels);
        assert_eq!(transmission_class(&example), 42.0);
        // By the sum alone it is 45.
        let rounded = example.map(|r| r.0);
        let (shift, _) = shifted(&rounded, stc_contour(), 32.0, f64::INFINITY);
        assert_eq!(shift, 45.0);
    }

    #[test]
    fn a_better_wall_rates_no_worse() {
        let mut wall = column(include_str!("isolation/iso717-1.csv"), 4).map(Decibels);
        let before = weighted(&wall).index;
        for band in 0..16 {
            wall[band] = wall[band] + Decibels(3.0);
            assert!(weighted(&wall).index >= before);
        }
        assert_eq!(weighted(&wall).index, before + 3.0);
    }

    #[test]
    fn the_reference_curve_rates_as_itself() {
        for index in [30.0, 45.0, 61.0] {
            let octaves = octaves_of_weighted(index);
            let five = [0, 1, 2, 3, 4].map(|i| octaves[i]);
            // Five octaves may lie 10 dB below it in all: 2 dB each.
            assert_eq!(weighted_of_octaves(&five), index + 2.0);
        }
    }

    #[test]
    fn a_hole_decides_a_wall() {
        let part = |area, reduction| Part {
            area: SquareMetres(area),
            reduction: Decibels(reduction),
        };
        let whole = composite(&[part(10.0, 50.0)]).unwrap().0;
        let holed = composite(&[part(9.9, 50.0), part(0.1, 0.0)]).unwrap().0;
        assert!((whole - 50.0).abs() < 1e-9);
        // 1 % of hole: 20 dB at best.
        assert!((holed - 20.0).abs() < 0.01, "{holed}");
        assert_eq!(composite(&[]), None);
    }
}
