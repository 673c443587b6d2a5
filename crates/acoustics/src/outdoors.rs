//! How does sound outdoors go by the ground and by house walls?
//!
//! Each flat face mirrors the ear: what arrives by it goes straight from the source to the ear's
//! image, `e = k q/r²` beside the direct `q/r²`, added by power (octaves, not tones). By a wall and
//! the ground both, the image is mirrored in both, which is exact where they meet square.
//!
//! | symbol | meaning | unit |
//! | --- | --- | --- |
//! | e | energy at the ear, re 1 m before the source on its axis | 1 |
//! | q | the source's share in that direction, re its axis | 1 |
//! | r | from the source to the ear's image | m |
//! | k | what the face gives back of the energy: 1 − α, of two faces the product | 1 |
//!
//! From wall to wall, round a corner, over a fence and by wind are left out.

/// A flat face outdoors.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Face {
    /// The ground, at a height of nothing.
    Ground,
    /// A wall upright on it.
    Wall(Wall),
}

/// A wall outdoors.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wall {
    /// Its left end, m.
    pub left_m: [f64; 2],
    /// To its right, of length 1.
    pub along: [f64; 2],
    /// Away from the house, of length 1 and square to that.
    pub outward: [f64; 2],
    /// m
    pub length_m: f64,
    /// m
    pub height_m: f64,
}

/// What stands nearer to a wall than this is part of it, m.
const ON_WALL_M: f64 = 0.01;

impl Face {
    /// A point mirrored in it.
    pub fn mirrored(&self, point: [f64; 3]) -> [f64; 3] {
        let [x, y, z] = point;
        match self {
            Self::Ground => [x, y, -z],
            Self::Wall(wall) => {
                let off = 2.0 * wall.height_of(point);
                [x - off * wall.outward[0], y - off * wall.outward[1], z]
            }
        }
    }
}

impl Wall {
    /// From its plane outward, m.
    fn height_of(&self, [x, y, _]: [f64; 3]) -> f64 {
        (x - self.left_m[0]) * self.outward[0] + (y - self.left_m[1]) * self.outward[1]
    }

    /// Along it from its left end, m.
    fn along_of(&self, [x, y, _]: [f64; 3]) -> f64 {
        (x - self.left_m[0]) * self.along[0] + (y - self.left_m[1]) * self.along[1]
    }

    /// Whether the way from a source to an ear's image meets it, and not only its plane.
    fn is_met(&self, source: [f64; 3], ear: [f64; 3], image: [f64; 3]) -> bool {
        let [near, far] = [source, ear].map(|point| self.height_of(point));
        if near < ON_WALL_M || far < 0.0 {
            return false;
        }
        let part = near / (near + far);
        let [from, to] = [source, ear].map(|point| self.along_of(point));
        let along = from + part * (to - from);
        // By the ground as well it comes up again as high as it went below.
        let up = (source[2] + part * (image[2] - source[2])).abs();
        (0.0..=self.length_m).contains(&along) && up <= self.height_m
    }
}

/// The way from a source to an ear by faces, each met once: to the ear's image, m. Nothing where
/// a wall among them is not met.
pub fn way_by(faces: &[Face], source: [f64; 3], ear: [f64; 3]) -> Option<[f64; 3]> {
    let image = faces.iter().fold(ear, |point, face| face.mirrored(point));
    let is_met = faces.iter().all(|face| match face {
        Face::Ground => source[2] >= 0.0 && ear[2] >= 0.0,
        Face::Wall(wall) => wall.is_met(source, ear, image),
    });
    is_met.then(|| [0, 1, 2].map(|axis| image[axis] - source[axis]))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Along x from (0, 0), the garden towards −y.
    const HOUSE: Wall = Wall {
        left_m: [0.0, 0.0],
        along: [1.0, 0.0],
        outward: [0.0, -1.0],
        length_m: 10.0,
        height_m: 3.0,
    };

    fn energy(faces: &[Face], source: [f64; 3], ear: [f64; 3]) -> f64 {
        let way = way_by(faces, source, ear).unwrap_or([f64::INFINITY; 3]);
        1.0 / way.iter().map(|part| part * part).sum::<f64>()
    }

    fn gain_db(all: &[&[Face]], source: [f64; 3], ear: [f64; 3]) -> f64 {
        let sum: f64 = all.iter().map(|faces| energy(faces, source, ear)).sum();
        10.0 * (sum / energy(&[], source, ear)).log10()
    }

    #[test]
    fn hard_ground_under_a_source_doubles_its_energy() {
        // Half the space takes all of the power: +3.01 dB.
        let gain = gain_db(&[&[], &[Face::Ground]], [2.0, -2.0, 0.0], [6.0, -5.0, 1.1]);
        assert!((gain - 3.0103).abs() < 1e-4, "{gain}");
    }

    #[test]
    fn where_ground_and_wall_meet_four_sources_stand_for_one() {
        let wall = Face::Wall(HOUSE);
        let all: [&[Face]; 4] = [&[], &[Face::Ground], &[wall], &[wall, Face::Ground]];
        let gain = gain_db(&all, [5.0, -0.011, 0.0], [5.0, -9.0, 0.0]);
        // 10 lg 4, less what 22 mm are to 9 m.
        assert!((gain - 6.0206).abs() < 0.02, "{gain}");
    }

    #[test]
    fn ways_are_told_by_hand() {
        // Both 1 m up, 4 m apart: by the ground √(16 + 4) m.
        let way = way_by(&[Face::Ground], [0.0, -1.0, 1.0], [4.0, -1.0, 1.0]).unwrap();
        assert_eq!(way, [4.0, 0.0, -2.0]);
        // 2 m and 1 m before the wall, 4 m along it: √(16 + 9) m = 5 m.
        let way = way_by(&[Face::Wall(HOUSE)], [2.0, -2.0, 1.0], [6.0, -1.0, 1.0]).unwrap();
        assert_eq!(way, [4.0, 3.0, 0.0]);
    }

    #[test]
    fn a_way_there_is_as_long_as_the_way_back() {
        let faces = [Face::Wall(HOUSE), Face::Ground];
        let (one, other) = ([2.0, -3.0, 0.4], [7.0, -1.5, 1.1]);
        let length = |way: [f64; 3]| way[0].hypot(way[1]).hypot(way[2]);
        let there = length(way_by(&faces, one, other).unwrap());
        let back = length(way_by(&faces, other, one).unwrap());
        assert!((there - back).abs() < 1e-12);
    }

    #[test]
    fn beside_over_and_behind_a_wall_nothing_comes_back() {
        let by = |source, ear| way_by(&[Face::Wall(HOUSE)], source, ear).is_some();
        assert!(by([2.0, -2.0, 1.0], [6.0, -2.0, 1.0]));
        // 2 m past its end on both sides.
        assert!(!by([12.0, -2.0, 1.0], [14.0, -2.0, 1.0]));
        assert!(!by([2.0, -2.0, 4.0], [6.0, -2.0, 3.5]));
        assert!(!by([2.0, 2.0, 1.0], [6.0, -2.0, 1.0]));
        assert!(!by([2.0, 0.0, 1.0], [6.0, -2.0, 1.0]));
    }
}
