//! Writes labels for both ends of each cable, for sheets of stickers known by their sizes.

use analysis::{Analysis, item_label};
use clap::Args;
use drawing::{CableLabel, LabelSheet, label_pages, label_sheet_fault, svg};
use model::cable_end;

use crate::failure::Failure;
use crate::{Outcome, command, files};

#[derive(Args)]
pub struct Arguments {
    /// The job file; `-` reads standard input.
    file: String,
    /// Width and height of the paper, mm.
    #[arg(long, default_value = "210x297", value_parser = pair)]
    page: [f64; 2],
    /// Width and height of a label, mm.
    #[arg(long, default_value = "63.5x38.1", value_parser = pair)]
    label: [f64; 2],
    /// From the paper's left and top edge to the first label, mm.
    #[arg(long, default_value = "7.2x15.1", value_parser = pair)]
    first: [f64; 2],
    /// From one label's left and top edge to the next one's, mm.
    #[arg(long, default_value = "66x38.1", value_parser = pair)]
    pitch: [f64; 2],
    /// Labels across and down.
    #[arg(long, default_value = "3x7", value_parser = pair)]
    grid: [f64; 2],
    /// The beginning of each page's file name: `-1.svg`, `-2.svg` and so on follow.
    #[arg(short, long, default_value = "labels")]
    output: String,
}

/// Two numbers as `63.5x38.1`.
fn pair(text: &str) -> Result<[f64; 2], String> {
    let read = |text: &str| text.trim().parse::<f64>().ok();
    (text.split_once(['x', '×']))
        .and_then(|(a, b)| Some([read(a)?, read(b)?]))
        .ok_or_else(|| "two numbers with an x between them, such as 63.5x38.1".to_owned())
}

pub fn run(arguments: &Arguments) -> Result<Outcome, Failure> {
    let job = command::prove::read(&files::read(&arguments.file)?)?;
    let analysis = Analysis::new(job);
    let sheet = LabelSheet {
        page_mm: arguments.page,
        label_mm: arguments.label,
        first_mm: arguments.first,
        pitch_mm: arguments.pitch,
        grid: arguments.grid.map(|count| count.clamp(0.0, 1e3) as usize),
    };
    if let Some(fault) = label_sheet_fault(&sheet) {
        return Err(Failure::Table(fault));
    }
    let words = |end: &str| {
        let (item, port) = cable_end(end);
        let label = analysis.item(item).map_or(item, item_label);
        match port {
            Some(port) => format!("{label}, {port}"),
            None => label.to_owned(),
        }
    };
    let mut labels = Vec::new();
    for cable in analysis.cables() {
        let ends = [words(&cable.from), words(&cable.to)];
        for [here, other] in [[&ends[0], &ends[1]], [&ends[1], &ends[0]]] {
            labels.push(CableLabel {
                name: cable.id.clone(),
                lines: vec![format!("here: {here}"), format!("other end: {other}")],
            });
        }
    }
    let pages = label_pages(&sheet, &labels);
    for (index, page) in pages.iter().enumerate() {
        let file = format!("{}-{}.svg", arguments.output, index + 1);
        let cure = "name other files, or move it away first";
        files::create(&file, svg(page).as_bytes(), cure)?;
    }
    let names = match pages.len() {
        1 => format!("{}-1.svg", arguments.output),
        count => format!("{0}-1.svg to {0}-{count}.svg", arguments.output),
    };
    let told = format!("wrote {} labels to {names}; print at 100 %\n", labels.len());
    files::print(&told)?;
    Ok(Outcome::NothingFails)
}
