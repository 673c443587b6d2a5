//! Leads from thing to thing, the ports that they end in, and leads that could be laid.

use analysis::{Analysis, item_label};
use model::{Cable, CableUse, Edit, Item, Kit, Port, PortDirection, PortKind, cable_end};
use serde_json::{Map, Value};

/// A port that a cable's end names.
#[derive(Clone, Copy)]
pub(crate) struct Socket<'a> {
    /// As the cable writes it: `receiver.in-1`.
    pub end: &'a str,
    pub item: &'a Item,
    pub kit: Kit<'a>,
    pub port: &'a Port,
}

/// The port that an end names; none where it names none, or its thing lists none.
pub(crate) fn socket<'a>(analysis: &'a Analysis, end: &'a str) -> Option<Socket<'a>> {
    let (item, name) = cable_end(end);
    let (item, name) = (analysis.item_anywhere(item)?, name?);
    let kit = analysis.kit_of(item)?;
    let port = (kit.common().port.iter()).find(|port| port.is_named(name))?;
    Some(Socket {
        end,
        item,
        kit,
        port,
    })
}

/// A step from one thing to the next.
#[derive(Clone, Copy)]
pub(crate) struct Hop<'a> {
    pub from: &'a Item,
    pub to: &'a Item,
    /// None where the job lists none.
    pub lead: Option<Lead<'a>>,
}

/// A lead with its ends, the sender's first.
#[derive(Clone, Copy)]
pub(crate) struct Lead<'a> {
    pub cable: &'a Cable,
    pub out: &'a str,
    pub input: &'a str,
    pub carries: CableUse,
    /// Against the way of its picture: the sound that a display sends back.
    pub back: bool,
}

/// What a step is for.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Use {
    Picture,
    Sound,
}

/// The steps along a row of things.
pub(crate) fn hops<'a>(analysis: &'a Analysis, row: &[&'a Item], what: Use) -> Vec<Hop<'a>> {
    let step = |pair: &[&'a Item]| Hop {
        from: pair[0],
        to: pair[1],
        lead: lead(analysis, pair[0], pair[1], what),
    };
    row.windows(2).map(step).collect()
}

/// The best lead for it: sound goes with the picture where it can, else by a lead of its own,
/// else back through the display's lead.
fn lead<'a>(analysis: &'a Analysis, from: &Item, to: &Item, what: Use) -> Option<Lead<'a>> {
    let leads = leads_between(analysis, from, to);
    let rank = |lead: &Lead| match (what, lead.carries, lead.back) {
        (_, CableUse::Video, false) => Some(0),
        (Use::Sound, CableUse::Line | CableUse::Coax, false) => Some(1),
        (Use::Sound, CableUse::Video, true) => Some(2),
        _ => None,
    };
    leads
        .filter_map(|lead| Some((rank(&lead)?, lead)))
        .reduce(|best, next| if next.0 < best.0 { next } else { best })
        .map(|(_, lead)| lead)
}

/// Every cable between two things.
fn leads_between<'a>(
    analysis: &'a Analysis,
    from: &Item,
    to: &Item,
) -> impl Iterator<Item = Lead<'a>> {
    let (from, to) = (from.id.clone(), to.id.clone());
    analysis
        .cables_at(&from)
        .filter_map(move |cable: &'a Cable| {
            let Some(Kit::Cable(kit)) = analysis.kit(&cable.kind) else {
                return None;
            };
            let ends = [cable.from.as_str(), cable.to.as_str()];
            let [out, input] = match ends.map(|end| cable_end(end).0) {
                [a, b] if a == from && b == to => ends,
                [a, b] if a == to && b == from => [ends[1], ends[0]],
                _ => return None,
            };
            Some(Lead {
                cable,
                out,
                input,
                carries: kit.carries,
                back: is_back(analysis, [out, input], [&from, &to]),
            })
        })
}

/// Whether a lead's signal comes from the other end: as its ports say, else as the signals go.
fn is_back(analysis: &Analysis, [out, input]: [&str; 2], [from, to]: [&str; 2]) -> bool {
    let direction = |end: &str| {
        let (item, name) = cable_end(end);
        let kit = analysis.kit_of(analysis.item_anywhere(item)?)?;
        let name = name?;
        (kit.common().port.iter())
            .find(|port| port.is_named(name))?
            .direction
    };
    match (direction(out), direction(input)) {
        (Some(PortDirection::In), _) | (_, Some(PortDirection::Out)) => return true,
        (Some(PortDirection::Out), _) | (_, Some(PortDirection::In)) => return false,
        (None, None) => {}
    }
    let passes = |pair: [&str; 2]| {
        let mut signals = analysis.signals().iter();
        signals.any(|signal| {
            (signal.through.windows(2)).any(|step| step[0] == pair[0] && step[1] == pair[1])
        })
    };
    passes([to, from]) && !passes([from, to])
}

/// Every cable between two different things, the sender first.
pub(crate) fn every_lead(analysis: &Analysis) -> Vec<(&Cable, [&Item; 2], CableUse)> {
    (analysis.cables())
        .filter_map(|cable| {
            let Some(Kit::Cable(kit)) = analysis.kit(&cable.kind) else {
                return None;
            };
            let [from, to] =
                [&cable.from, &cable.to].map(|end| analysis.item_anywhere(cable_end(end).0));
            let (from, to) = (from?, to?);
            let ends = [cable.from.as_str(), cable.to.as_str()];
            let items = match is_back(analysis, ends, [&from.id, &to.id]) {
                true => [to, from],
                false => [from, to],
            };
            (from.id != to.id).then_some((cable, items, kit.carries))
        })
        .collect()
}

/// The name of the input that a lead ends in: its port, else where it comes from.
pub(crate) fn input_words(hop: &Hop) -> String {
    let named = hop.lead.and_then(|lead| cable_end(lead.input).1);
    match named {
        Some(port) => port.to_owned(),
        None => format!("the one from {}", item_label(hop.from)),
    }
}

/// A further lead between two things: words, and the edit that adds it. Ends in free ports
/// where the things list theirs; none where a thing has no port left, or the catalogue no
/// cable for it.
pub(crate) fn further_lead(
    analysis: &Analysis,
    [from, to]: [&Item; 2],
    carries: CableUse,
    kind: PortKind,
    suits: impl Fn(&model::CableKit) -> bool,
) -> Option<(String, Edit)> {
    let kit = (analysis.catalogue().cable.iter())
        .filter(|kit| kit.carries == carries)
        .find(|kit| suits(kit))?;
    let id = (1..)
        .map(|number| format!("new-{number}"))
        .find(|id| analysis.cables().all(|cable| cable.id != *id))
        .expect("a number that no cable has");
    let ends = [
        free_end(analysis, from, kind, PortDirection::Out)?,
        free_end(analysis, to, kind, PortDirection::In)?,
    ];
    let mut table = Map::new();
    table.insert("id".into(), id.clone().into());
    table.insert("kind".into(), kit.common.id.as_str().into());
    table.insert("from".into(), ends[0].as_str().into());
    table.insert("to".into(), ends[1].as_str().into());
    let name = kit.common.name.as_deref().unwrap_or(&kit.common.id);
    let says = format!("{name} from {} to {}", ends[0], ends[1]);
    Some((says, Edit::set(format!("cable.{id}"), Value::Object(table))))
}

/// A free port of a thing as a cable's end; the thing alone where it lists no ports.
fn free_end(
    analysis: &Analysis,
    item: &Item,
    kind: PortKind,
    direction: PortDirection,
) -> Option<String> {
    let ports = &analysis.kit_of(item)?.common().port;
    if ports.is_empty() {
        return Some(item.id.clone());
    }
    let is_free = |end: &String| {
        let mut cables = analysis.cables_at(&item.id);
        cables.all(|cable| cable.from != *end && cable.to != *end)
    };
    (ports.iter())
        .filter(|port| port.kind == kind)
        .filter(|port| port.direction.is_none_or(|way| way == direction))
        .flat_map(Port::names)
        .map(|name| format!("{}.{name}", item.id))
        .find(is_free)
}
