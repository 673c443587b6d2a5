//! How far do network, USB, serial, infrared and trigger wires go?

use std::sync::OnceLock;

use units::{Amperes, Metres, Volts};

use units::guard::positive;
use units::table::{number, rows};

/// Longest run of one kind of link.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LinkLimit {
    /// Kind of link.
    pub link: &'static str,
    /// Cable, rate or other condition.
    pub condition: &'static str,
    /// Longest run.
    pub length: Metres,
    /// Standard, or `common practice`.
    pub source: &'static str,
    /// How well it is known.
    pub mark: &'static str,
}

/// Every row of the table.
pub fn link_limits() -> &'static [LinkLimit] {
    static TABLE: OnceLock<Vec<LinkLimit>> = OnceLock::new();
    TABLE.get_or_init(|| {
        let limit = |row: Vec<&'static str>| LinkLimit {
            link: row[0],
            condition: row[1],
            length: Metres(number(row[2])),
            source: row[3],
            mark: row[4],
        };
        rows(include_str!("link-limits.csv")).map(limit).collect()
    })
}

/// The row for this link and condition, spelled as the table spells them.
pub fn link_limit(link: &str, condition: &str) -> Option<&'static LinkLimit> {
    link_limits()
        .iter()
        .find(|limit| limit.link == link && limit.condition == condition)
}

impl LinkLimit {
    /// Longest run less this length; negative is too long.
    pub fn length_left(&self, length: Metres) -> Option<Metres> {
        Some(self.length - Metres(positive(length.0)?))
    }
}

/// USB hubs in a row between host and device (USB specifications, from memory).
pub const USB_HUBS_MAX: u32 = 5;
/// Most capacitance of an RS-232 wire with the receiver, farads (TIA-232, from memory).
pub const RS_232_CAPACITANCE_MAX_F: f64 = 2500e-12;

/// RS-232 length by capacitance: limit over capacitance per length, F/m; the 15 m of the table is
/// for about 160 pF/m.
pub fn rs_232_length(capacitance_f_per_m: f64, capacitance_max_f: f64) -> Option<Metres> {
    Some(Metres(
        positive(capacitance_max_f)? / positive(capacitance_f_per_m)?,
    ))
}

/// Nominal voltage of a trigger wire (common practice, no source).
pub const TRIGGER_VOLTAGE: Volts = Volts(12.0);
/// Usual most current of a trigger output; some give 30 to 50 mA, so check both ends (common
/// practice, no source).
pub const TRIGGER_CURRENT_USUAL: Amperes = Amperes(0.100);
/// Low end of what trigger outputs give (common practice, no source).
pub const TRIGGER_CURRENT_WEAK: Amperes = Amperes(0.030);

/// Current left at a trigger output under its inputs; negative is too much.
pub fn trigger_current_left(output: Amperes, inputs: &[Amperes]) -> Option<Amperes> {
    let mut left = positive(output.0)?;
    for input in inputs {
        left -= positive(input.0)?;
    }
    Some(Amperes(left))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn table_is_read_whole_with_marks() {
        assert_eq!(link_limits().len(), 13);
        for limit in link_limits() {
            assert!(
                limit.length.0 > 0.0 && !limit.source.is_empty(),
                "{limit:?}"
            );
            assert!(
                ["confirmed", "from memory"].contains(&limit.mark),
                "{limit:?}"
            );
        }
        let usb = link_limit("USB 2", "passive").unwrap();
        assert!(usb.length_left(Metres(6.0)).unwrap().0 < 0.0);
        assert!(usb.length_left(Metres(4.0)).unwrap().0 > 0.0);
        assert_eq!(link_limit("semaphore", "fog"), None);
    }

    #[test]
    fn capacitance_sets_serial_length() {
        let length = rs_232_length(50e-12, RS_232_CAPACITANCE_MAX_F).unwrap();
        assert!((length.0 - 50.0).abs() < 1e-9);
        assert_eq!(rs_232_length(0.0, RS_232_CAPACITANCE_MAX_F), None);
    }

    #[test]
    fn three_inputs_overload_a_weak_trigger() {
        let left = |output| {
            trigger_current_left(output, &[Amperes(0.015); 3])
                .unwrap()
                .0
        };
        assert!(left(TRIGGER_CURRENT_WEAK) < 0.0);
        assert!(left(TRIGGER_CURRENT_USUAL) > 0.0);
    }
}
