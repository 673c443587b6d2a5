//! The cables of a job as one table, in the order in which they are pulled.

use analysis::{Analysis, item_label};
use model::{Cable, Kit, cable_end};
use units::Dimension;

/// What stands above the columns of the schedule.
pub const SCHEDULE_HEADS: [&str; 10] = [
    "Pull", "Label", "Cable", "From", "Port", "To", "Port", "Way", "Length", "Cut",
];

/// A row for each cable: those of one pull follow one another, and what is not pulled comes last.
pub fn cable_schedule(analysis: &Analysis) -> Vec<Vec<String>> {
    let pulls = analysis.ways_together().pulls;
    let pull_of = |cable: &Cable| pulls.iter().position(|pull| pull.contains(&cable.id));
    let mut cables: Vec<&Cable> = analysis.cables().collect();
    cables.sort_by_key(|cable| pull_of(cable).unwrap_or(usize::MAX));
    (cables.into_iter())
        .map(|cable| row(analysis, cable, pull_of(cable)))
        .collect()
}

fn row(analysis: &Analysis, cable: &Cable, pull: Option<usize>) -> Vec<String> {
    let [from, to] = [&cable.from, &cable.to].map(|end| {
        let (item, port) = cable_end(end);
        let label = analysis.item(item).map_or(item, item_label);
        [label.to_owned(), port.unwrap_or_default().to_owned()]
    });
    let kind = match analysis.kit(&cable.kind) {
        Some(Kit::Cable(kit)) => kit
            .common
            .name
            .clone()
            .unwrap_or_else(|| cable.kind.clone()),
        _ => cable.kind.clone(),
    };
    let way = match analysis.route(cable) {
        Ok(route) => analysis.leg_words(route).join(", "),
        Err(missing) => format!("needs {missing}"),
    };
    let length = analysis.run_length(cable);
    let cut = analysis.cut_to(cable).ok().filter(|_| cable.is_cut());
    let [from, from_port] = from;
    let [to, to_port] = to;
    vec![
        pull.map_or_else(String::new, |pull| (pull + 1).to_string()),
        cable.id.clone(),
        kind,
        from,
        from_port,
        to,
        to_port,
        way,
        length.map_or_else(|_| String::new(), |length| analysis.length(&length)),
        cut.map_or_else(String::new, |cut_m| {
            analysis.exact(cut_m, Dimension::Length)
        }),
    ]
}
