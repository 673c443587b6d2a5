//! A study's numbers as the sheet prints them.

use view::{BassArrangement, BassStudy};

/// The sheet of a study: its subs as they are planned, or the best for one; `None` without either.
pub fn bass_sheet(study: &BassStudy, paper: sheets::Paper) -> Option<sheets::Sheet> {
    let best = study.best.first().and_then(|best| best.ranked.first());
    let shown = study.planned.as_ref().or(best)?;
    let loudest = |hz: f64| shown.plays.iter().find(|band| band.hz == hz);
    let mut says = vec![format!("{}.", sentence(&shown.says))];
    says.extend(study.timed.iter().map(|timed| format!("{}.", timed.says)));
    let mut assumed = vec![format!("It holds up to {:.0} Hz.", study.holds_up_to_hz)];
    assumed.extend(
        study
            .assumed
            .iter()
            .map(|one| format!("{}.", sentence(one))),
    );
    let sheet = sheets::BassSheet {
        space: study.space.clone(),
        label: study.label.clone(),
        says,
        subs: (shown.subs.iter())
            .map(|sub| {
                [
                    sub.words.clone(),
                    format!("{:.0} dB", sub.gain_db),
                    format!("{:.1} ms", sub.delay_s * 1000.0),
                    if sub.inverted { "turned" } else { "as it is" }.to_owned(),
                ]
            })
            .collect(),
        fitting: fittings(study),
        frequencies_hz: study.frequencies_hz.clone(),
        seats: (study.seats.iter().zip(&shown.levels_db))
            .map(|(seat, levels)| (seat.label.clone(), levels.clone()))
            .collect(),
        bands: (study.decays.iter())
            .map(|band| {
                [
                    band.hz.to_string(),
                    band.t60_s
                        .map_or("–".to_owned(), |t60_s| format!("{t60_s:.2}")),
                    loudest(band.hz)
                        .map_or("–".to_owned(), |band| format!("{:.0}", band.level_db)),
                ]
            })
            .collect(),
        changes: changes(study),
        assumed,
        cautions: study.cautions.clone(),
    };
    Some(sheets::bass_sheet(&sheet, paper))
}

/// The best other row, where one is better, and what treatment and open doors would do.
fn changes(study: &BassStudy) -> Vec<String> {
    let better = study.rows.iter().filter(|row| row.is_better);
    let better = better.min_by(|a, b| a.cost.total_cmp(&b.cost));
    let rows = better.map(|row| format!("{}.", row.says));
    let treated = study.treated.iter().map(|one| format!("{}.", one.says));
    rows.into_iter().chain(treated).collect()
}

/// Each arrangement with what its wires and sockets take: as planned, then the best and runners-up.
fn fittings(study: &BassStudy) -> Vec<[String; 3]> {
    let row = |name: String, one: &BassArrangement| {
        let places = one.subs.iter().map(|sub| sub.words.clone());
        let takes = one.fitting.as_ref()?.says.clone();
        Some([name, places.collect::<Vec<_>>().join("; "), takes])
    };
    let planned = study.planned.iter();
    let planned = planned.filter_map(|one| row("as planned".to_owned(), one));
    let best = study.best.iter().flat_map(|best| {
        best.ranked.iter().enumerate().filter_map(move |(at, one)| {
            let name = match at {
                0 => format!("{}: best", counted(best.subs)),
                at => format!("{}: no. {}", counted(best.subs), at + 1),
            };
            row(name, one)
        })
    });
    planned.chain(best).collect()
}

fn counted(subs: usize) -> String {
    match subs {
        1 => "1 sub".to_owned(),
        more => format!("{more} subs"),
    }
}

fn sentence(says: &str) -> String {
    let mut letters = says.chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => String::new(),
    }
}
