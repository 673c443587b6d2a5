//! Which hole each kind of thing that is let into a wall or ceiling asks for, and how many are cut.

use analysis::Analysis;
use model::{Item, Kit, Length, LoudspeakerForm};

/// A kind's cut-out.
#[derive(Clone, Debug, PartialEq)]
pub struct CutOutTold {
    /// The catalogue entry.
    pub kit: String,
    /// Its name.
    pub name: String,
    /// Width, m.
    pub width_m: f64,
    /// Height, m; of a round one its diameter again.
    pub height_m: f64,
    /// How deep it must be behind the board, m.
    pub depth_m: Option<f64>,
    /// Round rather than square.
    pub is_round: bool,
    /// How many are cut.
    pub count: u32,
    /// The items that they are cut for, in the order of the job.
    pub items: Vec<String>,
}

/// Cut-outs of what comes into the house, in the order of the catalogue; whose size no sheet states is left out.
pub fn cut_outs_told(analysis: &Analysis) -> Vec<CutOutTold> {
    let comes = |item: &&Item| !item.existing && item.reuses.is_none();
    let items: Vec<&Item> = analysis.items().filter(comes).collect();
    (analysis.catalogue().all())
        .filter_map(|kit| {
            let (size, depth, round) = hole(kit)?;
            let common = kit.common();
            let items: Vec<&&Item> = items.iter().filter(|item| item.is == common.id).collect();
            let [width_m, height_m] = [size[0].value()?, size[1].value()?];
            (!items.is_empty()).then(|| CutOutTold {
                kit: common.id.clone(),
                name: common.name.as_ref().unwrap_or(&common.id).clone(),
                width_m,
                height_m,
                depth_m: depth.and_then(Length::value),
                is_round: round && width_m == height_m,
                count: (items.iter()).fold(0, |sum: u32, item| {
                    sum.saturating_add(item.count.unwrap_or(1))
                }),
                items: items.iter().map(|item| item.id.clone()).collect(),
            })
        })
        .collect()
}

/// Size and depth of the hole, and whether one as wide as high is round.
fn hole(kit: Kit<'_>) -> Option<(&[Length; 2], Option<&Length>, bool)> {
    match kit {
        Kit::Loudspeaker(one) => Some((
            one.cutout.as_ref()?,
            one.depth_behind.as_ref(),
            one.form == Some(LoudspeakerForm::InCeiling),
        )),
        Kit::Plate(one) => Some((one.cutout.as_ref()?, one.depth_behind.as_ref(), false)),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use analysis::Analysis;

    use super::*;
    use crate::testing::{ROOM, job};

    #[test]
    fn each_kind_is_told_once_and_what_is_there_is_not_cut() {
        let text = format!(
            r#"{ROOM}
            [[kit.loudspeaker]]
            id = "ceiling-c1"
            form = "in-ceiling"
            cutout = ["210 mm", "210 mm"]
            [[kit.plate]]
            id = "plate-1"
            cutout = ["57 mm", "95 mm"]
            depth_behind = "70 mm"
            [[item]]
            id = "one"
            is = "ceiling-c1"
            [[item]]
            id = "two"
            is = "ceiling-c1"
            [[item]]
            id = "old"
            is = "ceiling-c1"
            existing = true
            [[item]]
            id = "plates"
            is = "plate-1"
            count = 3
            "#
        );
        let told = cut_outs_told(&Analysis::new(job(&text)));
        let [ceiling, plate] = told.as_slice() else {
            panic!("{told:?}");
        };
        assert!(ceiling.is_round && ceiling.count == 2 && ceiling.items == ["one", "two"]);
        assert!(!plate.is_round && plate.count == 3 && plate.depth_m == Some(0.07));
    }
}
