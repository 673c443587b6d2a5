//! How far may wood or a display stand out near a masonry fireplace opening?
//!
//! IRC R1001.11 exception 4: within 12 in of the opening combustible trim may
//! project 1/8 in for each inch of its distance from the opening; nothing
//! combustible within 6 in. Local codes and some public pages turn the ratio
//! round, so the rule is an argument and the sheet must say which code.
//! A factory-built fireplace follows its label and nothing here.

use units::Metres;

use units::guard::non_negative;

/// The rule of one code.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FireplaceRule {
    /// Nothing combustible closer than this.
    pub bare: Metres,
    /// The ratio applies up to this distance.
    pub near: Metres,
    /// Projection allowed over distance from the opening.
    pub ratio: f64,
}

impl FireplaceRule {
    /// 6 in, 12 in, 1/8.
    pub const IRC: Self = Self {
        bare: Metres(6.0 * 0.0254),
        near: Metres(12.0 * 0.0254),
        ratio: 0.125,
    };
    /// Where the rule of `IRC` stands.
    pub const CITE: &str =
        "IRC R1001.11 exception 4 (confirmed: 2018 text quoted in a builder's article); NFPA 211";
}

/// What may project at one distance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Projection {
    /// Nothing combustible at all.
    Nothing,
    /// At most this far.
    AtMost(Metres),
    /// Not limited by this rule.
    Free,
}

/// What may project at this distance from the opening.
pub fn projection(distance: Metres, rule: &FireplaceRule) -> Option<Projection> {
    let d = non_negative(distance.0)?;
    Some(if d < rule.bare.0 {
        Projection::Nothing
    } else if d <= rule.near.0 {
        Projection::AtMost(Metres(d * rule.ratio))
    } else {
        Projection::Free
    })
}

/// The least distance from the opening at which a thing that stands out this far is allowed:
/// the projection over the ratio, never below `bare`, and no more than `near`.
pub fn distance_needed(projection: Metres, rule: &FireplaceRule) -> Option<Metres> {
    let out = non_negative(projection.0)?;
    let by_ratio = out / rule.ratio;
    // A rule whose ratio is zero allows nothing to stand out within its reach.
    let by_ratio = if by_ratio.is_nan() { 0.0 } else { by_ratio };
    Some(Metres(by_ratio.min(rule.near.0).max(rule.bare.0)))
}

/// A combustible thing near the opening.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Combustible {
    /// Distance from the opening, along the wall.
    pub distance: Metres,
    /// How far it stands out of the wall.
    pub projection: Metres,
}

impl Combustible {
    /// Projection allowed less projection; below zero it fails. Within the bare zone nothing is
    /// allowed, so the margin is what the thing lacks in distance, negative. `None` for a bad
    /// number; `Some(None)` when the rule sets no limit.
    pub fn margin(&self, rule: &FireplaceRule) -> Option<Option<Metres>> {
        let out = non_negative(self.projection.0)?;
        Some(match projection(self.distance, rule)? {
            Projection::Nothing => Some(self.distance - rule.bare),
            Projection::AtMost(limit) => Some(limit - Metres(out)),
            Projection::Free => None,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn margin_in(distance_in: f64, projection_in: f64) -> Option<f64> {
        let thing = Combustible {
            distance: Metres::from_inches(distance_in),
            projection: Metres::from_inches(projection_in),
        };
        thing
            .margin(&FireplaceRule::IRC)
            .unwrap()
            .map(Metres::inches)
    }

    #[test]
    fn board_8_in_above_that_projects_1_1_4_in_fails_by_a_quarter() {
        assert!((margin_in(8.0, 1.25).unwrap() + 0.25).abs() < 1e-9);
        assert!(margin_in(8.0, 1.0).unwrap().abs() < 1e-9);
    }

    #[test]
    fn distance_needed_is_the_rule_turned_round() {
        let needed_in = |out_in: f64| {
            let out = Metres::from_inches(out_in);
            distance_needed(out, &FireplaceRule::IRC).unwrap().inches()
        };
        assert!((needed_in(0.0) - 6.0).abs() < 1e-9);
        assert!((needed_in(1.25) - 10.0).abs() < 1e-9);
        assert!((needed_in(8.0) - 12.0).abs() < 1e-9);
        assert_eq!(distance_needed(Metres(-0.1), &FireplaceRule::IRC), None);
    }

    #[test]
    fn zones_end_where_they_should() {
        assert!((margin_in(5.0, 0.1).unwrap() + 1.0).abs() < 1e-9);
        assert!((margin_in(6.0, 0.75).unwrap()).abs() < 1e-9);
        assert!((margin_in(12.0, 1.5).unwrap()).abs() < 1e-9);
        assert_eq!(margin_in(12.01, 10.0), None);
        assert_eq!(projection(Metres(f64::NAN), &FireplaceRule::IRC), None);
    }
}
