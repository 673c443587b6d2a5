//! How the cables of each conduit lie in it, how full it is, and whether three of them may jam.

use analysis::Analysis;
use units::Metres;
use wiring::conduit::{JamBand, ThreeCables};
use wiring::section::packed;

use crate::cables::conduit_limits;
use crate::conduits::{diameters, filled};
use crate::runs::kind_label;

/// A conduit with its cables, cut across.
#[derive(Clone, Debug, PartialEq)]
pub struct ConduitSection {
    /// The conduit's id.
    pub id: String,
    /// Its name.
    pub label: String,
    /// Inside diameter, m.
    pub inside_m: Option<f64>,
    /// Cables in it and to be pulled into it.
    pub cables: Vec<SectionCable>,
    /// How much of it they fill.
    pub filled: Option<f64>,
    /// How much they may; none where no code says it.
    pub most: Option<f64>,
    /// Inside diameter over that of three cables alike.
    pub jam_ratio: Option<f64>,
    /// Whether those three may jam.
    pub may_jam: bool,
    /// What is not known.
    pub missing: Option<String>,
}

/// A cable of a conduit.
#[derive(Clone, Debug, PartialEq)]
pub struct SectionCable {
    /// The cable's id.
    pub id: String,
    /// Its kind, by name.
    pub kind: String,
    /// Outside diameter, m.
    pub outside_m: Option<f64>,
    /// Its middle from the conduit's, across and up, m; none where the cables find no place.
    pub centre_m: Option<[f64; 2]>,
    /// Whether it lies there already.
    pub is_there: bool,
}

/// Every conduit with at least one cable, in the order of the job.
pub fn conduit_sections(analysis: &Analysis) -> Vec<ConduitSection> {
    (filled(analysis).into_iter())
        .map(|one| {
            let conduit = one.conduit;
            let inside = analysis.number(conduit.inside.as_ref());
            let sizes = diameters(analysis, &one.cables);
            let mut section = ConduitSection {
                id: conduit.id.clone(),
                label: conduit.label().to_owned(),
                inside_m: inside.as_ref().map(|inside| inside.value()),
                cables: (one.cables.iter())
                    .map(|(cable, kit)| SectionCable {
                        id: cable.id.clone(),
                        kind: kind_label(kit).to_owned(),
                        outside_m: (analysis.number(kit.diameter.as_ref()))
                            .map(|diameter| diameter.value()),
                        centre_m: None,
                        is_there: conduit.holds.contains(&cable.id),
                    })
                    .collect(),
                filled: None,
                most: (conduit_limits(analysis, one.cables.len()).ok()).map(|limit| limit.value),
                jam_ratio: None,
                may_jam: false,
                missing: None,
            };
            let (inside_m, sizes) = match (section.inside_m, sizes) {
                (None, _) => {
                    section.missing = Some(format!("the inside diameter of {}", section.label));
                    return section;
                }
                (_, Err(kit)) => {
                    let kit = kind_label(kit);
                    section.missing = Some(format!("the outside diameter of {kit}"));
                    return section;
                }
                (Some(inside_m), Ok(sizes)) => (inside_m, sizes),
            };
            let outsides: Vec<Metres> = sizes.iter().map(|size| Metres(size.value())).collect();
            let squares: f64 = outsides.iter().map(|size| size.0 * size.0).sum();
            section.filled = Some(squares / (inside_m * inside_m));
            if let Some(centres) = packed(Metres(inside_m), &outsides) {
                for (cable, centre) in section.cables.iter_mut().zip(centres) {
                    cable.centre_m = Some(centre);
                }
            }
            section.jam_ratio = three_alike(inside_m, &outsides);
            section.may_jam =
                (section.jam_ratio).is_some_and(|ratio| JamBand::PRACTICE.contains(ratio));
            section
        })
        .collect()
}

/// D/d where three cables of one size are pulled; none where no three are alike.
fn three_alike(inside_m: f64, outsides: &[Metres]) -> Option<f64> {
    let outside =
        (outsides.iter()).find(|one| outsides.iter().filter(|other| other == one).count() == 3)?;
    let three = ThreeCables {
        inside_diameter: Metres(inside_m),
        outside_diameter: *outside,
    };
    three.jam_ratio()
}

impl ConduitSection {
    /// What is to be said below its drawing, a line each.
    pub fn words(&self, analysis: &Analysis) -> Vec<String> {
        let share = |share| analysis.exact(share, units::Dimension::Ratio);
        let mut words = Vec::new();
        if let Some(inside_m) = self.inside_m {
            let inside = analysis.exact(inside_m, units::Dimension::Length);
            words.push(format!("{inside} inside"));
        }
        if let Some(filled) = self.filled {
            let filled = share((filled * 1000.0).round() / 1000.0);
            words.push(match self.most {
                Some(most) => format!("{filled} full, {} is the most", share(most)),
                None => format!("{filled} full; what the local code allows is not known"),
            });
        }
        if let Some(ratio) = self.jam_ratio {
            let jams = match self.may_jam {
                true => "three alike may jam in a bend",
                false => "three alike do not jam",
            };
            words.push(format!("jam ratio {ratio:.2}: {jams}"));
        }
        if let Some(missing) = &self.missing {
            words.push(format!("not known: {missing}"));
        } else if self.cables.iter().any(|cable| cable.centre_m.is_none()) {
            words.push("no way was found for all to lie in it".to_owned());
        }
        words
    }
}

#[cfg(test)]
mod tests {
    use analysis::Analysis;

    use super::*;
    use crate::cables::conduit;
    use crate::testing::{ROOM, job};

    fn sections(facts: &str, diameter: &str, count: usize) -> (Analysis, Vec<ConduitSection>) {
        let text = format!("{ROOM}{}", conduit(facts, diameter, count));
        let analysis = Analysis::new(job(&text));
        let sections = conduit_sections(&analysis);
        (analysis, sections)
    }

    #[test]
    fn cables_lie_in_it_and_fill_and_jam_are_told() {
        let (analysis, found) = sections("inside = \"20 mm\"", "diameter = \"6.5 mm\"", 3);
        let one = &found[0];
        assert!(one.cables.iter().all(|cable| cable.centre_m.is_some()));
        // 3 × 6.5² / 20² = 31.69 %; 20 / 6.5 = 3.077, between 2.8 and 3.2.
        assert!((one.filled.unwrap() - 0.316_875).abs() < 1e-12);
        assert!(one.may_jam);
        let words = one.words(&analysis).join("; ").replace('\u{202f}', " ");
        assert_eq!(
            words,
            "20 mm inside; 31.7 % full, 40 % is the most; jam ratio 3.08: three alike may jam in a bend"
        );
    }

    #[test]
    fn what_finds_no_place_and_what_is_not_known_are_told() {
        let (analysis, found) = sections("inside = \"10 mm\"", "diameter = \"6.5 mm\"", 3);
        assert!(found[0].cables.iter().all(|cable| cable.centre_m.is_none()));
        let words = found[0].words(&analysis);
        assert!(
            words.last().unwrap().contains("no way was found"),
            "{words:?}"
        );
        let (_, found) = sections("", "diameter = \"6.5 mm\"", 3);
        assert_eq!(
            found[0].missing.as_deref(),
            Some("the inside diameter of pipe")
        );
        let (_, found) = sections("inside = \"20 mm\"", "", 1);
        assert_eq!(
            found[0].missing.as_deref(),
            Some("the outside diameter of network-c6")
        );
    }
}
