//! Does sound meet the picture?
//!
//! ```text
//! t = t_sound + d/c − t_picture
//! ```
//!
//! | symbol | meaning | unit |
//! |---|---|---|
//! | t | sound after the picture; below zero it is early | s |
//! | t_sound, t_picture | sum of the delays of the devices that each passes | s |
//! | d | from the loudspeaker to the listener | m |
//! | c | speed of sound, 343.2 m/s at 20 °C | m/s |
//!
//! A source sends both at once, so its own delay is in neither sum.

use units::{Metres, Seconds};

/// Speed of sound in dry air at 20 °C (ISO 9613-1).
pub const SPEED_OF_SOUND_M_S: f64 = 343.2;

/// How early and how late sound may be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SyncLimits {
    /// Before the picture, at most.
    pub early: Seconds,
    /// After the picture, at most.
    pub late: Seconds,
}

/// Sooner or later is noticed (ITU-R BT.1359-1, considering g; confirmed on public pages).
pub const DETECTABLE: SyncLimits = SyncLimits {
    early: Seconds(0.045),
    late: Seconds(0.125),
};
/// Sooner or later is not accepted (ITU-R BT.1359-1, recommends 2; confirmed on public pages).
pub const ACCEPTABLE: SyncLimits = SyncLimits {
    early: Seconds(0.090),
    late: Seconds(0.185),
};

/// Sound after the picture at a listener; `None` for what is no number or a negative delay.
pub fn sound_after_picture(sound: Seconds, picture: Seconds, distance: Metres) -> Option<Seconds> {
    let given = [sound.0, picture.0, distance.0];
    (given.iter().all(|value| value.is_finite() && *value >= 0.0))
        .then(|| Seconds(sound.0 + distance.0 / SPEED_OF_SOUND_M_S - picture.0))
}

impl SyncLimits {
    /// What is left to the nearer limit; below zero it is passed.
    pub fn margin(&self, after: Seconds) -> Seconds {
        Seconds((after.0 + self.early.0).min(self.late.0 - after.0))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_frame_of_film_is_fourteen_metres_of_air() {
        // 1/24 s by hand: 41.667 ms · 343.2 m/s = 14.3 m.
        let after = sound_after_picture(Seconds(0.0), Seconds(1.0 / 24.0), Metres(14.3));
        assert!(after.unwrap().0.abs() < 1e-9);
    }

    #[test]
    fn a_slow_picture_makes_sound_early() {
        let after = sound_after_picture(Seconds(0.005), Seconds(0.1), Metres(3.432)).unwrap();
        assert!((after.0 + 0.085).abs() < 1e-12);
        assert!((ACCEPTABLE.margin(after).0 - 0.005).abs() < 1e-12);
        assert!((DETECTABLE.margin(after).0 + 0.040).abs() < 1e-12);
        assert!((DETECTABLE.margin(Seconds(0.125)).0).abs() < 1e-12);
    }

    #[test]
    fn nonsense_gives_no_answer() {
        assert_eq!(
            sound_after_picture(Seconds(-0.1), Seconds(0.0), Metres(1.0)),
            None
        );
        assert_eq!(
            sound_after_picture(Seconds(0.0), Seconds(f64::NAN), Metres(1.0)),
            None
        );
    }
}
