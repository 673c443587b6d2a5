//! Where a space is in the frame of another that it is joined to: turned and moved.

use analysis::{Analysis, Known, Means, Missing, Vector3};
use geometry::Point3;
use model::Space;

/// A turn about the vertical and a move: best estimates.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Frame {
    origin: [f64; 3],
    /// The x axis of the space in plan; y is square to it.
    along: [f64; 2],
}

impl Frame {
    pub(crate) const OWN: Self = Self {
        origin: [0.0; 3],
        along: [1.0, 0.0],
    };

    /// The frame of `space` as seen from `home`.
    pub(crate) fn of(analysis: &Analysis, space: &Space, home: &Space) -> Known<Self> {
        if space.id == home.id {
            return Ok(Self::OWN);
        }
        let (there, here) = (
            Self::in_house(analysis, space)?,
            Self::in_house(analysis, home)?,
        );
        if there.0 != here.0 {
            return Err(Missing::new(
                format!("how {} and {} are joined", space.label(), home.label()),
                format!("space.{}.joined", space.id),
                Means::Look,
            ));
        }
        let (there, here) = (there.1, here.1);
        let origin = here.back(there.origin);
        let [x, y] = here.along;
        // The turn between both: there's axis in here's axes.
        let along = [
            there.along[0] * x + there.along[1] * y,
            there.along[1] * x - there.along[0] * y,
        ];
        Ok(Self { origin, along })
    }

    fn in_house(analysis: &Analysis, space: &Space) -> Known<(String, Self)> {
        let at = |x, y| analysis.in_house(space, &Vector3::new(x, y, 0.0));
        let (house, origin) = at(0.0, 0.0)?;
        let (_, ahead) = at(1.0, 0.0)?;
        let (origin, ahead) = (origin.value(), ahead.value());
        let along = [ahead[0] - origin[0], ahead[1] - origin[1]];
        Ok((house, Self { origin, along }))
    }

    /// A point of the space, seen from home.
    pub(crate) fn out(&self, [x, y, z]: [f64; 3]) -> [f64; 3] {
        let [cos, sin] = self.along;
        [
            self.origin[0] + cos * x - sin * y,
            self.origin[1] + sin * x + cos * y,
            self.origin[2] + z,
        ]
    }

    /// A point of home, seen from the space.
    pub(crate) fn back(&self, [x, y, z]: [f64; 3]) -> [f64; 3] {
        let [cos, sin] = self.along;
        let (x, y) = (x - self.origin[0], y - self.origin[1]);
        [cos * x + sin * y, cos * y - sin * x, z - self.origin[2]]
    }
}

pub(crate) fn point([x, y, z]: [f64; 3]) -> Point3 {
    Point3 { x, y, z }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn there_and_back_is_the_same_point() {
        let frame = Frame {
            origin: [2.0, -1.0, 0.3],
            along: [0.6, 0.8],
        };
        let there = frame.out([1.0, 2.0, 0.5]);
        // By hand: 2 + 0.6 − 1.6, −1 + 0.8 + 1.2.
        assert!((there[0] - 1.0).abs() < 1e-12 && (there[1] - 1.0).abs() < 1e-12);
        let back = frame.back(there);
        for (one, other) in back.iter().zip([1.0, 2.0, 0.5]) {
            assert!((one - other).abs() < 1e-12);
        }
    }
}
