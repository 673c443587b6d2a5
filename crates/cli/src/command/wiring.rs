//! Prints what stands in which unit of each rack, how full each mains circuit is, which thing is
//! joined to which, and the holes to cut.

use std::sync::Arc;

use checks::Proved;
use clap::Args;
use view::{CircuitLoad, CutOut, Named, Rack, Wiring};

use crate::failure::Failure;
use crate::report::{Page, printable};
use crate::style::Style;
use crate::{Outcome, command, files};

/// Columns before what is told of a thing.
const INDENT: usize = 4;
/// A full circuit's bar, characters.
const BAR: f64 = 30.0;

#[derive(Args)]
pub struct Arguments {
    /// The job file; `-` reads standard input.
    file: String,
    /// Print it as JSON; `schema wiring` describes it.
    #[arg(long)]
    json: bool,
}

pub fn run(arguments: &Arguments) -> Result<Outcome, Failure> {
    let job = command::prove::read(&files::read(&arguments.file)?)?;
    let proved = Proved::new(Arc::clone(&job));
    let wiring = view::wiring(proved.analysis(), proved.findings());
    let text = match arguments.json {
        true => view::text(&wiring),
        false => told(&wiring, files::output_style()),
    };
    files::print(&text)?;
    Ok(Outcome::NothingFails)
}

fn told(wiring: &Wiring, style: Style) -> String {
    let mut page = Page::default();
    let heading = |page: &mut Page, words: &str| page.line(&style.heading(&printable(words)));
    for rack in &wiring.racks {
        let words = format!("{}, {} units", rack.rack.label, rack.slots);
        heading(&mut page, &words);
        in_rack(&mut page, rack);
        page.blank();
    }
    if !wiring.circuits.is_empty() {
        heading(&mut page, "mains circuits");
        for circuit in &wiring.circuits {
            on_circuit(&mut page, circuit);
        }
        page.blank();
    }
    if let Some(diagram) = &wiring.diagram {
        heading(&mut page, "which is joined to which");
        for lead in &diagram.leads {
            let cables = names(&lead.cables);
            let (from, to, carries) = (&lead.from, &lead.to, lead.carries);
            tell(&mut page, &format!("{cables}: {from} to {to}, {carries}"));
        }
        page.blank();
    }
    if !wiring.cut_outs.is_empty() {
        heading(&mut page, "cut-outs");
        for one in &wiring.cut_outs {
            tell(&mut page, &cut_out(one));
        }
    }
    match page.text() {
        text if text.is_empty() => {
            "The job has no rack, no circuit, no cable and nothing to cut in.\n".to_owned()
        }
        text => text,
    }
}

fn tell(page: &mut Page, text: &str) {
    page.wrapped(INDENT, &printable(text));
}

fn in_rack(page: &mut Page, rack: &Rack) {
    for one in &rack.things {
        let top = one.slot.saturating_add(one.units).saturating_sub(1);
        let units = match one.units {
            0 | 1 => format!("{:>5}", one.slot),
            _ => format!("{:>2}–{top:>2}", one.slot),
        };
        let facts = match one.facts_text.as_str() {
            "" => String::new(),
            facts => format!(", {facts}"),
        };
        tell(page, &format!("{units}  {}{facts}", one.thing.label));
    }
    if !rack.loose.is_empty() {
        tell(page, &format!("no unit yet: {}", rack.loose.join(", ")));
    }
    for state in &rack.heat {
        let lowest = match (&state.lowest_text, &state.spare_text) {
            (Some(lowest), Some(spare)) => format!(", {spare} to spare to {lowest}"),
            _ => String::new(),
        };
        tell(
            page,
            &format!("{}: {} inside{lowest}", state.says, state.inside_text),
        );
    }
}

fn on_circuit(page: &mut Page, circuit: &CircuitLoad) {
    let bar = circuit.most_w.filter(|most| *most > 0.0).map(|most_w| {
        let filled = (circuit.load_w / most_w * BAR).round().clamp(0.0, BAR) as usize;
        format!(
            "[{}{}] ",
            "#".repeat(filled),
            ".".repeat(BAR as usize - filled)
        )
    });
    let verdict = circuit
        .circuit
        .verdict
        .map_or_else(String::new, |verdict| format!(", {}", verdict.word()));
    let (bar, label, load) = (
        bar.unwrap_or_default(),
        &circuit.circuit.label,
        &circuit.load_text,
    );
    tell(page, &format!("{bar}{label}: {load}{verdict}"));
    let parts: Vec<String> = (circuit.parts.iter())
        .map(|part| format!("{} {}", part.label, part.watts_text))
        .collect();
    page.wrapped(INDENT * 2, &printable(&parts.join(", ")));
    if let Some(missing) = &circuit.missing {
        page.wrapped(INDENT * 2, &printable(&format!("not known yet: {missing}")));
    }
}

fn names(all: &[Named]) -> String {
    let ids: Vec<&str> = all.iter().map(|one| one.id.as_str()).collect();
    ids.join(", ")
}

fn cut_out(one: &CutOut) -> String {
    let depth = match &one.depth_text {
        Some(depth) => format!(", {depth} deep"),
        None => String::new(),
    };
    format!(
        "{} × {}: {}{depth}, for {}",
        one.count,
        one.name,
        one.size_text,
        names(&one.things)
    )
}
