//! Ids, compass directions and lists in the words of people.

/// A name as people read it: "screen-wall" as "Screen wall".
pub(crate) fn words(id: &str) -> String {
    capital(&id.replace(['-', '_'], " "))
}

/// A phrase as the beginning of a line.
pub(crate) fn capital(phrase: &str) -> String {
    let mut letters = phrase.chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => String::new(),
    }
}

/// "a, b and c".
pub(crate) fn list(parts: &[String]) -> String {
    match parts {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// The compass point nearest to a direction, rad clockwise from north.
pub(crate) fn compass(direction_rad: f64) -> &'static str {
    const POINTS: [&str; 8] = [
        "north",
        "north-east",
        "east",
        "south-east",
        "south",
        "south-west",
        "west",
        "north-west",
    ];
    let eighth = std::f64::consts::FRAC_PI_4;
    let index = (direction_rad / eighth).round().rem_euclid(8.0) as usize;
    POINTS[index % 8]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn compass_points_go_round_clockwise() {
        let degrees = |angle: f64| compass(angle.to_radians());
        assert_eq!(degrees(10.0), "north");
        assert_eq!(degrees(100.0), "east");
        assert_eq!(degrees(-100.0), "west");
        assert_eq!(degrees(359.0), "north");
        assert_eq!(degrees(587.0), "south-west");
    }

    #[test]
    fn a_list_reads_as_a_sentence_part() {
        let parts = ["a", "b", "c"].map(str::to_owned);
        assert_eq!(list(&parts), "a, b and c");
        assert_eq!(list(&parts[..1]), "a");
        assert_eq!(list(&[]), "");
    }
}
