//! Where do the subs of a space go, how is each set, and what should then be heard?
//!
//! Bass rests on a solve of seconds, which is asked for on purpose: so this sheet is no part of the
//! crew's usual set, and its numbers are handed in.

use drawing::{CurveChart, Scales, curve_chart};

use crate::{Column, ColumnKind, Content, Paper, Sheet, Table, drawing_areas};

/// What is printed of a space's bass.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct BassSheet {
    /// The space's id.
    pub space: String,
    /// Its name for people.
    pub label: String,
    /// What it comes to and how subs fall in with the mains, in sentences.
    pub says: Vec<String>,
    /// Each sub: where it stands, its gain, delay and polarity.
    pub subs: Vec<[String; 4]>,
    /// Each arrangement: its rank, where its subs stand, what wire and sockets take.
    pub fitting: Vec<[String; 3]>,
    /// The frequencies of the curves, Hz.
    pub frequencies_hz: Vec<f64>,
    /// The level expected at each seat, dB over one sub at 1 m in the open, with the seat's name.
    pub seats: Vec<(String, Vec<f64>)>,
    /// By third octave: its name, the decay expected and the loudest that is played there.
    pub bands: Vec<[String; 3]>,
    /// What other rows, treatment and open doors would change, in sentences.
    pub changes: Vec<String>,
    /// To which frequency it holds, what was assumed and left out.
    pub assumed: Vec<String>,
    /// What to mind.
    pub cautions: Vec<String>,
}

/// The sheet.
pub fn bass_sheet(bass: &BassSheet, paper: Paper) -> Sheet {
    let chart = CurveChart {
        title: format!("{}: what each seat should hear of the subs", bass.label),
        axis: "Level, dB over one sub at 1 m in the open".to_owned(),
        frequencies_hz: bass.frequencies_hz.clone(),
        lines: bass.seats.clone(),
    };
    let areas = drawing_areas(paper, Scales::Metric);
    let drawn = areas
        .iter()
        .find_map(|area| curve_chart(&chart, *area).ok());
    let mut contents = Vec::new();
    if let Some(drawing) = drawn {
        contents.push(Content::Drawing {
            drawing: Box::new(drawing),
            notes: vec!["Measured curves differ where furniture, people and doors do.".to_owned()],
            tables: vec![subs(bass)],
        });
    } else {
        contents.push(Content::Table(subs(bass)));
    }
    contents.push(Content::Text {
        heading: "What it comes to".to_owned(),
        paragraphs: bass.says.clone(),
    });
    if !bass.fitting.is_empty() {
        contents.push(Content::Table(fitting(bass)));
    }
    contents.push(Content::Table(bands(bass)));
    if !bass.changes.is_empty() {
        contents.push(Content::List {
            heading: "What would change it".to_owned(),
            items: bass.changes.clone(),
        });
    }
    contents.push(Content::List {
        heading: "What it rests on".to_owned(),
        items: bass.assumed.clone(),
    });
    Sheet {
        id: format!("{}-bass", bass.space),
        title: format!("{}: bass", bass.label),
        contents,
        cautions: bass.cautions.clone(),
    }
}

fn subs(bass: &BassSheet) -> Table {
    let text = ["Sub", "Gain", "Delay", "Polarity"].map(|head| Column::new(head, ColumnKind::Text));
    Table {
        heading: "Where each sub stands, and what is set on it".to_owned(),
        columns: text
            .into_iter()
            .chain([Column::new("Done", ColumnKind::Tick)])
            .collect(),
        rows: bass.subs.iter().map(|row| row.to_vec()).collect(),
        total: Vec::new(),
    }
}

fn fitting(bass: &BassSheet) -> Table {
    let heads = ["Arrangement", "Subs", "Wire and socket"];
    Table {
        heading: "What each arrangement takes".to_owned(),
        columns: heads
            .map(|head| Column::new(head, ColumnKind::Text))
            .to_vec(),
        rows: bass.fitting.iter().map(|row| row.to_vec()).collect(),
        total: Vec::new(),
    }
}

fn bands(bass: &BassSheet) -> Table {
    let heads = [
        "Third octave, Hz",
        "Decay for 60 dB, s",
        "Loudest at the seats, dB",
    ];
    Table {
        heading: "By third octave".to_owned(),
        columns: heads
            .map(|head| Column::new(head, ColumnKind::Number))
            .to_vec(),
        rows: bass.bands.iter().map(|row| row.to_vec()).collect(),
        total: Vec::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_sheet_prints_what_is_set_and_what_it_rests_on() {
        let frequencies_hz: Vec<f64> = (0..45).map(|n| 15.0 + 4.0 * f64::from(n)).collect();
        let bass = BassSheet {
            space: "loft".to_owned(),
            label: "Loft".to_owned(),
            says: vec!["Seats differ by 3.1 dB.".to_owned()],
            subs: vec![[
                "Subwoofer".into(),
                "0 dB".into(),
                "4 ms".into(),
                "turned".into(),
            ]],
            fitting: vec![[
                "best for 1".into(),
                "middle of the street wall".into(),
                "7.2 m of wire".into(),
            ]],
            seats: vec![("left".to_owned(), vec![3.0; frequencies_hz.len()])],
            frequencies_hz,
            bands: vec![["31.5".into(), "0.61".into(), "112".into()]],
            changes: vec!["With panels: seats differ 0.4 dB less.".to_owned()],
            assumed: vec!["Doors are shut.".to_owned()],
            cautions: vec!["Loud sweeps harm hearing.".to_owned()],
        };
        let sheet = bass_sheet(&bass, Paper::A4);
        let title = crate::TitleBlock::default();
        let pages = crate::texts(&title, Paper::A4, &[sheet]).expect("it is set");
        let told = format!("{pages:?}");
        for words in [
            "4 ms",
            "turned",
            "0.61",
            "112",
            "7.2 m of wire",
            "Doors are shut",
            "seats differ 0.4 dB less",
            "Loud sweeps",
        ] {
            assert!(told.contains(words), "{words} is not on the sheet: {told}");
        }
    }
}
