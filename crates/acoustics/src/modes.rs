//! At which frequencies does a box room resonate, and how evenly are they spread?
//!
//! `f = c/2 √((n_x/L_x)² + (n_y/L_y)² + (n_z/L_z)²)`
//!
//! `N(f) ≈ 4πV/3 (f/c)³ + πS/4 (f/c)² + L/8 (f/c)`, `L = 4 (L_x + L_y + L_z)`
//!
//! | symbol | meaning | unit |
//! | --- | --- | --- |
//! | n_x, n_y, n_z | half waves along each side, not all 0 | 1 |
//! | L_x, L_y, L_z | sides of the room | m |
//! | c | speed of sound | m/s |
//! | N(f) | modes up to f, the smooth law | 1 |
//! | V, S, L | volume, surface, length of all edges | m³, m², m |
//!
//! Valid for six rigid, flat, parallel walls. Light walls and doors shift real
//! modes by 3 to 8 %; any other shape needs the wave equation.

use units::{Hertz, Metres, MetresPerSecond, Seconds};

use crate::octave::third_octave;

mod references;
pub(crate) use references::REFERENCES;

/// More modes than any design looks at; a request beyond it is a mistake in units.
const MODES_MAX: f64 = 200_000.0;

/// How many pairs of walls a mode runs between.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum ModeKind {
    /// One.
    Axial,
    /// Two.
    Tangential,
    /// All three.
    Oblique,
}

/// A resonance of the room.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mode {
    /// Its frequency.
    pub frequency: Hertz,
    /// Half waves along the three sides.
    pub order: [u32; 3],
}

impl Mode {
    /// Axial, tangential or oblique.
    pub fn kind(&self) -> ModeKind {
        match self.order.iter().filter(|&&n| n > 0).count() {
            0 | 1 => ModeKind::Axial,
            2 => ModeKind::Tangential,
            _ => ModeKind::Oblique,
        }
    }
}

/// Why a room has no list of modes.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum ModesError {
    /// A side is not a positive length.
    #[error("a side of {0} m is not a side of a room")]
    Side(f64),
    /// The frequency or the speed is not a positive number.
    #[error("frequency and speed of sound must be positive numbers")]
    NotPositive,
    /// Too many to list.
    #[error("about {0:.0} modes up to that frequency are too many to list")]
    TooMany(f64),
}

/// A rectangular room with rigid walls.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BoxRoom {
    sides_m: [f64; 3],
    speed: MetresPerSecond,
}

impl BoxRoom {
    /// A room of three sides in air of that speed of sound.
    pub fn new(sides: [Metres; 3], speed: MetresPerSecond) -> Result<Self, ModesError> {
        let sides_m = sides.map(|side| side.0);
        if let Some(bad) = sides_m.into_iter().find(|m| !(*m > 0.0 && m.is_finite())) {
            return Err(ModesError::Side(bad));
        }
        if !(speed.0 > 0.0 && speed.0.is_finite()) {
            return Err(ModesError::NotPositive);
        }
        Ok(Self { sides_m, speed })
    }

    /// The frequency of one mode.
    pub fn mode(&self, order: [u32; 3]) -> Mode {
        let [x, y, z] = [0, 1, 2].map(|i| f64::from(order[i]) / self.sides_m[i]);
        Mode {
            frequency: Hertz(self.speed.0 / 2.0 * x.hypot(y).hypot(z)),
            order,
        }
    }

    /// Every mode up to and including a frequency, lowest first.
    pub fn modes(&self, up_to: Hertz) -> Result<Vec<Mode>, ModesError> {
        if !(up_to.0 > 0.0 && up_to.0.is_finite()) {
            return Err(ModesError::NotPositive);
        }
        let expected = self.count_smooth(up_to);
        if expected > MODES_MAX {
            return Err(ModesError::TooMany(expected));
        }
        // The smooth count bounds each of these, so they fit.
        let last = self
            .sides_m
            .map(|side| (2.0 * side * up_to.0 / self.speed.0) as u32 + 1);
        let mut modes = Vec::new();
        for x in 0..=last[0] {
            for y in 0..=last[1] {
                let row = (0..=last[2]).map(|z| self.mode([x, y, z]));
                let heard = row.take_while(|mode| mode.frequency.0 <= up_to.0);
                modes.extend(heard.filter(|mode| mode.order != [0; 3]));
            }
        }
        modes.sort_by(|a, b| {
            a.frequency
                .0
                .total_cmp(&b.frequency.0)
                .then(a.order.cmp(&b.order))
        });
        Ok(modes)
    }

    /// The smooth law for the number of modes up to a frequency, N(f).
    pub fn count_smooth(&self, up_to: Hertz) -> f64 {
        use std::f64::consts::PI;
        let [x, y, z] = self.sides_m;
        let k = up_to.0 / self.speed.0;
        let volume = x * y * z;
        let surface = 2.0 * (x * y + y * z + z * x);
        let edges = 4.0 * (x + y + z);
        4.0 * PI * volume / 3.0 * k.powi(3) + PI * surface / 4.0 * k.powi(2) + edges / 8.0 * k
    }

    /// Bonello's test of this room; see [`Bonello`]. Modes within `tolerance` of
    /// each other count as coincident.
    pub fn bonello(&self, tolerance: Hertz) -> Result<Bonello, ModesError> {
        let top = third_octave(BONELLO_LAST).upper;
        let modes = self.modes(top)?;
        let bands = (BONELLO_FIRST..=BONELLO_LAST).map(|index| {
            let band = third_octave(index);
            let inside: Vec<Mode> = modes
                .iter()
                .copied()
                .filter(|mode| (band.lower.0..band.upper.0).contains(&mode.frequency.0))
                .collect();
            BandModes {
                centre: band.nominal,
                count: inside.len(),
                coincident: !coincident(&inside, tolerance).is_empty(),
            }
        });
        Ok(Bonello {
            bands: bands.collect(),
        })
    }
}

/// Third octaves 20 to 200 Hz, counted from 1 kHz.
const BONELLO_FIRST: i32 = -17;
const BONELLO_LAST: i32 = -7;

/// Modes per third octave from 20 to 200 Hz (exact base-ten edges).
///
/// Bonello, J. Audio Eng. Soc. 29 (1981), from memory: the count must not fall
/// from one band to the next, and modes may coincide only in bands of five or more.
#[derive(Clone, Debug, PartialEq)]
pub struct Bonello {
    /// The bands, lowest first.
    pub bands: Vec<BandModes>,
}

/// The modes of one third octave.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BandModes {
    /// The band's nominal frequency.
    pub centre: Hertz,
    /// Modes from its lower edge up to, not including, its upper edge.
    pub count: usize,
    /// Whether two of them coincide.
    pub coincident: bool,
}

impl Bonello {
    /// The bands with fewer modes than the band below.
    pub fn falls_at(&self) -> Vec<Hertz> {
        let pairs = self.bands.windows(2);
        pairs
            .filter(|pair| pair[1].count < pair[0].count)
            .map(|pair| pair[1].centre)
            .collect()
    }

    /// The bands of fewer than five modes in which two coincide.
    pub fn crowded_at(&self) -> Vec<Hertz> {
        let crowded = self
            .bands
            .iter()
            .filter(|band| band.coincident && band.count < 5);
        crowded.map(|band| band.centre).collect()
    }

    /// Whether both rules are kept.
    pub fn holds(&self) -> bool {
        self.falls_at().is_empty() && self.crowded_at().is_empty()
    }
}

/// Neighbouring modes no more than `tolerance` apart, as pairs; `modes` lowest first.
pub fn coincident(modes: &[Mode], tolerance: Hertz) -> Vec<[Mode; 2]> {
    let close = |pair: &&[Mode]| pair[1].frequency.0 - pair[0].frequency.0 <= tolerance.0;
    modes
        .windows(2)
        .filter(close)
        .map(|pair| [pair[0], pair[1]])
        .collect()
}

/// The distance from each mode to the next; `modes` lowest first.
pub fn spacings(modes: &[Mode]) -> Vec<Hertz> {
    modes
        .windows(2)
        .map(|pair| pair[1].frequency - pair[0].frequency)
        .collect()
}

/// The half-power width of a mode that dies away with reverberation time T,
/// `Δf = 2.2/T` (3 ln 10 / π T exactly).
pub fn half_width(time: Seconds) -> Hertz {
    Hertz(3.0 * std::f64::consts::LN_10 / (std::f64::consts::PI * time.0))
}

/// The lowest notch from a hard wall behind a source, `f = c/4d`.
pub fn quarter_wave_notch(distance: Metres, speed: MetresPerSecond) -> Hertz {
    Hertz(speed.0 / (4.0 * distance.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use units::table;

    fn room(sides: [f64; 3]) -> BoxRoom {
        BoxRoom::new(sides.map(Metres), MetresPerSecond(343.0)).unwrap()
    }

    #[test]
    fn the_separately_computed_modes_are_all_found() {
        for (name, sides) in [
            ("box_7x5x2.7", [7.0, 5.0, 2.7]),
            ("rotbox_6x4.2x2.5_any_plan_angle", [6.0, 4.2, 2.5]),
        ] {
            let listed: Vec<f64> = table::rows(include_str!("modes/rigid.csv"))
                .filter(|row| row[0] == name)
                .map(|row| row[2].parse().unwrap())
                .collect();
            assert!(listed.len() > 70, "{name}");
            // The list's digits must not cut off its own last mode.
            let found = room(sides)
                .modes(Hertz(listed[listed.len() - 1] + 1e-3))
                .unwrap();
            assert_eq!(found.len(), listed.len(), "{name}");
            for (mode, listed) in found.iter().zip(listed) {
                assert!(
                    (mode.frequency.0 - listed).abs() <= 1e-4,
                    "{mode:?} against {listed}"
                );
            }
        }
    }

    #[test]
    fn third_octaves_hold_the_cited_counts() {
        // sum over base-ten third octaves 20 to 200 Hz, c = 343 m/s; computed apart.
        for (sides, counts) in [
            ([7.0, 5.0, 2.7], [0, 1, 1, 1, 1, 4, 8, 10, 22, 37, 77]),
            ([6.0, 4.5, 2.6], [0, 0, 1, 1, 1, 3, 7, 6, 18, 32, 52]),
            ([5.0, 5.0, 2.5], [0, 0, 2, 0, 1, 3, 5, 9, 10, 32, 51]),
        ] {
            let bonello = room(sides).bonello(Hertz(0.0)).unwrap();
            let found: Vec<usize> = bonello.bands.iter().map(|band| band.count).collect();
            assert_eq!(found, counts, "{sides:?}");
        }
    }

    #[test]
    fn bonello_passes_one_room_and_names_where_the_others_fail() {
        let test = |sides| room(sides).bonello(Hertz(0.1)).unwrap();
        assert!(test([7.0, 5.0, 2.7]).falls_at().is_empty());
        assert_eq!(test([6.0, 4.5, 2.6]).falls_at(), [Hertz(100.0)]);
        let square = test([5.0, 5.0, 2.5]);
        assert_eq!(square.falls_at(), [Hertz(40.0)]);
        // 1 0 0 and 0 1 0 are one frequency.
        assert!(square.crowded_at().contains(&Hertz(31.5)));
        assert!(!square.holds());
    }

    #[test]
    fn a_cube_has_its_modes_in_threes() {
        let modes = room([4.0; 3]).modes(Hertz(50.0)).unwrap();
        assert_eq!(coincident(&modes, Hertz(1e-9)).len(), 2);
        assert!(spacings(&modes).iter().all(|gap| gap.0.abs() < 1e-9));
        assert!(modes.iter().all(|mode| mode.kind() == ModeKind::Axial));
    }

    #[test]
    fn kinds_count_the_walls() {
        let kind = |order| room([6.0, 4.5, 2.6]).mode(order).kind();
        assert_eq!(kind([2, 0, 0]), ModeKind::Axial);
        assert_eq!(kind([1, 0, 1]), ModeKind::Tangential);
        assert_eq!(kind([1, 1, 1]), ModeKind::Oblique);
    }

    #[test]
    fn impossible_questions_are_refused() {
        let speed = MetresPerSecond(343.0);
        assert!(BoxRoom::new([Metres(0.0); 3], speed).is_err());
        assert!(BoxRoom::new([Metres(f64::NAN); 3], speed).is_err());
        assert!(BoxRoom::new([Metres(3.0); 3], MetresPerSecond(0.0)).is_err());
        let room = room([6.0, 4.5, 2.6]);
        assert!(matches!(
            room.modes(Hertz(20_000.0)),
            Err(ModesError::TooMany(_))
        ));
        assert_eq!(room.modes(Hertz(f64::NAN)), Err(ModesError::NotPositive));
    }
}
