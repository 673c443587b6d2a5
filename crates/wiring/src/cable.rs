//! How thick is a cable of a given kind, and what may it be run through?

use std::sync::OnceLock;

use units::Metres;

use crate::conduit::PlugSize;
use units::table::{number, number_or_blank, rows};

/// Usual outside diameters of one kind of cable (from memory): the sheet of the cable bought
/// comes first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CableSize {
    /// Kind of cable.
    pub kind: &'static str,
    /// Thinnest usual.
    pub od_min: Metres,
    /// Typical.
    pub od_typical: Metres,
    /// Thickest usual; plan a pipe with this one.
    pub od_max: Metres,
    /// Largest plug, where the cable is sold with one.
    pub plug: Option<PlugSize>,
}

/// Every kind of the table, in its order.
pub fn cable_sizes() -> &'static [CableSize] {
    static TABLE: OnceLock<Vec<CableSize>> = OnceLock::new();
    let millimetres = |field: &str| Metres(number(field) * 1e-3);
    TABLE.get_or_init(|| {
        let size = |row: Vec<&'static str>| CableSize {
            kind: row[0],
            od_min: millimetres(row[1]),
            od_typical: millimetres(row[2]),
            od_max: millimetres(row[3]),
            plug: number_or_blank(row[4])
                .zip(number_or_blank(row[5]))
                .map(|(w, h)| PlugSize {
                    width: Metres(w * 1e-3),
                    height: Metres(h * 1e-3),
                }),
        };
        rows(include_str!("cable-od.csv")).map(size).collect()
    })
}

/// The row of this kind, spelled as the table spells it.
pub fn cable_size(kind: &str) -> Option<&'static CableSize> {
    cable_sizes().iter().find(|size| size.kind == kind)
}

/// Where in a building a jacket may run; a later one may replace an earlier one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Space {
    /// In walls and open within one floor: CL2, CL3, CM.
    General,
    /// In shafts between floors: CL2R, CL3R, CMR.
    Riser,
    /// In spaces that move the building's air: CL2P, CL3P, CMP.
    Plenum,
}

/// Where the order of [`Space`] stands.
pub const SPACE_CITE: &str = "NEC 725.154, 800.154 (from memory)";

/// The space a jacket mark is listed for, e.g. `CL3R`; `None` for a mark this table lacks,
/// which must then be looked up.
pub fn space_of_mark(mark: &str) -> Option<Space> {
    match mark {
        "CL2" | "CL3" | "CM" | "CMG" => Some(Space::General),
        "CL2R" | "CL3R" | "CMR" => Some(Space::Riser),
        "CL2P" | "CL3P" | "CMP" => Some(Space::Plenum),
        _ => None,
    }
}

/// Least distance of Class 2 and communications cable from power conductors that are neither in
/// raceway nor otherwise separated: 2 in.
pub const MAINS_DISTANCE_MIN: Metres = Metres(2.0 * 0.0254);
/// Where [`MAINS_DISTANCE_MIN`] stands.
pub const MAINS_DISTANCE_CITE: &str = "NEC 725.136, 800.133(A)(2) (from memory)";
/// Distance kept from mains run alongside, against hum (common practice, no source).
pub const MAINS_DISTANCE_PRACTICE: Metres = Metres(0.300);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn table_is_read_whole_and_ordered() {
        assert_eq!(cable_sizes().len(), 15);
        for size in cable_sizes() {
            assert!(size.od_min.0 > 0.0, "{size:?}");
            assert!(
                size.od_min <= size.od_typical && size.od_typical <= size.od_max,
                "{size:?}"
            );
        }
        let video = cable_size("video lead passive 18 Gbit/s").unwrap();
        assert_eq!(
            video.plug,
            Some(PlugSize {
                width: Metres(0.021),
                height: Metres(0.012)
            })
        );
        assert_eq!(cable_size("speaker 14/2 in-wall").unwrap().plug, None);
        assert_eq!(cable_size("rope"), None);
    }

    #[test]
    fn plenum_replaces_riser_replaces_general() {
        let serves = |mark, space| space_of_mark(mark).unwrap() >= space;
        assert!(serves("CL3P", Space::Riser));
        assert!(serves("CMR", Space::General));
        assert!(!serves("CL2", Space::Riser));
        assert_eq!(space_of_mark("CMX"), None);
    }
}
