//! What will a room's sound be: how long it rings, where it is loud, and what comes back from where?

use analysis::Analysis;
use checks::{LevelMap, NOISE_OCTAVES_HZ, ReflectionLine, SoundReport};
use drawing::{AngleDial, AngleDials, Area, ChartValue, DialMark, Drawing, OctaveChart};
use model::Space;
use units::Dimension;

use super::Set;
use crate::{Column, ColumnKind, Content, Sheet, Table, drawing_areas};

/// As many reflections are listed: those that a panel could mend first.
const REFLECTIONS: usize = 16;

/// Ear height that levels are mapped at where no seat has one, m.
const EAR_M: f64 = 1.1;

/// The octave that levels are mapped in, Hz.
const MAPPED_HZ: f64 = 2000.0;

/// Whether a room has a sheet of its sound: somebody listens there, and its finishes are known.
pub(super) fn has_something(set: &Set<'_>, space: &Space) -> bool {
    let mut zones = set.analysis.zones_in(space);
    zones.any(|zone| zone.layout.is_some()) && space.finishes.is_some() && !space.seat.is_empty()
}

/// The sheet.
pub(super) fn sheet(set: &Set<'_>, space: &Space) -> Sheet {
    let report = checks::sound_report(set.analysis, space);
    let areas = drawing_areas(set.paper, drawing::Scales::Metric);
    let mut contents = Vec::new();
    let mut add = |drawing: Option<Drawing>, tables: Vec<Table>, notes: Vec<String>| {
        if let Some(drawing) = drawing {
            contents.push(Content::Drawing {
                drawing: Box::new(drawing),
                notes,
                tables,
            });
        } else {
            contents.extend(tables.into_iter().map(Content::Table));
        }
    };
    let fitted = |draw: &dyn Fn(Area) -> Option<Drawing>| areas.iter().find_map(|area| draw(*area));
    let decay = decay_chart(space, &report);
    add(
        decay.and_then(|chart| fitted(&|area| drawing::octave_chart(&chart, area).ok())),
        Vec::new(),
        vec!["Bars show what the printed absorption tables and the survey leave open.".to_owned()],
    );
    let noise = noise_chart(space, &report);
    add(
        noise.and_then(|chart| fitted(&|area| drawing::octave_chart(&chart, area).ok())),
        Vec::new(),
        Vec::new(),
    );
    let map = |hertz| checks::level_map(set.analysis, space, None, hertz, EAR_M).ok();
    let octaves: Vec<(f64, LevelMap)> = (checks::MAP_HZ.into_iter())
        .filter_map(|hertz| Some((hertz, map(hertz)?)))
        .collect();
    let large = octaves.iter().find(|(hertz, _)| *hertz == MAPPED_HZ);
    let drawn = large.map(|(_, map)| drawn_map(set.analysis, space, MAPPED_HZ, map.clone()));
    add(
        drawn.and_then(|map| fitted(&|area| drawing::level_map(&map, area).ok())),
        reflections(set.analysis, &report).into_iter().collect(),
        Vec::new(),
    );
    let title = format!("{}: level over the plan, octave by octave", space.label());
    let small: Vec<drawing::LevelMap> = (octaves.iter())
        .map(|(hertz, map)| drawing::LevelMap {
            title: octave_label(*hertz),
            ..drawn_map(set.analysis, space, *hertz, map.clone())
        })
        .collect();
    add(
        fitted(&|area| drawing::level_maps(&title, &small, area).ok()),
        by_octave(set.analysis, &octaves).into_iter().collect(),
        vec!["Numbers: dB below the loudest place of that octave; heavy lines where another 3 dB are lost, in all maps alike. Discs: seats and loudspeakers as on the map before.".to_owned()],
    );
    if let Some(dials) = dials(set.analysis, space) {
        add(
            fitted(&|area| drawing::angle_dials(&dials.0, area).ok()),
            vec![dials.1],
            vec!["Straight ahead is up, seen from above. Heavy arcs: what the layout allows at that seat. Outer ring at ear level, inner ring overhead; a filled disc is within, a cross is not.".to_owned()],
        );
    }
    contents.extend(settings(set.analysis, &report).map(Content::Table));
    if !report.missing.is_empty() {
        let items = report
            .missing
            .iter()
            .map(|missing| format!("Needs {missing}."));
        contents.push(Content::List {
            heading: "Not known yet".to_owned(),
            items: items.collect(),
        });
    }
    Sheet {
        contents,
        ..Sheet::default()
    }
}

/// A dial a seat, and which number is which channel.
fn dials(analysis: &Analysis, space: &Space) -> Option<(AngleDials, Table)> {
    let seats = checks::channel_angles(analysis, space);
    let mut numbered: Vec<(&str, &str)> = Vec::new();
    for channel in seats.iter().flat_map(|seat| &seat.channels) {
        if !numbered.iter().any(|(item, _)| *item == channel.item) {
            numbered.push((&channel.item, &channel.label));
        }
    }
    let number = |item: &str| numbered.iter().position(|(one, _)| *one == item);
    let dial = |seat: &checks::SeatAngles| AngleDial {
        title: format!("seat {}", seat.seat),
        channels: (seat.channels.iter())
            .map(|channel| DialMark {
                label: number(&channel.item).map_or_else(String::new, |at| (at + 1).to_string()),
                azimuth_rad: channel.azimuth_rad,
                is_overhead: channel.is_overhead,
                is_inside: channel.is_inside,
                allowed_rad: channel.azimuths_rad,
            })
            .collect(),
    };
    let rows = (numbered.iter().enumerate()).map(|(at, (item, label))| {
        let out = seats.iter().filter(|seat| {
            let mut channels = seat.channels.iter();
            channels.any(|channel| channel.item == **item && !channel.is_inside)
        });
        let out: Vec<&str> = out.map(|seat| seat.seat.as_str()).collect();
        let out = match out.is_empty() {
            true => "as the layout has it at every seat".to_owned(),
            false => format!("from elsewhere at {}", out.join(", ")),
        };
        vec![(at + 1).to_string(), (*label).to_owned(), out]
    });
    let table = Table {
        heading: "The dials' numbers".to_owned(),
        columns: vec![
            Column::new("Number", ColumnKind::Number),
            Column::new("Loudspeaker", ColumnKind::Text),
            Column::new("Heard", ColumnKind::Text),
        ],
        rows: rows.collect(),
        total: Vec::new(),
    };
    let drawn = AngleDials {
        title: format!("{}: from where each seat hears each channel", space.label()),
        dials: seats.iter().map(dial).collect(),
    };
    (!table.rows.is_empty()).then_some((drawn, table))
}

/// The level at each seat in each octave.
fn by_octave(analysis: &Analysis, octaves: &[(f64, LevelMap)]) -> Option<Table> {
    let mut rows: Vec<Vec<String>> = Vec::new();
    let mut columns = vec![Column::new("Seat", ColumnKind::Text)];
    for (hertz, map) in octaves {
        columns.push(Column::new(octave_label(*hertz), ColumnKind::Number));
        for (at, (seat, level)) in map.seats.iter().enumerate() {
            if rows.len() <= at {
                rows.push(vec![seat.clone()]);
            }
            rows[at].push(analysis.exact((level * 10.0).round() / 10.0 + 0.0, Dimension::Level));
        }
    }
    (!rows.is_empty()).then(|| Table {
        heading: "Level at each seat below the loudest place, all loudspeakers but subwoofers as loud as each other 1 m before them".to_owned(),
        columns,
        rows,
        total: Vec::new(),
    })
}

fn octave_label(hertz: f64) -> String {
    match hertz {
        hertz if hertz >= 1000.0 => format!("{:.0} kHz", hertz / 1000.0),
        hertz => format!("{hertz:.0} Hz"),
    }
}

fn decay_chart(space: &Space, report: &SoundReport) -> Option<OctaveChart> {
    let octaves = &report.decay;
    if octaves.is_empty() {
        return None;
    }
    let most = (octaves.iter())
        .map(|octave| octave.time_s + octave.open_s)
        .fold(0.0, f64::max);
    let step = match most {
        most if most <= 1.0 => 0.2,
        most if most <= 2.5 => 0.5,
        _ => 1.0,
    };
    Some(OctaveChart {
        title: format!("{}: how long it rings", space.label()),
        axis: "Reverberation time, s".to_owned(),
        octaves: octaves
            .iter()
            .map(|octave| octave_label(octave.frequency_hz))
            .collect(),
        values: (octaves.iter())
            .map(|octave| {
                Some(ChartValue {
                    value: octave.time_s,
                    open: octave.open_s,
                    text: format!("{:.2}", octave.time_s),
                })
            })
            .collect(),
        limits: octaves.iter().map(|octave| octave.wanted_s).collect(),
        ends: [0.0, (most / step).ceil() * step],
        step,
        limits_are: "shortest and longest time asked for".to_owned(),
    })
}

/// The noisiest seat's noise.
fn noise_chart(space: &Space, report: &SoundReport) -> Option<OctaveChart> {
    let worst = (report.noise.iter()).max_by(|a, b| a.nc.total_cmp(&b.nc))?;
    let curve = checks::noise_curve_db(worst.nc);
    Some(OctaveChart {
        title: format!(
            "{}: noise at seat {}, NC-{:.0}",
            space.label(),
            worst.seat,
            worst.nc
        ),
        axis: "Level, dB".to_owned(),
        octaves: NOISE_OCTAVES_HZ
            .iter()
            .map(|hertz| octave_label(*hertz))
            .collect(),
        values: (worst.level_db.iter())
            .map(|level| {
                Some(ChartValue {
                    value: *level,
                    open: 0.0,
                    text: format!("{level:.0}"),
                })
            })
            .collect(),
        limits: curve.map(|level| Some([f64::NEG_INFINITY, level])).to_vec(),
        ends: [0.0, 70.0],
        step: 10.0,
        limits_are: format!("the curve NC-{:.0}, which it touches", worst.nc),
    })
}

fn drawn_map(analysis: &Analysis, space: &Space, hertz: f64, map: LevelMap) -> drawing::LevelMap {
    let seats = analysis.seats_in(space).filter_map(|(seat, place)| {
        let [x, y] = place.ok()?.plan.value();
        Some(([x, y], seat.id.clone()))
    });
    let loudspeakers = analysis.loudspeakers_in(space).filter_map(|(item, kit)| {
        let [x, y, _] = analysis.loudspeaker(item, kit).ok()?.at.value();
        Some(([x, y], analysis::item_label(item).to_owned()))
    });
    let marks = seats.chain(loudspeakers).collect();
    drawing::LevelMap {
        title: format!(
            "{}: all loudspeakers but subwoofers at {}, dB below the loudest place",
            space.label(),
            octave_label(hertz)
        ),
        cells: map.cells,
        cell_m: map.cell_m,
        outline_m: map.outline_m,
        marks,
    }
}

/// What to enter into the receiver before anything is measured.
fn settings(analysis: &Analysis, report: &SoundReport) -> Option<Table> {
    let settings = report.settings.as_ref()?;
    let rows: Vec<Vec<String>> = (settings.lines.iter())
        .map(|line| {
            vec![
                line.loudspeaker.clone(),
                line.channel.clone(),
                analysis.exact(line.distance_m, Dimension::Length),
                format!("{:.1} ms", line.delay_s * 1e3),
                line.trim_db
                    .map_or_else(|| "by measuring".to_owned(), super::decibels),
            ]
        })
        .collect();
    let with = match settings.with_room {
        true => "the room's own sound counted",
        false => "direct sound alone",
    };
    (!rows.is_empty()).then(|| Table {
        heading: format!(
            "To enter before anything is measured, for seat {}; levels with {with}",
            settings.seat
        ),
        columns: vec![
            Column::new("Entered", ColumnKind::Tick),
            Column::new("Loudspeaker", ColumnKind::Text),
            Column::new("Channel", ColumnKind::Text),
            Column::new("Distance", ColumnKind::Number),
            Column::new("or delay", ColumnKind::Number),
            Column::new("Level", ColumnKind::Number),
        ],
        rows,
        total: Vec::new(),
    })
}

/// The strongest reflections within 15 ms, each place once.
fn reflections(analysis: &Analysis, report: &SoundReport) -> Option<Table> {
    let mut told: Vec<&ReflectionLine> = (report.reflections.iter())
        .filter(|one| one.delay_s <= 0.015)
        .collect();
    told.sort_by(|a, b| b.level_db.total_cmp(&a.level_db));
    let exact = |value: f64, dimension| analysis.exact(value, dimension);
    let rows: Vec<Vec<String>> = (told.into_iter().take(REFLECTIONS))
        .map(|one| {
            let place = match (one.on_wall_m, one.points_m.first()) {
                (Some([from_left, up]), _) => [from_left, up].map(|m| exact(m, Dimension::Length)),
                (None, Some(point)) => ["–".to_owned(), exact(point[2], Dimension::Length)],
                (None, None) => ["–".to_owned(), "–".to_owned()],
            };
            let [from_left, up] = place;
            vec![
                one.loudspeaker.clone(),
                one.seat.clone(),
                one.surfaces.join(", then "),
                from_left,
                up,
                format!("{:.1} ms", one.delay_s * 1e3),
                exact(one.level_db, Dimension::Level),
            ]
        })
        .collect();
    (!rows.is_empty()).then(|| Table {
        heading:
            "What comes back soonest and strongest; the place is where the first surface is met"
                .to_owned(),
        columns: vec![
            Column::new("Of", ColumnKind::Text),
            Column::new("At seat", ColumnKind::Text),
            Column::new("From", ColumnKind::Text),
            Column::new("From left corner", ColumnKind::Number),
            Column::new("Up", ColumnKind::Number),
            Column::new("Later", ColumnKind::Number),
            Column::new("Against the direct sound", ColumnKind::Number),
        ],
        rows,
        total: Vec::new(),
    })
}
