//! How much sound does a finish absorb?
//!
//! Random-incidence absorption coefficients by octave, 125 Hz to 8 kHz, found by
//! the table's key (`carpet_1.35_kg_m2`) or by what the trade calls the finish
//! (`carpet-on-pad`). Books differ by ±0.1 for curtains, carpets and thin panels
//! at 125 and 250 Hz. Coefficients above 1 (edge effect) stand as measured.

use std::collections::HashMap;
use std::sync::OnceLock;

use units::SquareMetres;

use crate::octave::Octaves;
use crate::reverberation::Part;
use units::table;

/// How a row was come by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mark {
    /// Seen at the place that the row names.
    Confirmed,
    /// Recalled, not seen again.
    FromMemory,
    /// By the formula that the row names.
    Computed,
}

/// What the numbers of a row count.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Counts {
    /// Absorption coefficients: times the area covered.
    PerArea,
    /// Absorption area of one person or piece, m².
    Each,
}

/// One row of the table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Finish {
    /// The name in the table.
    pub key: &'static str,
    /// What it is.
    pub description: &'static str,
    /// Absorption by octave, 125 Hz to 8 kHz.
    pub absorption: Octaves<f64>,
    /// Whether the absorption is per area or of one piece.
    pub counts: Counts,
    /// How the row was come by.
    pub mark: Mark,
    /// The row's source in full, with its mark.
    pub source: &'static str,
}

/// No finish of that name.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("there is no finish {name:?}; the nearest names are {}", .nearest.join(", "))]
pub struct UnknownFinish {
    /// The name asked for.
    pub name: String,
    /// The three names most like it.
    pub nearest: Vec<&'static str>,
}

impl Finish {
    /// The mean of 250 Hz to 2 kHz, rounded to 0.05 (the noise reduction
    /// coefficient of ASTM C423; from memory). `None` for pieces.
    pub fn noise_reduction_coefficient(&self) -> Option<f64> {
        if self.counts == Counts::Each {
            return None;
        }
        let bands: Option<Vec<f64>> = self.absorption[1..5].iter().copied().collect();
        let mean = bands?.iter().sum::<f64>() / 4.0;
        Some((mean * 20.0).round() / 20.0)
    }

    /// The finish as a part of a room: `amount` is an area in m², or a number of
    /// pieces for a finish that counts them.
    pub fn part(&self, amount: f64) -> Part {
        match self.counts {
            Counts::PerArea => Part::Surface(SquareMetres(amount), self.absorption),
            Counts::Each => Part::Objects(amount, self.absorption),
        }
    }
}

/// What the trade calls some of the rows.
const ALIASES: [(&str, &str); 24] = [
    ("armchair", "armchair_upholstered"),
    ("brick", "brick_wall_rough"),
    ("carpet-on-concrete", "carpet_heavy_on_concrete"),
    ("carpet-on-pad", "carpet_1.35_kg_m2"),
    ("ceramic-tile", "ceramic_tiles"),
    ("concrete", "unpainted_concrete"),
    ("concrete-block-painted", "concrete_block_painted"),
    ("curtain-heavy", "curtain_heavy_half"),
    ("curtain-light", "curtain_light_flat"),
    ("curtain-medium", "curtain_medium_half"),
    ("door", "wooden_door"),
    ("fabric-sofa", "chairs_heavy_upholstered"),
    ("gypsum-double-on-studs", "plasterboard"),
    ("gypsum-on-battens", "ceiling_plasterboard"),
    ("gypsum-on-studs", "gypsum_12mm_studs"),
    ("leather-sofa", "chairs_upholstered_leather"),
    ("person", "person_standing"),
    ("plaster-on-lath", "plaster_lath"),
    ("plaster-on-masonry", "hard_surface"),
    ("rug", "felt_5mm"),
    ("sofa", "chairs_heavy_upholstered"),
    ("tile", "ceramic_tiles"),
    ("window", "double_glazing_10mm"),
    ("wood-on-joists", "wood_floor_joists"),
];

/// What the trade calls a row besides its key.
pub fn aliases(key: &str) -> impl Iterator<Item = &'static str> {
    let of_row = ALIASES.iter().filter(move |(_, row)| *row == key);
    of_row.map(|(alias, _)| *alias)
}

/// Every row, in the order of the table.
pub fn finishes() -> &'static [Finish] {
    static FINISHES: OnceLock<Vec<Finish>> = OnceLock::new();
    FINISHES.get_or_init(|| {
        table::rows(include_str!("finishes/absorption.csv"))
            .map(|row| finish_row(&row))
            .collect()
    })
}

/// The finish of that key or alias; hyphens and underscores are one.
pub fn finish(name: &str) -> Result<&'static Finish, UnknownFinish> {
    // Most are written as they are spelled.
    (by_name().get(name))
        .or_else(|| by_name().get(&spelled(name)))
        .copied()
        .ok_or_else(|| UnknownFinish {
            name: name.to_owned(),
            nearest: names_by_likeness(name).into_iter().take(3).collect(),
        })
}

/// Each row by its key and its aliases as [`spelled`]. A room asks for some ten finishes
/// each time that it is judged.
fn by_name() -> &'static HashMap<String, &'static Finish> {
    static BY_NAME: OnceLock<HashMap<String, &'static Finish>> = OnceLock::new();
    BY_NAME.get_or_init(|| {
        let keys: HashMap<String, &Finish> = (finishes().iter().rev())
            .map(|row| (spelled(row.key), row))
            .collect();
        let aliases = ALIASES.iter().rev();
        let renamed: Vec<_> = aliases
            .filter_map(|(alias, key)| Some((spelled(alias), *keys.get(&spelled(key))?)))
            .collect();
        keys.into_iter().chain(renamed).collect()
    })
}

/// Every key and alias, the one most like `name` first.
pub fn names_by_likeness(name: &str) -> Vec<&'static str> {
    let wanted = spelled(name);
    let keys = finishes().iter().map(|row| row.key);
    let mut names: Vec<(f64, &'static str)> = keys
        .chain(ALIASES.iter().map(|(alias, _)| *alias))
        .map(|name| {
            (
                strsim::normalized_damerau_levenshtein(&wanted, &spelled(name)),
                name,
            )
        })
        .collect();
    names.sort_by(|one, other| other.0.total_cmp(&one.0).then(one.1.cmp(other.1)));
    names.into_iter().map(|(_, name)| name).collect()
}

fn finish_row(row: &[&'static str]) -> Finish {
    let source = row[10];
    Finish {
        key: row[0],
        description: row[1],
        absorption: [2, 3, 4, 5, 6, 7, 8].map(|i| table::number_or_blank(row[i])),
        counts: if row[9] == "m2_each" {
            Counts::Each
        } else {
            Counts::PerArea
        },
        mark: match source.split(':').next() {
            Some("confirmed") => Mark::Confirmed,
            Some("computed") => Mark::Computed,
            _ => Mark::FromMemory,
        },
        source,
    }
}

fn spelled(name: &str) -> String {
    name.trim().to_lowercase().replace(['-', ' '], "_")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_is_read_with_its_mark() {
        let count = |mark| finishes().iter().filter(|row| row.mark == mark).count();
        let marks = [Mark::Confirmed, Mark::FromMemory, Mark::Computed].map(count);
        assert_eq!((finishes().len(), marks), (67, [47, 17, 3]));
        for row in finishes() {
            let head = row.source.split(':').next().unwrap();
            assert!(
                ["confirmed", "computed", "from memory"].contains(&head),
                "{}",
                row.key
            );
            assert!(
                row.absorption[..6].iter().all(Option::is_some),
                "{}",
                row.key
            );
            assert!(
                row.absorption
                    .iter()
                    .flatten()
                    .all(|a| (0.0..1.3).contains(a))
            );
        }
    }

    #[test]
    fn every_alias_names_a_row_and_hides_none() {
        for (alias, key) in ALIASES {
            assert_eq!(finish(alias).unwrap().key, key);
            let hidden = finishes()
                .iter()
                .find(|row| spelled(row.key) == spelled(alias));
            assert!(hidden.is_none_or(|row| row.key == key), "{alias}");
        }
    }

    #[test]
    fn trade_names_give_the_handbook_rows() {
        let octaves = |name| {
            finish(name)
                .unwrap()
                .absorption
                .map(|alpha| alpha.unwrap_or(-1.0))
        };
        let gypsum = [0.29, 0.10, 0.05, 0.04, 0.07, 0.09, -1.0];
        assert_eq!(octaves("gypsum-on-studs"), gypsum);
        assert_eq!(octaves("gypsum_12mm_studs"), gypsum);
        assert_eq!(
            octaves("carpet-on-pad"),
            [0.08, 0.24, 0.57, 0.69, 0.71, 0.73, -1.0]
        );
        assert_eq!(
            octaves("wood on joists"),
            [0.15, 0.11, 0.10, 0.07, 0.06, 0.07, -1.0]
        );
    }

    #[test]
    fn a_misspelt_name_is_answered_with_the_nearest() {
        let error = finish("gypsum-on-stud").unwrap_err();
        assert_eq!(error.nearest[0], "gypsum-on-studs");
        assert_eq!(names_by_likeness("x").len(), 67 + ALIASES.len());
    }

    #[test]
    fn noise_reduction_coefficient_is_the_rounded_mean() {
        // (0.24 + 0.57 + 0.69 + 0.71) / 4 = 0.5525.
        assert_eq!(
            finish("carpet-on-pad")
                .unwrap()
                .noise_reduction_coefficient(),
            Some(0.55)
        );
        assert_eq!(
            finish("person").unwrap().noise_reduction_coefficient(),
            None
        );
    }
}
