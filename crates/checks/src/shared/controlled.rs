//! How a thing is reached by what controls it: behind which door, by which wire.

use analysis::{Analysis, Known, Means, Missing, item_label};
use model::{Control, Doors, Item, Kit, PortKind, cable_end};

use crate::hops::socket;

/// How a thing is reached.
pub(crate) struct Reach<'a> {
    /// Ways of control that it accepts.
    pub accepts: &'a [Control],
    /// The best way that reaches it, in words: "network", "infrared from the remote".
    pub by: Option<String>,
    /// The cupboard with doors that it stands behind.
    pub behind: Option<(&'a Item, Doors)>,
}

/// Things that control others.
pub(crate) fn controllers(analysis: &Analysis) -> impl Iterator<Item = (&Item, &[Control])> {
    (analysis.items_anywhere()).filter_map(|item: &Item| {
        let sends = analysis.kit_of(item)?.common().sends.as_deref()?;
        (!sends.is_empty()).then_some((item, sends))
    })
}

/// How a thing is reached; what its sheet has to say first.
pub(crate) fn reach<'a>(analysis: &'a Analysis, item: &'a Item) -> Known<Reach<'a>> {
    let kit = analysis.kit_of(item);
    let accepts = kit.and_then(|kit| kit.common().control.as_deref());
    let accepts = accepts.ok_or_else(|| {
        let kind = kit.map_or("device", Kit::kind);
        Missing::new(
            format!("the ways of control that {} accepts", item.is),
            format!("kit.{kind}.{}.control", item.is),
            Means::SpecSheet,
        )
    })?;
    let behind = doors(analysis, item);
    let sent = |way: Control| controllers(analysis).any(|(_, sends)| sends.contains(&way));
    // The surest first: what is wired and answers, then what is wired, then what flies.
    let order = [
        Control::Network,
        Control::Serial,
        Control::Trigger,
        Control::Infrared,
        Control::Radio,
    ];
    let by = order
        .into_iter()
        .filter(|way| accepts.contains(way))
        .find_map(|way| match way {
            Control::Network => {
                (sent(way) && has_wire(analysis, item, PortKind::Network)).then(|| "network".into())
            }
            Control::Serial => has_wire(analysis, item, PortKind::Serial).then(|| "serial".into()),
            Control::Trigger => {
                has_wire(analysis, item, PortKind::Trigger).then(|| "trigger".into())
            }
            Control::Infrared if has_wire(analysis, item, PortKind::Infrared) => {
                Some("infrared by wire".into())
            }
            Control::Infrared => seen_by(analysis, item)
                .map(|sender| format!("infrared from {}", item_label(sender))),
            Control::Radio => {
                let shut = matches!(behind, Some((_, Doors::Steel)));
                (sent(way) && !shut).then(|| "radio".into())
            }
        });
    Ok(Reach {
        accepts,
        by,
        behind,
    })
}

/// The nearest cupboard with doors around a thing.
fn doors<'a>(analysis: &'a Analysis, item: &'a Item) -> Option<(&'a Item, Doors)> {
    (analysis.holders_anywhere(item)).find_map(|holder| match analysis.kit_of(holder) {
        Some(Kit::Cupboard(kit)) => Some((holder, kit.doors?)),
        _ => None,
    })
}

/// Whether a control or network cable ends at a port of this kind, or at a thing that does not
/// list its ports.
fn has_wire(analysis: &Analysis, item: &Item, kind: PortKind) -> bool {
    analysis.cables_at(&item.id).any(|cable| {
        let Some(Kit::Cable(kit)) = analysis.kit(&cable.kind) else {
            return false;
        };
        if !kind.takes(kit.carries) {
            return false;
        }
        let end = [&cable.from, &cable.to]
            .into_iter()
            .find(|end| cable_end(end).0 == item.id);
        match end.and_then(|end| socket(analysis, end)) {
            Some(socket) => socket.port.kind == kind,
            // A cable for control may be any of four; it counts where nothing says which.
            None => true,
        }
    })
}

/// A sender of infrared light in the same space, neither of them behind a door that stops it.
fn seen_by<'a>(analysis: &'a Analysis, item: &Item) -> Option<&'a Item> {
    let is_open = |item: &Item| {
        !matches!(
            doors(analysis, item),
            Some((_, Doors::Solid | Doors::Steel))
        )
    };
    let home = analysis.space_id_of(item).ok()?;
    controllers(analysis)
        .filter(|(_, sends)| sends.contains(&Control::Infrared))
        .map(|(sender, _)| sender)
        .find(|sender| {
            sender.id != item.id
                && is_open(item)
                && is_open(sender)
                && analysis
                    .space_id_of(sender)
                    .is_ok_and(|space| space == home)
        })
}
