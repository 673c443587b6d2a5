//! Spaces fitted together by the openings that they share.

use model::{Joined, Space};
use uncertainty::{Uncertain, Vector2, Vector3};

use crate::{Analysis, Known, Means, Missing};

impl Analysis {
    /// A point of a space in the frame of the space that its chain of joins ends at, with
    /// that space's id: points of one house part share a frame.
    pub fn in_house(&self, space: &Space, point: &Vector3) -> Known<(String, Vector3)> {
        // The space that was handed in need not have its openings.
        let mut here = self.joined_space(&space.id).unwrap_or(space);
        let mut point = Vector3 {
            z: &point.z + self.floor_level(space),
            ..point.clone()
        };
        // The reader refuses rings; the bound keeps a job built in memory finite too.
        for _ in 0..=self.job.space.len() {
            let Some(joined) = &here.joined else { break };
            let (next, moved) = self.across(here, joined, &point.in_plan())?;
            point = moved.at_height(point.z);
            here = next;
        }
        Ok((here.id.clone(), point))
    }

    fn floor_level(&self, space: &Space) -> Uncertain {
        self.number(space.floor_level.as_ref()).unwrap_or_default()
    }

    /// Carries a point of `space` through the shared opening into the other space's frame.
    fn across<'a>(
        &'a self,
        space: &Space,
        joined: &Joined,
        point: &Vector2,
    ) -> Known<(&'a Space, Vector2)> {
        let at = format!("space.{}.joined", space.id);
        let ask = |what: &str| {
            Missing::new(
                format!("{what} between {} and {}", space.label(), joined.to),
                at.clone(),
                Means::Tape,
            )
        };
        let (other_id, opening_id) = joined
            .to
            .split_once('.')
            .ok_or_else(|| ask("the opening"))?;
        let other = self
            .joined_space(other_id)
            .ok_or_else(|| ask("the space"))?;
        let mine = space
            .opening
            .iter()
            .find(|opening| opening.id == joined.opening)
            .ok_or_else(|| ask("the opening"))?;
        let theirs = other
            .opening
            .iter()
            .find(|opening| opening.id == opening_id)
            .ok_or_else(|| ask("the opening"))?;
        let thickness = self.number(joined.wall.as_ref()).unwrap_or_else(|| {
            self.assumed(
                &format!(
                    "the thickness of the wall between {} and {}",
                    space.label(),
                    other.label()
                ),
                &format!("{at}.wall"),
                0.12,
                0.05,
            )
        });
        let near = self.opening_rect(space, mine)?;
        let far = self.opening_rect(other, theirs)?;
        let (near_left, near_along, near_inward) = self.shape(space).wall_frame(near.wall)?;
        let (far_left, far_along, far_inward) = self.shape(other).wall_frame(far.wall)?;
        let near_middle = &near_left + &near_along.scaled(&near.centre_left());
        let far_middle = &far_left + &far_along.scaled(&far.centre_left());
        // What runs along this wall runs against the other; what is deep in this room is
        // as deep behind the other's wall, and the wall's thickness more.
        let offset = point - &near_middle;
        let sideways = -offset.dot(&near_along);
        let behind = -(offset.dot(&near_inward) + thickness);
        let moved = &(&far_middle + &far_along.scaled(&sideways)) + &far_inward.scaled(&behind);
        Ok((other, moved))
    }
}
