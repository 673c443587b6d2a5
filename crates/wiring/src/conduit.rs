//! How full is a pipe, and will three cables jam in it?
//!
//! `fill = Σ π d²/4 / A` with A the whole internal area of NEC chapter 9
//! table 4. A cable counts as one conductor of its own outside diameter; an
//! oval one as round with its larger diameter (chapter 9 notes 5 and 9).

use std::f64::consts::PI;
use std::sync::OnceLock;

use units::{Metres, Radians, SquareMetres};

use units::guard::{non_negative, positive};
use units::table::{number, rows};

const SQUARE_INCH_M2: f64 = 0.0254 * 0.0254;

/// One size of one kind of pipe, as NEC chapter 9 table 4 prints it (confirmed in public copies).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Conduit {
    /// Kind: `EMT`, `ENT`, `LFNC-B`, `LFMC`, `RMC`, `PVC Sch. 80`, `PVC Sch. 40`.
    pub kind: &'static str,
    /// Trade size in inches: a name, not a measure.
    pub trade_size_in: f64,
    /// Metric designator: a name, not a measure.
    pub metric_designator: u32,
    /// Inside diameter.
    pub inside_diameter: Metres,
    /// Whole internal area.
    pub area: SquareMetres,
}

/// Every pipe of the table, in its order: by kind, then by size.
pub fn conduits() -> &'static [Conduit] {
    static TABLE: OnceLock<Vec<Conduit>> = OnceLock::new();
    TABLE.get_or_init(|| {
        let conduit = |row: Vec<&'static str>| Conduit {
            kind: row[0],
            trade_size_in: number(row[1]),
            metric_designator: number(row[2]) as u32,
            inside_diameter: Metres::from_inches(number(row[3])),
            area: SquareMetres(number(row[5]) * SQUARE_INCH_M2),
        };
        rows(include_str!("conduit-nec-table4.csv"))
            .map(conduit)
            .collect()
    })
}

/// The pipe of this kind and trade size in inches, if the table has it.
pub fn conduit(kind: &str, trade_size_in: f64) -> Option<&'static Conduit> {
    conduits()
        .iter()
        .find(|pipe| pipe.kind == kind && pipe.trade_size_in == trade_size_in)
}

/// Largest part of the area that cables may fill.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FillLimits {
    /// One cable.
    pub one: f64,
    /// Two cables.
    pub two: f64,
    /// Three or more.
    pub more: f64,
}

impl FillLimits {
    /// 53 %, 31 % and 40 %.
    pub const NEC: Self = Self {
        one: 0.53,
        two: 0.31,
        more: 0.40,
    };
    /// Where the limits of `NEC` stand. Article 800.110 does not ask it of communications cable.
    pub const CITE: &str = "NEC chapter 9 table 1 (confirmed in a public copy)";

    /// The limit for this many cables; an empty pipe has none.
    pub fn of(&self, cables: usize) -> Option<f64> {
        match cables {
            0 => None,
            1 => Some(self.one),
            2 => Some(self.two),
            _ => Some(self.more),
        }
    }
}

/// Part of `area` filled by cables of these outside diameters; an empty list is 0.
pub fn fill(area: SquareMetres, outside_diameters: &[Metres]) -> Option<f64> {
    let mut cables = 0.0;
    for d in outside_diameters {
        cables += PI * positive(d.0)?.powi(2) / 4.0;
    }
    Some(cables / positive(area.0)?)
}

/// The smallest pipe of this kind that holds the cables within the limits.
pub fn smallest(
    kind: &str,
    outside_diameters: &[Metres],
    limits: &FillLimits,
) -> Option<&'static Conduit> {
    let limit = limits.of(outside_diameters.len())?;
    let of_kind = conduits().iter().filter(|pipe| pipe.kind == kind);
    let holds = |pipe: &&Conduit| fill(pipe.area, outside_diameters).is_some_and(|f| f <= limit);
    of_kind
        .filter(holds)
        .min_by(|a, b| a.area.0.total_cmp(&b.area.0))
}

/// Section of the plug of a made-up cable.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlugSize {
    /// Larger side.
    pub width: Metres,
    /// Smaller side.
    pub height: Metres,
}

/// Least inside diameter over the diagonal of a plug, so that it turns the bends too
/// (common practice, no source).
pub const PLUG_ROOM_FACTOR: f64 = 1.25;

/// The smallest pipe of this kind that passes a plug: inside diameter at least `room_factor`
/// times the plug's diagonal.
pub fn smallest_for_plug(kind: &str, plug: PlugSize, room_factor: f64) -> Option<&'static Conduit> {
    let diagonal = positive(plug.width.0)?.hypot(positive(plug.height.0)?);
    let least = diagonal * positive(room_factor)?;
    let of_kind = conduits().iter().filter(|pipe| pipe.kind == kind);
    of_kind
        .filter(|pipe| pipe.inside_diameter.0 >= least)
        .min_by(|a, b| a.area.0.total_cmp(&b.area.0))
}

/// A pipe and three cables alike in it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ThreeCables {
    /// Inside diameter of the pipe.
    pub inside_diameter: Metres,
    /// Outside diameter of each cable.
    pub outside_diameter: Metres,
}

/// Ratios at which three cables alike wedge side by side in a bend.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct JamBand {
    /// Below this they cannot lie side by side.
    pub low: f64,
    /// Above this they slip past each other.
    pub high: f64,
}

impl JamBand {
    /// 2.8 to 3.2.
    pub const PRACTICE: Self = Self {
        low: 2.8,
        high: 3.2,
    };
    /// Where the band of `PRACTICE` comes from.
    pub const CITE: &str = "cable makers' pulling practice (from memory)";

    /// Whether the ratio lies in the band, ends included.
    pub fn contains(&self, ratio: f64) -> bool {
        (self.low..=self.high).contains(&ratio)
    }
}

impl ThreeCables {
    /// Jam ratio D/d.
    pub fn jam_ratio(&self) -> Option<f64> {
        Some(positive(self.inside_diameter.0)? / positive(self.outside_diameter.0)?)
    }
}

/// Largest sum of bends between pull points.
pub const BENDS_MAX_DEG: f64 = 360.0;
/// Where [`BENDS_MAX_DEG`] stands.
pub const BENDS_CITE: &str = "NEC 358.26, 362.26 (from memory)";

/// Bend left before the limit; negative is too much.
pub fn bends_left(bends: &[Radians], bends_max: Radians) -> Option<Radians> {
    let mut sum = 0.0;
    for bend in bends {
        sum += non_negative(bend.0)?;
    }
    Some(Radians(positive(bends_max.0)? - sum))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn table_agrees_with_its_own_diameters_and_fill_columns() {
        let mut seen = 0;
        for (row, pipe) in rows(include_str!("conduit-nec-table4.csv")).zip(conduits()) {
            let d = pipe.inside_diameter;
            let in2 = PI * d.inches().powi(2) / 4.0;
            // Diameter and area are both printed to three places: 0.0005 in² of 0.192 in² is 0.26 %.
            assert!((in2 / number(row[5]) - 1.0).abs() < 0.003, "{row:?} {in2}");
            assert!((d.0 * 1e3 - number(row[4])).abs() <= 0.3, "{row:?}");
            // The mm² column follows the diameter rounded to 0.1 mm: 0.05 in 12.5 is 0.8 % of area.
            assert!(
                (pipe.area.0 * 1e6 / number(row[6]) - 1.0).abs() <= 0.0075,
                "{row:?}"
            );
            let limits = FillLimits::NEC;
            for (count, column) in [(1, 7), (2, 8), (3, 9)] {
                let part = limits.of(count).unwrap() * number(row[5]);
                assert!(
                    (part - number(row[column])).abs() <= 0.0016,
                    "{row:?} {part}"
                );
            }
            seen += 1;
        }
        assert_eq!(seen, 54);
        assert_eq!(conduits().len(), 54);
    }

    #[test]
    fn two_sevens_are_too_much_for_half_inch_emt() {
        let cables = [Metres(7.0e-3); 2];
        let half = conduit("EMT", 0.5).unwrap();
        assert!(fill(half.area, &cables).unwrap() > FillLimits::NEC.two);
        let next = smallest("EMT", &cables, &FillLimits::NEC).unwrap();
        assert_eq!(next.trade_size_in, 0.75);
        // A third cable of the same size is held to 40 %, so more cables may need no more pipe.
        assert_eq!(
            smallest("EMT", &[Metres(7.0e-3); 3], &FillLimits::NEC)
                .unwrap()
                .trade_size_in,
            0.75
        );
    }

    #[test]
    fn plug_needs_a_wider_pipe_than_its_cable() {
        let plug = PlugSize {
            width: Metres(21e-3),
            height: Metres(12e-3),
        };
        let pipe = |kind| {
            smallest_for_plug(kind, plug, PLUG_ROOM_FACTOR)
                .unwrap()
                .trade_size_in
        };
        // The cable alone, 7.5 mm, would go through 1/2 in.
        assert_eq!(pipe("ENT"), 1.25);
        assert_eq!(pipe("EMT"), 1.25);
        assert_eq!(
            smallest("ENT", &[Metres(7.5e-3)], &FillLimits::NEC)
                .unwrap()
                .trade_size_in,
            0.5
        );
    }

    #[test]
    fn jam_band_has_two_ends() {
        let ratio = |d| {
            ThreeCables {
                inside_diameter: Metres(30.0),
                outside_diameter: Metres(d),
            }
            .jam_ratio()
        };
        assert!(JamBand::PRACTICE.contains(ratio(10.0).unwrap()));
        assert!(!JamBand::PRACTICE.contains(ratio(11.0).unwrap()));
        assert!(!JamBand::PRACTICE.contains(ratio(9.0).unwrap()));
    }

    #[test]
    fn bends_count_up_to_the_limit() {
        let quarter = Radians::from_degrees(90.0);
        let limit = Radians::from_degrees(BENDS_MAX_DEG);
        assert!(bends_left(&[quarter; 4], limit).unwrap().0.abs() < 1e-12);
        assert!(bends_left(&[quarter; 5], limit).unwrap().0 < 0.0);
        assert_eq!(bends_left(&[Radians(f64::NAN)], limit), None);
    }

    #[test]
    fn nonsense_gives_no_answer() {
        assert_eq!(fill(SquareMetres(0.0), &[]), None);
        assert_eq!(fill(SquareMetres(1.0), &[Metres(-1.0)]), None);
        assert_eq!(smallest("EMT", &[], &FillLimits::NEC), None);
        assert_eq!(smallest("tin", &[Metres(0.005)], &FillLimits::NEC), None);
    }
}
