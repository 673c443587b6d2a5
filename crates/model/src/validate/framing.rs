//! Do studs and joists meet the wall that they stand in, and do pathways end in the house?

use super::space::Within;
use super::{Pointer, Sense};
use crate::{Construction, Framing, Length, Space};

/// No stud or joist is narrower than this across its face, m (a light steel stud's flange of
/// 1 1/4 in, from memory).
const FACE_LEAST_M: f64 = 0.0318;
const FACE_LEAST_TEXT: &str = "32 mm (1 1/4\") at least";

impl<'a> Sense<'a> {
    /// A spacing or first stud longer than its wall is a slip of the pen.
    pub(super) fn framing_meets(&mut self, space: &Space, construction: &Construction, at: &str) {
        let wall = space.walls.iter().find(|wall| wall.id == construction.of);
        let Some(length) = wall.and_then(|wall| wall.length.as_ref()) else {
            return;
        };
        if !matches!(construction.framing, Framing::Stud | Framing::SteelStud) {
            return;
        }
        let facts = [
            ("spacing", construction.spacing.as_ref(), "studs every"),
            (
                "first_from_left",
                construction.first_from_left.as_ref(),
                "a first stud at",
            ),
        ];
        for (field, fact, what) in facts {
            let longer = fact
                .and_then(Length::value)
                .zip(length.value())
                .is_some_and(|(fact, length)| fact >= length);
            if longer {
                let text = fact.map(Length::text).unwrap_or_default();
                self.found.report(
                    format!("{at}.{field}"),
                    format!(
                        "{what} {text} can't meet wall `{}`, which is {} long",
                        construction.of,
                        length.text()
                    ),
                    "a length below the wall's",
                );
            }
        }
    }

    /// Studs or joists as close as they are wide leave no bay between them.
    pub(super) fn framing_leaves_bays(&mut self, construction: &Construction, at: &str) {
        let what = match construction.framing {
            Framing::Stud | Framing::SteelStud => "studs",
            Framing::Joist => "joists",
            Framing::Masonry | Framing::Concrete => return,
        };
        let Some(spacing) = construction.spacing.as_ref() else {
            return;
        };
        let face = construction.face.as_ref();
        let known = face.and_then(|face| Some((face.value()?, face.text())));
        let (face_m, face_text) = known.unwrap_or((FACE_LEAST_M, FACE_LEAST_TEXT));
        if spacing.value().is_some_and(|spacing| spacing <= face_m) {
            self.found.report(
                format!("{at}.spacing"),
                format!(
                    "{what} every {} leave no bay: each is {face_text} wide",
                    spacing.text()
                ),
                "the distance from the middle of one to the middle of the next, such as `16\"` or `600 mm`",
            );
        }
    }

    pub(super) fn pathways(&mut self) {
        let job = self.job;
        for pathway in job.pathway.iter() {
            let path = format!("pathway.{}", pathway.id);
            for (index, id) in pathway.holds.iter().enumerate() {
                if !job.cable.iter().any(|cable| cable.id == *id) {
                    self.found.report(
                        format!("{path}.holds.{index}"),
                        format!("no cable is called `{id}`"),
                        "ids of `[[cable]]`",
                    );
                }
            }
            for (index, end) in pathway.ends.iter().enumerate() {
                let at = format!("{path}.ends.{index}");
                let pointer = Pointer::new(format!("{at}.space"), "space", &end.space);
                self.found.unless_known(pointer, &self.known.space);
                let places = [end.on.is_some(), end.at.is_some(), end.hung.is_some()];
                if places.iter().filter(|given| **given).count() != 1 {
                    self.found.report(
                        at.clone(),
                        format!("an end of `{}` needs one place", pathway.id),
                        "one of `on`, `at` and `hung`",
                    );
                }
                let Some(space) = self.known.spaces.get(end.space.as_str()).copied() else {
                    continue;
                };
                let within = Within::new(space);
                if let Some(on) = &end.on {
                    let default = crate::Anchor::Centre;
                    self.on_wall(&format!("{at}.on"), &within, on, None, default, &pathway.id);
                }
                if let Some(place) = &end.at {
                    self.two_walls(&format!("{at}.at"), &within, &place.from, &place.and);
                }
                if let Some(place) = &end.hung {
                    self.two_walls(&format!("{at}.hung"), &within, &place.from, &place.and);
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::read;

    fn wrong(construction: &str) -> Vec<String> {
        let text = format!(
            r#"
format = 1
[job]
name = "Framing"
[[space]]
id = "den"
walls = [
  {{ id = "north", length = "5 m" }},
  {{ id = "east", length = "4 m" }},
  {{ id = "south", length = "5 m" }},
  {{ id = "west", length = "4 m" }},
]
[[space.construction]]
{construction}
"#
        );
        match read(&text, &[]) {
            Ok(_) => Vec::new(),
            Err(problems) => (problems.iter())
                .map(|one| format!("{}: {}: {}", one.at, one.message, one.accepted))
                .collect(),
        }
    }

    #[test]
    fn studs_farther_apart_than_the_wall_is_long_do_not_meet_it() {
        let of = |spacing: &str| {
            wrong(&format!(
                "of = \"east\"\nframing = \"stud\"\nspacing = \"{spacing}\""
            ))
        };
        assert!(of("3.99 m").is_empty());
        assert_eq!(
            of("4 m"),
            [
                "space.den.construction.0.spacing: studs every 4 m can't meet wall `east`, which is 4 m long: a length below the wall's"
            ]
        );
    }

    #[test]
    fn studs_closer_than_they_are_wide_leave_no_bay() {
        let of = |spacing: &str, face: &str| {
            wrong(&format!(
                "of = \"east\"\nframing = \"stud\"\nspacing = \"{spacing}\"\n{face}"
            ))
        };
        let face = "face = \"38 mm\"";
        assert!(of("39 mm", face).is_empty());
        assert_eq!(
            of("38 mm", face),
            [
                "space.den.construction.0.spacing: studs every 38 mm leave no bay: each is 38 mm wide: the distance from the middle of one to the middle of the next, such as `16\"` or `600 mm`"
            ]
        );
        // Nobody measured the face: none is narrower than 1 1/4 in, 31.75 mm.
        assert_eq!(of("16 mm", "").len(), 1);
        assert!(of("40 mm", "").is_empty());
    }
}
