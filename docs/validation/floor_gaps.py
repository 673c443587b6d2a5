"""Gaps in plan between a case and a convex piece, for crates/checks/src/shared/floor_space/gaps.csv."""

import math
import random

import shapely
from shapely.geometry import Polygon

random.seed(17)


def rectangle(x, y, along, width, depth):
    cos, sin = math.cos(along), math.sin(along)
    corners = [(-1, -1), (1, -1), (1, 1), (-1, 1)]
    return [
        (x + u * width / 2 * cos - v * depth / 2 * sin, y + u * width / 2 * sin + v * depth / 2 * cos)
        for u, v in corners
    ]


print(
    f"# source: shapely {shapely.__version__}, Polygon.distance; seed 17; docs/validation/floor_gaps.py; "
    "a gap of nothing where both overlap"
)
print("case_along_rad,case_width_m,case_depth_m,hull_x_m,hull_y_m,hull_along_rad,hull_width_m,hull_depth_m,gap_m")
for _ in range(80):
    case = [random.uniform(0, math.pi), random.uniform(0.2, 0.6), random.uniform(0.2, 0.5)]
    hull = [random.uniform(-1.6, 1.6), random.uniform(-1.6, 1.6), random.uniform(0, math.pi),
            random.uniform(0.3, 1.5), random.uniform(0.3, 1.0)]
    one = Polygon(rectangle(0, 0, *case))
    other = Polygon(rectangle(*hull))
    print(",".join(f"{part:.6f}" for part in [*case, *hull, one.distance(other)]))
