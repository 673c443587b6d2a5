//! How dense is the timber a fixing sits in, and where may the fixing sit?

use std::sync::OnceLock;

use units::Metres;

use units::guard::positive;
use units::table::{number, rows};

/// Timber by its oven-dry specific gravity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Species {
    /// Group of species, as lumber is stamped.
    pub group: &'static str,
    /// Oven-dry specific gravity G (NDS table 12.3.3A, in a public copy of table 12.2A).
    pub specific_gravity: f64,
}

/// Every group of the withdrawal table.
pub fn species() -> &'static [Species] {
    static TABLE: OnceLock<Vec<Species>> = OnceLock::new();
    TABLE.get_or_init(|| {
        let species = |row: Vec<&'static str>| Species {
            group: row[1],
            specific_gravity: number(row[0]),
        };
        rows(include_str!("nds-lag-withdrawal.csv"))
            .map(species)
            .collect()
    })
}

/// Specific gravity of a group, spelled as the table spells it.
pub fn specific_gravity(group: &str) -> Option<f64> {
    species()
        .iter()
        .find(|species| species.group == group)
        .map(|species| species.specific_gravity)
}

/// Specific gravity to plan with when the stamp can't be read: the lightest common framing,
/// spruce-pine-fir (NDS table 12.3.3A, confirmed).
pub const SPECIFIC_GRAVITY_UNKNOWN: f64 = 0.42;

/// A specific gravity within the range of the tables, 0.31 to 0.73.
pub(crate) fn within_tables(specific_gravity: f64) -> Option<f64> {
    (0.31..=0.73)
        .contains(&specific_gravity)
        .then_some(specific_gravity)
}

/// Factors on a tabulated connection value (NDS table 11.3.1); each 1 leaves it alone.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Adjustments {
    /// C_D, load duration: 0.9 permanent, 1.0 ten years, 1.6 wind (from memory).
    pub load_duration: f64,
    /// C_M, wet service: 1.0 dry, 0.7 damp (from memory).
    pub wet_service: f64,
    /// C_t, temperature: 1.0 up to 38 °C (from memory).
    pub temperature: f64,
    /// C_Δ, geometry: 1.0 at full edge, end and spacing distances, shear only (from memory).
    pub geometry: f64,
}

impl Adjustments {
    /// Dry and permanent: 0.9, 1, 1, 1 (from memory).
    pub const PERMANENT_DRY: Self = Self {
        load_duration: 0.9,
        wet_service: 1.0,
        temperature: 1.0,
        geometry: 1.0,
    };

    /// The product of all; `None` unless each is above 0 and at most 2.
    pub fn product(&self) -> Option<f64> {
        let all = [
            self.load_duration,
            self.wet_service,
            self.temperature,
            self.geometry,
        ];
        all.iter().try_fold(1.0, |product, factor| {
            Some(product * positive(*factor).filter(|factor| *factor <= 2.0)?)
        })
    }
}

/// Least distances as multiples of the fastener's diameter.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spacing {
    /// To the edge.
    pub edge: f64,
    /// To the end, load away from it or across.
    pub end: f64,
    /// To the end, load towards it in tension.
    pub end_tension: f64,
    /// Between fasteners along the grain.
    pub between: f64,
}

impl Spacing {
    /// 1.5, 4, 7 and 4 diameters.
    pub const NDS: Self = Self {
        edge: 1.5,
        end: 4.0,
        end_tension: 7.0,
        between: 4.0,
    };
    /// Where the multiples of `NDS` stand.
    pub const CITE: &str = "NDS 12.5 (from memory)";
}

/// Distance to the edge less the least; negative is too near.
pub fn edge_margin(edge: EdgeDistance, spacing: &Spacing) -> Option<Metres> {
    let least = positive(spacing.edge)? * positive(edge.diameter.0)?;
    Some(Metres(positive(edge.distance.0)? - least))
}

/// A fastener near the edge of a member.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EdgeDistance {
    /// From the centre of the fastener to the edge.
    pub distance: Metres,
    /// Diameter of the fastener.
    pub diameter: Metres,
}

/// Pilot hole over the shank diameter for the thread of a lag screw, low and high end (NDS
/// 12.1.4, from memory); `None` outside the densities of the tables.
pub fn lag_pilot_parts(specific_gravity: f64) -> Option<[f64; 2]> {
    let g = within_tables(specific_gravity)?;
    Some(if g > 0.6 {
        [0.65, 0.85]
    } else if g >= 0.5 {
        [0.60, 0.75]
    } else {
        [0.40, 0.70]
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn groups_by_name() {
        assert_eq!(species().len(), 7);
        assert_eq!(
            specific_gravity("spruce-pine-fir"),
            Some(SPECIFIC_GRAVITY_UNKNOWN)
        );
        assert_eq!(specific_gravity("hem-fir"), Some(0.43));
        assert_eq!(specific_gravity("balsa"), None);
    }

    #[test]
    fn adjustments_multiply() {
        assert_eq!(Adjustments::PERMANENT_DRY.product(), Some(0.9));
        let damp = Adjustments {
            wet_service: 0.7,
            ..Adjustments::PERMANENT_DRY
        };
        assert!((damp.product().unwrap() - 0.63).abs() < 1e-12);
        assert_eq!(
            Adjustments {
                geometry: 0.0,
                ..damp
            }
            .product(),
            None
        );
    }

    #[test]
    fn three_eighths_lag_fits_the_middle_of_a_stud_only() {
        let at = |distance_in: f64| EdgeDistance {
            distance: Metres::from_inches(distance_in),
            diameter: Metres::from_inches(0.375),
        };
        assert!(edge_margin(at(0.75), &Spacing::NDS).unwrap().0 > 0.0);
        assert!(edge_margin(at(0.5), &Spacing::NDS).unwrap().0 < 0.0);
    }

    #[test]
    fn denser_wood_wants_a_larger_pilot() {
        assert!(lag_pilot_parts(0.67).unwrap()[0] > lag_pilot_parts(0.55).unwrap()[0]);
        assert_eq!(lag_pilot_parts(1.0), None);
    }
}
