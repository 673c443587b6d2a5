//! The floor, for what stands on it.

use analysis::{Known, Missing};

use super::{Asked, Bar, Barrier, Surface};
use crate::floor_space::{Case, Floor, KeptOff, Why};
use crate::sound::floor_clear;

impl Asked<'_> {
    pub(super) fn floor(&self, needs: &mut Vec<Missing>) -> Known<Surface> {
        let Self {
            analysis,
            space,
            item,
            kit,
            without,
        } = *self;
        let shape = analysis.shape(space);
        let named = item.at.as_ref();
        let walls = self.measured_from(named.map(|at| [at.from.0.as_str(), at.and.0.as_str()]))?;
        let [width, height, depth] = analysis.item_size(item)?.map(|side| side.value());
        let under = (item.at.as_ref()).and_then(|at| analysis.number(at.height.as_ref()));
        let under_m = under.map_or(0.0, |under| under.value());
        let sounds_up = analysis.number(kit.sounds_up.as_ref());
        let sounds_up_m = sounds_up.map_or(height / 2.0, |up| up.value());
        let case = Case {
            item,
            along: shape.wall_frame(walls[0])?.1.value(),
            half_m: [width / 2.0, depth / 2.0],
            top_m: under_m + height,
        };
        let mut floor = Floor::new(analysis, space, &case, without, Why::ALL)?;
        needs.append(&mut floor.needs);
        let grown = |thing: KeptOff| Barrier {
            check: floor_clear::CHECK.id,
            label: thing.subject.label,
            bar: Bar::Sides(
                (thing.sides.iter())
                    .map(|[x, y, touch]| [*x, *y, touch + thing.gap_m])
                    .collect(),
            ),
        };
        let [ax, ay] = case.along;
        Ok(Surface {
            name: "floor".to_owned(),
            is_floor: true,
            ceiling: None,
            outline: (shape.outline()?.iter())
                .map(|corner| [corner.x, corner.y])
                .collect(),
            origin_m: [0.0, 0.0, under_m + sounds_up_m],
            along: case.along,
            below_m: 0.0,
            from: walls.map(|wall| space.walls[wall].id.clone()),
            half_m: [
                ax.abs() * case.half_m[0] + ay.abs() * case.half_m[1],
                ay.abs() * case.half_m[0] + ax.abs() * case.half_m[1],
            ],
            barriers: floor.all().map(grown).collect(),
            ends: Vec::new(),
        })
    }
}
