//! Which known name did somebody mean?

use crate::failure::Failure;

/// Past so many, names are counted and not listed.
const LISTED_MAX: usize = 12;

/// The failure to find a name, with the likely one or the names that there are.
pub fn unknown<'a>(
    what: &'static str,
    written: &str,
    known: impl IntoIterator<Item = &'a str>,
    all_by: &str,
) -> Failure {
    let known: Vec<&str> = known.into_iter().collect();
    let slips_max = 1 + written.chars().count() / 4;
    let nearest = known
        .iter()
        .map(|name| (strsim::damerau_levenshtein(written, name), *name))
        .filter(|(slips, _)| *slips <= slips_max)
        .min()
        // Half a name is no slip, but says as much.
        .or_else(|| {
            let mut holding = known.iter().filter(|name| name.contains(written));
            holding.next().map(|name| (0, *name))
        });
    let known = match nearest {
        Some((_, name)) => format!("did you mean `{name}`? {all_by}"),
        None if known.is_empty() => "there are none".to_owned(),
        None if known.len() <= LISTED_MAX => format!("there is `{}`", known.join("`, `")),
        None => format!("there are {}. {all_by}", known.len()),
    };
    Failure::Unknown {
        what,
        written: written.to_owned(),
        known: known.trim_end().to_owned(),
    }
}
