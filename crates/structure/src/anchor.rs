//! What does an anchor in masonry hold, near edges and near its neighbours?
//!
//! `f = f_min + (1 − f_min)(c − c_min)/(c_cr − c_min)`: full at the critical
//! distance, `f_min` at the least, nothing nearer.

use std::sync::OnceLock;

use units::{Metres, Newtons};

use crate::quantity::newtons;
use units::guard::positive;
use units::table::{number, rows};

/// How a distance takes away from a value.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reduction {
    /// Full value from here on.
    pub critical: Metres,
    /// Nearer is not allowed.
    pub least: Metres,
    /// Part of the value kept at the least distance, 0 to 1.
    pub factor_at_least: f64,
}

impl Reduction {
    /// Part of the value kept at this distance; `None` nearer than the least, and for a rule that
    /// contradicts itself.
    pub fn factor(&self, distance: Metres) -> Option<f64> {
        let (c, least, critical) = (
            positive(distance.0)?,
            positive(self.least.0)?,
            positive(self.critical.0)?,
        );
        let low = positive(self.factor_at_least).filter(|low| *low <= 1.0)?;
        // A distance drawn exactly at the least may miss it by the last bit of a float.
        if c < least - 1e-9 || critical <= least {
            return None;
        }
        Some((low + (1.0 - low) * (c - least) / (critical - least)).clamp(low, 1.0))
    }
}

/// One anchor of the table, allowable-stress values with their safety factor inside.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Anchor {
    /// What it sits in.
    pub base: &'static str,
    /// Nominal diameter.
    pub diameter: Metres,
    /// Depth in the base.
    pub embedment: Metres,
    /// Allowable tension at full distances.
    pub tension: Newtons,
    /// Allowable shear at full distances.
    pub shear: Newtons,
    /// Spacing, on tension and shear alike.
    pub spacing: Reduction,
    /// Edge, on tension.
    pub edge_tension: Reduction,
    /// Edge, on shear.
    pub edge_shear: Reduction,
}

/// Every anchor of the table (confirmed on a public page).
pub fn anchors() -> &'static [Anchor] {
    static TABLE: OnceLock<Vec<Anchor>> = OnceLock::new();
    TABLE.get_or_init(|| {
        let anchor = |row: Vec<&'static str>| {
            let inches = |column: usize| Metres::from_inches(number(row[column]));
            let edge = |factor: usize| Reduction {
                critical: inches(6),
                least: inches(8),
                factor_at_least: number(row[factor]),
            };
            Anchor {
                base: row[0],
                diameter: inches(1),
                embedment: inches(2),
                tension: newtons(number(row[3])),
                shear: newtons(number(row[4])),
                spacing: Reduction {
                    critical: inches(5),
                    least: inches(7),
                    factor_at_least: number(row[9]),
                },
                edge_tension: edge(10),
                edge_shear: edge(11),
            }
        };
        rows(include_str!("masonry-anchors.csv"))
            .map(anchor)
            .collect()
    })
}

/// Where an anchor sits.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// To the nearest edge or opening.
    pub edge: Metres,
    /// To the nearest other anchor; `None` for one alone.
    pub neighbour: Option<Metres>,
}

/// Allowable pull and shear of one anchor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AnchorValue {
    /// Tension.
    pub tension: Newtons,
    /// Shear.
    pub shear: Newtons,
}

impl Anchor {
    /// What it holds at a place; `None` nearer than the least distances.
    pub fn value(&self, place: &Place) -> Option<AnchorValue> {
        let spacing = match place.neighbour {
            Some(distance) => self.spacing.factor(distance)?,
            None => 1.0,
        };
        Some(AnchorValue {
            tension: self.tension * (spacing * self.edge_tension.factor(place.edge)?),
            shear: self.shear * (spacing * self.edge_shear.factor(place.edge)?),
        })
    }
}

impl AnchorValue {
    /// Straight-line interaction `T/T_a + V/V_a`; above 1 it fails (the usual form of such tables,
    /// from memory).
    pub fn use_of(&self, load: &AnchorValue) -> Option<f64> {
        use units::guard::non_negative;
        let part = |load: Newtons, value: Newtons| Some(non_negative(load.0)? / positive(value.0)?);
        Some(part(load.tension, self.tension)? + part(load.shear, self.shear)?)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::pounds_force;

    fn inches(x: f64) -> Metres {
        Metres::from_inches(x)
    }

    #[test]
    fn factors_at_the_ends_of_the_table() {
        let anchor = anchors()[0];
        let far = Place {
            edge: inches(10.0),
            neighbour: None,
        };
        assert!((pounds_force(anchor.value(&far).unwrap().tension) - 550.0).abs() < 1e-6);
        let least = Place {
            edge: inches(1.25),
            neighbour: Some(inches(2.0)),
        };
        let value = anchor.value(&least).unwrap();
        assert!((pounds_force(value.tension) - 550.0 * 0.25 * 0.60).abs() < 1e-6);
        assert!((pounds_force(value.shear) - 405.0 * 0.20 * 0.60).abs() < 1e-6);
        assert_eq!(
            anchor.value(&Place {
                edge: inches(1.2),
                ..least
            }),
            None
        );
        assert_eq!(
            anchor.value(&Place {
                neighbour: Some(inches(1.9)),
                ..far
            }),
            None
        );
    }

    #[test]
    fn deeper_holds_more() {
        assert_eq!(anchors().len(), 2);
        assert!(anchors()[1].tension > anchors()[0].tension);
    }

    #[test]
    fn interaction_adds_up() {
        let value = AnchorValue {
            tension: Newtons(1000.0),
            shear: Newtons(500.0),
        };
        let load = AnchorValue {
            tension: Newtons(600.0),
            shear: Newtons(250.0),
        };
        assert!((value.use_of(&load).unwrap() - 1.1).abs() < 1e-12);
        assert_eq!(
            value.use_of(&AnchorValue {
                tension: Newtons(f64::NAN),
                ..load
            }),
            None
        );
    }

    #[test]
    fn a_rule_that_contradicts_itself_gives_no_answer() {
        let rule = Reduction {
            critical: inches(1.0),
            least: inches(2.0),
            factor_at_least: 0.5,
        };
        assert_eq!(rule.factor(inches(3.0)), None);
    }
}
