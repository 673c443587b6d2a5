//! Which words may a job file use where it names a row of a table?

use checks::tables::finishes::{Counts, aliases, finishes};
use checks::tables::layout::{LayoutError, Position, plain_name, promised, system, systems};
use checks::tables::wood;

use super::limit_entry;
use crate::files;
use crate::report::Page;

/// The lists, and what each is for.
pub const LISTS: [(&str, &str); 4] = [
    (
        "limits",
        "every limit that a job may change under [rules], with its value",
    ),
    (
        "layouts",
        "names for a zone's `layout`, and for an item's `channel`",
    ),
    (
        "finishes",
        "names for `finishes`, `finish` and `glazing`, with their absorption",
    ),
    ("woods", "names for the `species` of studs and joists"),
];

/// A list by its name.
pub fn list(name: &str) -> Option<String> {
    match name {
        "limits" => Some(limits()),
        "layouts" => Some(layouts()),
        "finishes" => Some(finish_table()),
        "woods" => Some(woods()),
        _ => None,
    }
}

fn limits() -> String {
    let style = files::output_style();
    let mut page = Page::default();
    let mut told = Vec::new();
    for check in checks::all().filter(|check| !check.limits.is_empty()) {
        page.line(&style.heading(check.id));
        for limit in check.limits {
            if told.contains(&limit.name) {
                page.line(&format!("  {}, as above", limit.name));
            } else {
                limit_entry(&mut page, limit);
                told.push(limit.name);
            }
        }
        page.blank();
    }
    page.line("`dryfit explain LIMIT` prints the manual of the check that uses it.");
    page.text()
}

fn layouts() -> String {
    let style = files::output_style();
    let mut page = Page::default();
    page.wrapped(
        0,
        "A layout is named by the trade's count of mains, subwoofers and overheads, as 5.1.4, or by \
         its name in ITU-R BS.2051, as 4+5+0; a channel by its plain name or by its label there. The \
         words of a name may stand in any order: left-surround, surround left.",
    );
    for system in systems() {
        page.blank();
        let besides = |count: &str| -> Vec<String> {
            let promised = promised(count).into_iter().flatten();
            let has = |own: &Position| system.channels.contains(own) || own.low_frequency;
            let beyond = promised.filter(|own| !own.any_of.iter().all(has));
            beyond.map(|own| own.name()).collect()
        };
        let (counts, wider): (Vec<&str>, Vec<&str>) =
            counts_of(system.name).partition(|count| besides(count).is_empty());
        let also = match counts.is_empty() {
            true => String::new(),
            false => format!(", as {}", counts.join(", ")),
        };
        page.line(&style.heading(&format!("{}{also}", system.name)));
        let channels: Vec<String> = (system.channels.iter())
            .map(|row| match plain_name(system.name, row.channel) {
                Some(name) => format!("{name}\u{a0}({})", row.channel),
                None => row.channel.to_owned(),
            })
            .collect();
        page.wrapped(2, &channels.join(", "));
        for count in wider {
            page.wrapped(
                2,
                &format!("{count} is that with {}", besides(count).join(", ")),
            );
        }
    }
    page.text()
}

/// The trade's counts that stand for a system.
fn counts_of(standard: &str) -> impl Iterator<Item = &'static str> {
    let known = match system("") {
        Err(LayoutError::System { known, .. }) => known,
        _ => Vec::new(),
    };
    known.into_iter().filter(move |name| {
        *name != standard && system(name).is_ok_and(|system| system.name == standard)
    })
}

fn finish_table() -> String {
    let style = files::output_style();
    let mut page = Page::default();
    page.wrapped(
        0,
        "Absorption by octave: the share of sound that does not come back, or m² of each piece. \
         Hyphens and underscores are one.",
    );
    page.blank();
    let bands = ["125", "250", "500", "1k", "2k", "4k"];
    let head: Vec<String> = bands.iter().map(|band| format!("{band:>5}")).collect();
    page.line(&style.heading(&format!("{:<36}{}", "name, octaves in Hz", head.join(""))));
    for finish in finishes() {
        let values: Vec<String> = (finish.absorption.iter().take(bands.len()))
            .map(|value| value.map_or("    –".to_owned(), |value| format!("{value:>5.2}")))
            .collect();
        let each = match finish.counts {
            Counts::PerArea => "",
            Counts::Each => " m² each",
        };
        page.line(&format!("{:<36}{}{each}", finish.key, values.join("")));
        page.wrapped(2, finish.description);
        let aliases: Vec<&str> = aliases(finish.key).collect();
        if !aliases.is_empty() {
            page.wrapped(2, &format!("also: {}", aliases.join(", ")));
        }
    }
    page.text()
}

fn woods() -> String {
    let mut page = Page::default();
    page.wrapped(
        0,
        "Species groups as lumber is stamped, with the specific gravity that holds a screw (NDS \
         table 12.3.3A, in a public copy of table 12.2A). Where the stamp can't be read, leave it \
         out: spruce-pine-fir, the lightest common framing, is taken.",
    );
    page.blank();
    for species in wood::species() {
        page.line(&format!(
            "  {:<44}{:.2}",
            species.group, species.specific_gravity
        ));
    }
    page.text()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finishes_are_listed_by_every_name_that_the_guide_uses() {
        let text = finish_table();
        for name in ["gypsum-on-studs", "wood-on-joists", "carpet-on-pad"] {
            assert!(text.contains(name), "{name}");
        }
    }

    #[test]
    fn a_small_angle_is_not_printed_as_nothing() {
        // One minute of arc.
        assert!(
            limits().contains("pixel_angle_max = 0.0167°\n"),
            "{}",
            limits()
        );
    }

    #[test]
    fn layouts_and_channels_are_told_in_both_tongues() {
        let text = layouts();
        assert!(text.contains("4+5+0, as 5.1.4\n"), "{text}");
        assert!(text.contains("left-surround\u{a0}(M+110)"), "{text}");
        assert!(text.contains("0+7+0, as 7.1\n"), "{text}");
        let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
        let pair = "top-middle-left or top-front-left, top-middle-right or top-front-right";
        assert!(
            words.contains(&format!("7.1.2 is that with {pair}")),
            "{text}"
        );
        assert!(
            words.contains("top-middle-left, top-middle-right"),
            "{text}"
        );
    }
}
