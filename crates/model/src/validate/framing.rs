//! Do studs and joists meet the wall that they stand in, and do pathways end in the house?

use super::space::Within;
use super::{Pointer, Sense};
use crate::{Construction, Framing, Length, Space};

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

    pub(super) fn pathways(&mut self) {
        let job = self.job;
        for pathway in &job.pathway {
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
