//! Prints what the sound of each room is: what to enter into the receiver first, how long it
//! rings by every law, what comes back from where, how loud each seat is, noise; by tracing rays
//! where it is asked for.

use analysis::Analysis;
use checks::{LEVEL_HZ, NOISE_OCTAVES_HZ, RayTimes, SoundReport};
use clap::Args;
use model::{Space, SpaceKind};
use units::Dimension;

use crate::failure::Failure;
use crate::report::{Page, printable};
use crate::style::Style;
use crate::{Outcome, command, files, name};

/// Columns before what is told of a room.
const INDENT: usize = 2;

/// As many reflections are printed for each room.
const REFLECTIONS: usize = 24;

#[derive(Args)]
pub struct Arguments {
    /// The job file; `-` reads standard input.
    file: String,
    /// One space alone.
    #[arg(long, value_name = "ID")]
    space: Option<String>,
    /// Trace so many rays: for gables and rooms that no formula is valid for.
    #[arg(long, value_name = "COUNT", value_parser = clap::value_parser!(u32).range(100..=2_000_000))]
    rays: Option<u32>,
    /// The share of energy that faces scatter when rays are traced.
    #[arg(long, value_name = "SHARE", default_value_t = 0.3)]
    scattering: f64,
    /// Print it as JSON.
    #[arg(long)]
    json: bool,
}

pub fn run(arguments: &Arguments) -> Result<Outcome, Failure> {
    let job = command::prove::read(&files::read(&arguments.file)?)?;
    let analysis = Analysis::new(job.clone());
    let spaces: Vec<&Space> = match arguments.space.as_deref() {
        None => (job.space.iter())
            .map(|space| &**space)
            .filter(|space| space.kind != Some(SpaceKind::Outdoor))
            .collect(),
        Some(id) => match job.space.iter().find(|space| space.id == id) {
            Some(space) => vec![&**space],
            None => {
                let ids = job.space.iter().map(|space| space.id.as_str());
                return Err(name::unknown("space", id, ids, ""));
            }
        },
    };
    let reports: Vec<(&Space, SoundReport)> = (spaces.into_iter())
        .map(|space| (space, checks::sound_report(&analysis, space)))
        .collect();
    if arguments.json {
        let told: Vec<&SoundReport> = reports.iter().map(|(_, report)| report).collect();
        files::print(&view::text(&told))?;
        return Ok(Outcome::NothingFails);
    }
    let style = files::output_style();
    let mut page = Page::default();
    for (space, report) in &reports {
        let rays = arguments.rays.map(|rays| {
            let share = arguments.scattering.clamp(0.0, 1.0);
            checks::ray_times(&analysis, space, rays, share, |_| false)
        });
        told(&mut page, &analysis, (space, report), style);
        match rays {
            Some(Ok(Some(times))) => told_rays(&mut page, &times, arguments.scattering),
            Some(Err(missing)) => {
                page.wrapped(INDENT, &printable(&format!("no rays: needs {missing}")));
            }
            _ => {}
        }
        page.blank();
    }
    files::print(&page.text())?;
    Ok(Outcome::NothingFails)
}

fn told(
    page: &mut Page,
    analysis: &Analysis,
    (space, report): (&Space, &SoundReport),
    style: Style,
) {
    page.line(&style.heading(&printable(space.label())));
    for missing in &report.missing {
        page.wrapped(INDENT, &printable(&format!("not known yet: {missing}")));
    }
    let mut tell = |text: &str| page.wrapped(INDENT, &printable(text));
    let exact = |value: f64, dimension| analysis.exact(value, dimension);
    for line in report.settings.iter().flat_map(|settings| &settings.lines) {
        let level = line.trim_db.map_or_else(String::new, |trim_db| {
            format!(", level {}", signed_db(trim_db))
        });
        tell(&format!(
            "enter for {}: distance {}, or delay {:.1} ms{level}",
            line.loudspeaker,
            exact(line.distance_m, Dimension::Length),
            line.delay_s * 1e3,
        ));
    }
    for octave in &report.decay {
        let laws: Vec<String> = (octave.laws.iter())
            .map(|(law, time)| format!("{law} {time:.2}"))
            .collect();
        let wanted = octave.wanted_s.map_or_else(String::new, |[low, high]| {
            format!(", {low:.2} to {high:.2} asked for")
        });
        tell(&format!(
            "rings at {}: {:.2} s \u{b1} {:.2} ({}){wanted}; {}",
            exact(octave.frequency_hz, Dimension::Frequency),
            octave.time_s,
            octave.open_s,
            octave.law,
            laws.join(", "),
        ));
    }
    for one in report.reflections.iter().take(REFLECTIONS) {
        let place = one.on_wall_m.map_or_else(String::new, |[from_left, up]| {
            format!(
                ", {} from its left end and {} up",
                exact(from_left, Dimension::Length),
                exact(up, Dimension::Length),
            )
        });
        tell(&format!(
            "{} at {}: {} after {:.1} ms from {}{place}",
            one.loudspeaker,
            one.seat,
            exact(one.level_db, Dimension::Level),
            one.delay_s * 1e3,
            one.surfaces.join(", then "),
        ));
    }
    for one in &report.levels {
        let octaves: Vec<String> = (one.level_db.iter().zip(LEVEL_HZ))
            .map(|(level, hertz)| format!("{hertz:.0} Hz {level:+.1}"))
            .collect();
        tell(&format!(
            "{} at {}, dB re 1 m before it: {}",
            one.loudspeaker,
            one.seat,
            octaves.join(", ")
        ));
    }
    for one in &report.noise {
        let octaves: Vec<String> = (one.level_db.iter().zip(NOISE_OCTAVES_HZ))
            .map(|(level, hertz)| format!("{hertz:.0} Hz {level:.0}"))
            .collect();
        tell(&format!(
            "noise at {}: NC-{:.0}, NR-{:.0}; dB {}",
            one.seat,
            one.nc,
            one.nr,
            octaves.join(", ")
        ));
    }
}

/// As a receiver shows it, to half a decibel.
fn signed_db(level_db: f64) -> String {
    let half = (level_db * 2.0).round() / 2.0;
    format!("{:+.1} dB", if half == 0.0 { 0.0 } else { half })
}

fn told_rays(page: &mut Page, times: &RayTimes, scattering: f64) {
    let seconds = |time: Option<f64>| time.map_or_else(|| "?".to_owned(), |t| format!("{t:.2} s"));
    page.wrapped(
        INDENT,
        &printable(&format!(
            "by {} rays, {:.0} % scattered, {} faces met:",
            times.rays,
            scattering * 100.0,
            times.bounces
        )),
    );
    for (hertz, t20, t30) in &times.octaves {
        let line = format!(
            "{hertz:.0} Hz: T20 {}, T30 {}",
            seconds(*t20),
            seconds(*t30)
        );
        page.wrapped(INDENT + 2, &printable(&line));
    }
}
