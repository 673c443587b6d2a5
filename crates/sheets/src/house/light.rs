//! How is a projected picture through the year, from when on can it be watched, and what does each seat see?

use checks::light_year::{self, From, LightYear, light_years};
use drawing::{GainChart, GainSeat, YearCell, YearMap, gain_chart, year_map};
use model::Space;
use units::Dimension;

use super::Set;
use crate::{Column, ColumnKind, Content, Sheet, Table};

/// Whether a space has a picture whose year is known.
pub(super) fn has_something(set: &Set<'_>, space: &Space) -> bool {
    // Where no daylight gets in, every hour is alike and a map says nothing.
    let is_window = |opening: &model::Opening| {
        matches!(set.analysis.transmittance(space, opening), Ok(Some(_)))
    };
    space.opening.iter().any(is_window) && set.analysis.projectors_in(space).next().is_some()
}

/// The map, the list of hours and the seats of each projected picture.
pub(super) fn sheet(set: &Set<'_>, space: &Space) -> Sheet {
    let mut contents = Vec::new();
    for (projector, year) in light_years(set.analysis, space) {
        match year {
            Ok(year) => contents.extend(of_year(set, space, &year)),
            Err(missing) => contents.push(Content::Text {
                heading: super::words(&projector),
                paragraphs: vec![format!("Not known yet: {missing}.")],
            }),
        }
    }
    Sheet {
        contents,
        ..Sheet::default()
    }
}

fn of_year(set: &Set<'_>, space: &Space, year: &LightYear) -> Vec<Content> {
    let drawn = set
        .areas
        .iter()
        .find_map(|area| year_map(&map(space, year), *area).ok());
    let words = Content::Text {
        heading: String::new(),
        paragraphs: vec![said(set, year)],
    };
    let drawing = drawn.map(|drawing| Content::Drawing {
        drawing: Box::new(drawing),
        notes: Vec::new(),
        tables: Vec::new(),
    });
    let by_seat = (!year.seats.is_empty()).then(|| by_seat(set, space, year));
    let by_seat = by_seat.and_then(|chart| {
        let mut areas = set.areas.iter();
        areas.find_map(|area| gain_chart(&chart, *area).ok())
    });
    let by_seat = by_seat.map(|drawing| Content::Drawing {
        drawing: Box::new(drawing),
        notes: Vec::new(),
        tables: Vec::new(),
    });
    let mut contents: Vec<Content> = drawing.into_iter().chain([words]).collect();
    contents.extend(hours(year).map(Content::Table));
    contents.extend(by_seat);
    contents.extend(seats(set, year).map(Content::Table));
    contents
}

fn by_seat(set: &Set<'_>, space: &Space, year: &LightYear) -> GainChart {
    let seat = |seat: &light_year::SeatLight| {
        let white = set.analysis.exact(seat.white_cd_m2, Dimension::Luminance);
        GainSeat {
            label: format!("{}, {white}", super::words(&seat.seat)),
            angle_deg: seat.angle_rad.to_degrees(),
            gain: seat.gain,
        }
    };
    let points = year.gain.points.iter();
    GainChart {
        title: format!("{}, {}: gain by seat", space.label(), year.screen_label),
        curve: points
            .map(|[angle_rad, gain]| [angle_rad.to_degrees(), *gain])
            .collect(),
        reliable_deg: year.gain.reliable_rad.map(f64::to_degrees),
        half_deg: year.gain.half_rad.map(f64::to_degrees),
        seats: year.seats.iter().map(seat).collect(),
    }
}

fn map(space: &Space, year: &LightYear) -> YearMap {
    let highest = year.classes.last();
    YearMap {
        title: format!(
            "{}, {}: contrast through the year",
            space.label(),
            year.screen_label
        ),
        months: std::array::from_fn(|month| light_year::month_name(month)[..3].to_owned()),
        cells: std::array::from_fn(|month| {
            std::array::from_fn(|hour| {
                let worse = year.worse(month, hour)?;
                Some(YearCell {
                    text: light_year::contrast_text(worse.contrast),
                    classes: worse.classes(),
                    sun: year.skies[0].hours[month][hour].is_some_and(|hour| hour.sun_on_picture),
                })
            })
        }),
        classes: (year.classes.iter())
            .map(|class| format!("{:.0}:1 {} ({})", class.contrast, class.name, class.backing))
            .collect(),
        from: std::array::from_fn(|month| {
            highest.map_or(String::new(), |class| from(class.from[month]))
        }),
        from_head: highest.map_or(String::new(), |class| {
            format!("{:.0}:1 from", class.contrast)
        }),
        watched: year.watched,
    }
}

fn from(from: From) -> String {
    match from {
        From::AllDay => "all day".to_owned(),
        From::Minute(minute) => light_year::clock_time(minute),
        From::NotThatDay => "not that day".to_owned(),
    }
}

fn said(set: &Set<'_>, year: &LightYear) -> String {
    let luminance = |value: f64| set.analysis.exact(value, Dimension::Luminance);
    let reading = year.reading_lux.map_or(String::new(), |lux| {
        format!(
            " {} were read on site.",
            set.analysis.exact(lux, Dimension::Illuminance)
        )
    });
    format!(
        "{} gives {} a white of {} and a black of {}; at night the room itself leaves a contrast of {:.0}.{reading} Light by radiosity of matt surfaces, without furniture; a real sky differs by 30 %.",
        super::capital(&year.projector_label),
        year.screen_label,
        luminance(year.white_cd_m2),
        luminance(year.black_cd_m2),
        year.night_contrast,
    )
}

fn hours(year: &LightYear) -> Option<Table> {
    let classes = year.classes.iter();
    let heads =
        classes.map(|class| Column::new(format!("{:.0}:1", class.contrast), ColumnKind::Number));
    Some(Table {
        heading: "From when on it can be watched, on the 21st".to_owned(),
        columns: std::iter::once(Column::new("Month", ColumnKind::Text))
            .chain(heads)
            .collect(),
        rows: (0..12)
            .map(|month| {
                let times = year.classes.iter().map(|class| from(class.from[month]));
                std::iter::once(light_year::month_name(month).to_owned())
                    .chain(times)
                    .collect()
            })
            .collect(),
        total: Vec::new(),
    })
}

fn seats(set: &Set<'_>, year: &LightYear) -> Option<Table> {
    let row = |seat: &light_year::SeatLight| {
        vec![
            super::words(&seat.seat),
            set.analysis.exact(seat.angle_rad, Dimension::Angle),
            format!("{:.2}", seat.gain),
            format!("{:.1}", seat.white_cd_m2),
            format!("{:.1}", seat.white_fl),
            if seat.is_reliable {
                ""
            } else {
                "not sure at this angle"
            }
            .to_owned(),
        ]
    };
    (!year.seats.is_empty()).then(|| Table {
        heading: "White as each seat sees it".to_owned(),
        columns: vec![
            Column::new("Seat", ColumnKind::Text),
            Column::new("Off the normal", ColumnKind::Number),
            Column::new("Gain", ColumnKind::Number),
            Column::new("cd/m²", ColumnKind::Number),
            Column::new("fL", ColumnKind::Number),
            Column::new("Gain known", ColumnKind::Text),
        ],
        rows: year.seats.iter().map(row).collect(),
        total: Vec::new(),
    })
}
