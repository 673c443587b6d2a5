//! Asks the inverse questions: where a projector can hang, how large a picture can be, how
//! high a display should hang, where loudspeakers go.

mod at;

use std::collections::BTreeSet;

use analysis::Analysis;
use clap::{Args, ValueEnum};
use finders::Height;
use units::Dimension;
use view::{
    DisplayPlaces, FoundPlan, FoundSpot, FoundStop, LargestPictures, LayoutPlaces,
    LoudspeakerPlaces, ProjectorPlaces, Verdict,
};

use crate::failure::Failure;
use crate::report::Page;
use crate::{Outcome, command, files, name};

#[derive(Args)]
pub struct Arguments {
    /// What to find.
    what: What,
    /// The job file; `-` reads standard input.
    file: String,
    /// The space.
    #[arg(long, value_name = "ID")]
    space: String,
    /// For a projector: how far below the ceiling it hangs, as `14"` or `350 mm`; as it hangs
    /// now when left out.
    #[arg(long, value_name = "LENGTH", conflicts_with = "above")]
    drop: Option<String>,
    /// For a projector: how far above the floor it stands.
    #[arg(long, value_name = "LENGTH")]
    above: Option<String>,
    /// For loudspeakers: one of them alone.
    #[arg(long, value_name = "ID")]
    item: Option<String>,
    #[command(flatten)]
    place: at::Place,
    /// Print the answer as JSON, all numbers in SI; `schema` describes it by the same name.
    #[arg(long)]
    json: bool,
}

#[derive(Clone, Copy, ValueEnum)]
enum What {
    /// Where each projector can hang or stand with every check met, and what stops it.
    ProjectorPlace,
    /// The largest picture where each one is, what stops it, and what stops the next.
    LargestPicture,
    /// The best height and tilt of each display for its seats.
    DisplayPlace,
    /// Where each loudspeaker of a layout can go for every seat, and what stops it.
    LoudspeakerPlace,
    /// What stops one loudspeaker at a place, and the nearest place where nothing does.
    LoudspeakerAt,
    /// Where all loudspeakers of a layout should go together: a few answers to choose from.
    LayoutPlaces,
}

pub fn run(arguments: &Arguments) -> Result<Outcome, Failure> {
    let job = command::prove::read(&files::read(&arguments.file)?)?;
    let analysis = Analysis::new(job.clone());
    let space = arguments.space.as_str();
    let unknown = || {
        let ids = job.space.iter().map(|space| space.id.as_str());
        name::unknown("space", space, ids, "")
    };
    let text = match arguments.what {
        What::ProjectorPlace => {
            let found = view::projector_places(&analysis, space, height(arguments)?);
            let found = found.ok_or_else(unknown)?;
            match arguments.json {
                true => view::text(&found),
                false => projector_text(&found),
            }
        }
        What::LargestPicture => {
            let found = view::largest_pictures(&analysis, space).ok_or_else(unknown)?;
            match arguments.json {
                true => view::text(&found),
                false => picture_text(&found),
            }
        }
        What::DisplayPlace => {
            let found = view::display_places(&analysis, space).ok_or_else(unknown)?;
            match arguments.json {
                true => view::text(&found),
                false => display_text(&found),
            }
        }
        What::LoudspeakerPlace => {
            let only = arguments.item.as_deref();
            let found = view::loudspeaker_places(&analysis, space, only).ok_or_else(unknown)?;
            match arguments.json {
                true => view::text(&found),
                false => loudspeaker_text(&found),
            }
        }
        What::LoudspeakerAt => {
            let space = analysis.space(space).ok_or_else(unknown)?;
            let found = at::found(
                &analysis,
                space,
                arguments.item.as_deref(),
                &arguments.place,
            )?;
            match arguments.json {
                true => view::text(&found),
                false => at::text(&found),
            }
        }
        What::LayoutPlaces => {
            let found = view::layout_places(&analysis, space).ok_or_else(unknown)?;
            match arguments.json {
                true => view::text(&found),
                false => layout_text(&found),
            }
        }
    };
    files::print(&text)?;
    Ok(Outcome::NothingFails)
}

/// A length as people write it, m.
fn length(text: &str) -> Result<f64, Failure> {
    let read = units::read(text, Dimension::Length).ok();
    let value = read.and_then(|reading| reading.value);
    let usable = value.filter(|value| (0.0..100.0).contains(value));
    usable.ok_or_else(|| Failure::Length {
        written: text.to_owned(),
    })
}

fn height(arguments: &Arguments) -> Result<Option<Height>, Failure> {
    match (&arguments.drop, &arguments.above) {
        (Some(drop), _) => Ok(Some(Height::Drop(length(drop)?))),
        (None, Some(above)) => Ok(Some(Height::Above(length(above)?))),
        (None, None) => Ok(None),
    }
}

fn projector_text(found: &ProjectorPlaces) -> String {
    let mut page = Page::default();
    for projector in &found.projectors {
        page.wrapped(0, &projector.says);
        if !projector.drops_text.is_empty() {
            page.wrapped(
                2,
                &format!("It has a place at drops of {}.", projector.drops_text),
            );
        }
        if let Some(place) = &projector.place {
            page.wrapped(2, &place.says);
            page.wrapped(
                2,
                &format!("There it {}: {}", word(place.verdict), place.because),
            );
        }
        listed(&mut page, "What stops it at the edges", &projector.stops);
        for need in &projector.needs {
            page.wrapped(2, &format!("Not looked at, for want of {need}."));
        }
        page.blank();
    }
    let dangers = found.projectors.iter().flat_map(|one| &one.cautions);
    beware(&mut page, dangers);
    if found.projectors.is_empty() {
        page.line("There is no projector in this space.");
    }
    page.text()
}

fn word(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Fails => "fails",
        Verdict::Tight => "is tight",
        Verdict::Unknown => "is not known",
        Verdict::Fits => "fits",
    }
}

fn picture_text(found: &LargestPictures) -> String {
    let mut page = Page::default();
    for picture in &found.pictures {
        page.wrapped(0, &picture.says);
        for (number, stop) in picture.stops.iter().enumerate() {
            let words = format!("{}: {} ({})", stop.size_text, stop.label, stop.check);
            page.hanging_from(2, &format!("{}. ", number + 1), &words);
            page.wrapped(5, &stop.because);
        }
        if let Some(order) = &picture.order {
            page.wrapped(2, &order.says);
        }
        listed(&mut page, "Too small there", &picture.too_small);
        listed(&mut page, "Fails at every size", &picture.always);
        page.blank();
    }
    let dangers = found.pictures.iter().flat_map(|one| &one.cautions);
    beware(&mut page, dangers);
    if found.pictures.is_empty() {
        page.line("There is no picture in this space.");
    }
    page.text()
}

fn display_text(found: &DisplayPlaces) -> String {
    let mut page = Page::default();
    for display in &found.displays {
        page.wrapped(0, &display.says);
        for stretch in &display.stretches {
            let end = |stop: &Option<FoundStop>| match stop {
                Some(stop) => format!("{} ({})", stop.label, stop.check),
                None => "nothing that was tried".to_owned(),
            };
            let words = format!(
                "{}: below stops {}, above stops {}",
                stretch.text,
                end(&stretch.below),
                end(&stretch.above)
            );
            page.wrapped(2, &words);
        }
        if let Some(best) = &display.best {
            page.wrapped(2, &best.says);
        }
        listed(&mut page, "Fails at every height", &display.always);
        page.blank();
    }
    let dangers = found.displays.iter().flat_map(|one| &one.cautions);
    beware(&mut page, dangers);
    if found.displays.is_empty() {
        page.line("There is no display in this space.");
    }
    page.text()
}

fn loudspeaker_text(found: &LoudspeakerPlaces) -> String {
    let mut page = Page::default();
    for one in &found.loudspeakers {
        page.wrapped(0, &one.says);
        spot_text(&mut page, one.spot.as_ref());
        listed(&mut page, "What stops it at the edges", &one.stops);
        for need in &one.needs {
            page.wrapped(2, &format!("Not looked at, for want of {need}."));
        }
        page.blank();
    }
    let dangers = found.loudspeakers.iter().flat_map(|one| &one.cautions);
    beware(&mut page, dangers);
    if found.loudspeakers.is_empty() {
        page.line("No loudspeaker of this space plays a channel of a layout.");
    }
    page.text()
}

/// A place to use, what each seat loses there, and what its checks say.
fn spot_text(page: &mut Page, spot: Option<&FoundSpot>) {
    let Some(spot) = spot else { return };
    page.wrapped(2, &spot.says);
    for seat in &spot.seats {
        page.hanging_from(4, "- ", &seat.text);
    }
    if !spot.because.is_empty() {
        let told = format!("There it {}: {}", word(spot.verdict), spot.because);
        page.wrapped(2, &told);
    }
}

fn layout_text(found: &LayoutPlaces) -> String {
    let mut page = Page::default();
    let mut told = |plan: &FoundPlan| {
        page.wrapped(0, &plan.says);
        for place in &plan.places {
            page.hanging_from(2, "- ", &place.says);
        }
        for seat in &plan.seats {
            page.wrapped(2, seat);
        }
        page.blank();
    };
    for zone in &found.zones {
        zone.present.iter().for_each(&mut told);
        zone.plans.iter().for_each(&mut told);
    }
    for need in found.zones.iter().flat_map(|zone| &zone.needs) {
        page.wrapped(0, &format!("Left out for want of {need}."));
    }
    let dangers = found.zones.iter().flat_map(|zone| &zone.cautions);
    beware(&mut page, dangers);
    if found.zones.is_empty() {
        page.line("No zone of this space has a layout.");
    }
    page.text()
}

/// Each caution once.
fn beware<'a>(page: &mut Page, dangers: impl Iterator<Item = &'a &'static str>) {
    let dangers: BTreeSet<&str> = dangers.copied().collect();
    for danger in dangers {
        page.hanging_from(0, "! ", danger);
    }
}

fn listed(page: &mut Page, title: &str, stops: &[FoundStop]) {
    if stops.is_empty() {
        return;
    }
    page.wrapped(2, &format!("{title}:"));
    for stop in stops {
        page.hanging_from(4, "- ", &format!("{} ({})", stop.label, stop.check));
    }
}
