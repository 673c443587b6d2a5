//! How hard can a screw be pulled before it draws out of the wood?
//!
//! ```text
//! lag screw   W = 1800 G^1.5 D^0.75     NDS 12.2.1     end grain × 0.75
//! wood screw  W = 2850 G² D             NDS 12.2.2     never in end grain
//! ```
//!
//! | symbol | meaning | unit |
//! |---|---|---|
//! | W | reference withdrawal value per length of thread | lbf/in |
//! | G | oven-dry specific gravity, 0.31 to 0.73 | 1 |
//! | D | nominal (unthreaded) diameter | in |
//!
//! Reference values: multiply by [`crate::wood::Adjustments`]. The thread
//! counts that lies in the wood, without the tapered tip and without what
//! board and plate take away.

use units::{Metres, Newtons};

use crate::quantity::NewtonsPerMetre;
use crate::wood::within_tables;
use units::guard::positive;

/// Part of the side-grain value a lag screw keeps in end grain (NDS 12.2.1, confirmed on a
/// public page).
pub const LAG_END_GRAIN: f64 = 0.75;

/// The side of the member the screw enters.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Grain {
    /// Across the fibres, as into the face or edge of a stud.
    Side,
    /// Along the fibres, as into the end of a joist.
    End,
}

/// A screw in wood.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Screw {
    /// Nominal diameter: of a lag 6 to 32 mm, of a wood screw 2 to 10 mm.
    pub diameter: Metres,
    /// Specific gravity of the wood.
    pub specific_gravity: f64,
    /// Side entered.
    pub grain: Grain,
}

impl Screw {
    /// Reference withdrawal value as a lag screw.
    pub fn lag_withdrawal(&self) -> Option<NewtonsPerMetre> {
        let g = within_tables(self.specific_gravity)?;
        let d = self.diameter_in(0.236..=1.26)?;
        let end = if self.grain == Grain::End {
            LAG_END_GRAIN
        } else {
            1.0
        };
        let w = 1800.0 * g.powf(1.5) * d.powf(0.75) * end;
        Some(NewtonsPerMetre::from_pounds_per_inch(w))
    }

    /// Reference withdrawal value as a wood screw; `None` in end grain, where the code allows none.
    pub fn wood_screw_withdrawal(&self) -> Option<NewtonsPerMetre> {
        let g = within_tables(self.specific_gravity)?;
        let d = self.diameter_in(0.08..=0.4)?;
        if self.grain == Grain::End {
            return None;
        }
        Some(NewtonsPerMetre::from_pounds_per_inch(2850.0 * g * g * d))
    }

    fn diameter_in(&self, range: std::ops::RangeInclusive<f64>) -> Option<f64> {
        let d = self.diameter.inches();
        range.contains(&d).then_some(d)
    }
}

/// Thread that holds: what of the screw lies in the wood.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Penetration {
    /// Length of the screw under its head.
    pub length: Metres,
    /// Length of its thread, tip included.
    pub thread: Metres,
    /// Length of the tapered tip, which does not count.
    pub tip: Metres,
    /// Everything between head and wood: plate, washer, board.
    pub in_front: Metres,
    /// Depth of the wood, if the screw might come out behind.
    pub wood: Metres,
}

impl Penetration {
    /// Thread in the wood without the tip; `None` when nothing holds or a length is no number.
    pub fn thread_in_wood(&self) -> Option<Metres> {
        let length = positive(self.length.0)?;
        let into_wood = length - units::guard::non_negative(self.in_front.0)?;
        let tip = units::guard::non_negative(self.tip.0)?;
        let from = into_wood - positive(self.thread.0)?.min(length);
        let to = (into_wood - tip).min(positive(self.wood.0)?);
        positive(to - from.max(0.0)).map(Metres)
    }
}

/// Pull a screw holds: `W p`.
pub fn withdrawal_capacity(per_length: NewtonsPerMetre, thread_in_wood: Metres) -> Option<Newtons> {
    positive(per_length.0)?;
    positive(thread_in_wood.0)?;
    Some(per_length.over(thread_in_wood))
}

#[cfg(test)]
mod tests {
    use super::*;
    use units::table::{number, rows};

    fn screw(diameter_in: f64, specific_gravity: f64) -> Screw {
        Screw {
            diameter: Metres::from_inches(diameter_in),
            specific_gravity,
            grain: Grain::Side,
        }
    }

    #[test]
    fn every_row_of_the_nds_table() {
        let mut seen = 0;
        for row in rows(include_str!("nds-lag-withdrawal.csv")) {
            for (column, d) in [(2, 0.25), (3, 0.3125), (4, 0.375), (5, 0.4375), (6, 0.5)] {
                let w = screw(d, number(row[0]))
                    .lag_withdrawal()
                    .unwrap()
                    .pounds_per_inch();
                // The table prints whole pounds.
                assert!((w - number(row[column])).abs() <= 0.5, "{row:?} {d}: {w}");
                seen += 1;
            }
        }
        assert_eq!(seen, 35);
    }

    #[test]
    fn end_grain_takes_a_quarter_off_lags_and_all_of_wood_screws() {
        let side = screw(0.375, 0.5);
        let end = Screw {
            grain: Grain::End,
            ..side
        };
        let ratio = end.lag_withdrawal().unwrap().0 / side.lag_withdrawal().unwrap().0;
        assert!((ratio - 0.75).abs() < 1e-12);
        assert_eq!(
            Screw {
                grain: Grain::End,
                ..screw(0.19, 0.5)
            }
            .wood_screw_withdrawal(),
            None
        );
    }

    #[test]
    fn board_takes_away_penetration() {
        let inches = Metres::from_inches;
        let lag = Penetration {
            length: inches(2.5),
            thread: inches(1.75),
            tip: inches(0.1875),
            in_front: inches(0.125),
            wood: inches(3.5),
        };
        // 1.75 in of thread less the tip, all in the wood.
        assert!((lag.thread_in_wood().unwrap().inches() - 1.5625).abs() < 1e-9);
        let behind_board = Penetration {
            in_front: inches(1.0),
            ..lag
        };
        assert!((behind_board.thread_in_wood().unwrap().inches() - 1.3125).abs() < 1e-9);
        let hanging = Penetration {
            in_front: inches(2.4),
            ..lag
        };
        assert_eq!(hanging.thread_in_wood(), None);
        let through = Penetration {
            wood: inches(1.0),
            ..lag
        };
        assert!((through.thread_in_wood().unwrap().inches() - 0.375).abs() < 1e-9);
    }

    #[test]
    fn outside_the_tables_no_answer() {
        assert_eq!(screw(0.25, 0.1).lag_withdrawal(), None);
        assert_eq!(screw(0.25, f64::NAN).lag_withdrawal(), None);
        assert_eq!(screw(2.0, 0.5).lag_withdrawal(), None);
        assert_eq!(withdrawal_capacity(NewtonsPerMetre(1.0), Metres(0.0)), None);
    }
}
