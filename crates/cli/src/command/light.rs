//! Prints the contrast of a space's projected pictures through the year, and from when on each
//! can be watched.

use analysis::Analysis;
use clap::Args;

use crate::failure::Failure;
use crate::report::{Page, printable};
use crate::style::Style;
use crate::{Outcome, command, files, name};

/// Columns before what is told of a picture.
const INDENT: usize = 2;

#[derive(Args)]
pub struct Arguments {
    /// The job file; `-` reads standard input.
    file: String,
    /// The space.
    #[arg(long, value_name = "ID")]
    space: String,
    /// Print the year as JSON; `schema light` describes it.
    #[arg(long)]
    json: bool,
}

pub fn run(arguments: &Arguments) -> Result<Outcome, Failure> {
    let job = command::prove::read(&files::read(&arguments.file)?)?;
    let analysis = Analysis::new(job.clone());
    let Some(light) = view::light(&analysis, &arguments.space) else {
        let ids = job.space.iter().map(|space| space.id.as_str());
        return Err(name::unknown("space", &arguments.space, ids, ""));
    };
    let text = match arguments.json {
        true => view::text(&light),
        false => report(&light, files::output_style()),
    };
    files::print(&text)?;
    Ok(Outcome::NothingFails)
}

fn report(light: &view::Light, style: Style) -> String {
    let mut page = Page::default();
    if light.pictures.is_empty() {
        page.line(&printable(&format!(
            "Nothing projects a picture in {}.",
            light.name
        )));
    }
    for picture in &light.pictures {
        match (&picture.year, &picture.missing) {
            (Some(year), _) => tell(&mut page, light, year, style),
            (None, missing) => {
                page.line(&style.heading(&printable(&picture.projector)));
                if let Some(missing) = missing {
                    let text = format!(
                        "Not known yet: {} ({}); {}",
                        missing.what, missing.tool, missing.at
                    );
                    page.wrapped(INDENT, &printable(&text));
                }
            }
        }
    }
    page.text()
}

fn tell(page: &mut Page, light: &view::Light, year: &view::YearLight, style: Style) {
    let heading = format!(
        "{}: {} on {}",
        light.name, year.projector_name, year.screen_name
    );
    page.line(&style.heading(&printable(&heading)));
    let mut words = format!(
        "{}; at night the room leaves a contrast of {:.0}",
        year.white_text, year.night_contrast
    );
    if let Some([from, until]) = &year.watched {
        words.push_str(&format!("; watched from {from} to {until}"));
    }
    if let Some(lux) = year.reading_lux {
        words.push_str(&format!("; {lux} lx were read on site"));
    }
    page.wrapped(INDENT, &printable(&words));
    page.blank();
    page.wrapped(INDENT, "Contrast on the 21st of the month at each hour, under the brighter of a clear and an overcast sky. * sun on the picture.");
    let hours: String = (0..24).map(|hour| format!("{hour:>4}")).collect();
    page.line(&format!("     {hours}"));
    for month in &year.months {
        let cells = month.hours.iter().map(|hour| match hour {
            Some(hour) if hour.sun_on_picture => {
                format!("{:>4}", format!("*{}", hour.contrast_text))
            }
            Some(hour) => format!("{:>4}", hour.contrast_text),
            None => "   –".to_owned(),
        });
        let cells: String = cells.collect();
        page.line(&format!("  {}{cells}", &month.name[..3]));
    }
    page.blank();
    page.wrapped(INDENT, "From when on, until midnight, the contrast reaches");
    let heads = year
        .classes
        .iter()
        .map(|class| format!("{:>14}", format!("{:.0}:1", class.contrast)));
    page.line(&format!("           {}", heads.collect::<String>()));
    for month in &year.months {
        let times = month.from.iter().map(|from| format!("{:>14}", from.text));
        page.line(&format!("  {:<9}{}", month.name, times.collect::<String>()));
    }
    for class in &year.classes {
        page.wrapped(
            INDENT,
            &format!("{:.0}:1 {} ({})", class.contrast, class.name, class.backing),
        );
    }
    if !year.seats.is_empty() {
        page.blank();
        page.line("  seat                 angle    gain    cd/m²      fL");
        for seat in &year.seats {
            let doubt = if seat.is_reliable {
                ""
            } else {
                "  (gain not sure at this angle)"
            };
            let text = format!(
                "  {:<18}{:>8}{:>8.2}{:>9.1}{:>8.1}{doubt}",
                seat.seat, seat.angle_text, seat.gain, seat.white_cd_m2, seat.white_fl
            );
            page.line(&printable(&text));
        }
    }
}
