// The plan of a space, seen from above, and its ceiling plan, drawn the same way round.

import { BLANK } from '../units';
import type { Body, Scene, Wall, Xy, Xyz } from './scene';
import type { Flat } from './camera';
import { box } from './camera';
import { planLines, wallLines, type Place, type Rail } from './drag';
import { add, bands, dot, minus, outward, readable, span, ticks, without } from './figure';
import type { Chain, Distance, WallName, Drawn, Figure, Frame, Line, Note } from './figure';

/** A sign: what is behind the face of a wall is not measured. */
const WALL_M = 0.1;
/** How far from its wall a thing is drawn that has no known depth. */
const THIN_M = 0.04;

/** The room has y up, the screen down. */
export function flat([x, y]: Xy | Xyz): Flat {
  return [x, -y];
}

const ROOM: Frame = { origin: [0, 0], right: [1, 0], up: [0, -1] };

export function plan(scene: Scene): Figure {
  const shown = scene.bodies.filter((body) => body.kind !== 'opening' && outlineOf(body, scene) !== null);
  const openings = scene.bodies.filter((body) => body.kind === 'opening');
  return {
    ...common(scene),
    title: 'Plan',
    remark: null,
    looking: 'seen from above',
    lines: [...walls(scene, openings), ...gap(scene), ...overlays(scene), ...studs(scene)],
    elements: [...openings, ...shown].flatMap((body) => element(body, scene)),
  };
}

export function ceilingPlan(scene: Scene): Figure {
  const shown = scene.bodies.filter(
    (body) => body.outline !== null && (body.place === 'ceiling' || body.moves === 'ceiling'),
  );
  return {
    ...common(scene),
    title: 'Ceiling plan',
    remark: scene.ceiling.words,
    looking: 'as a mirror on the floor would show it',
    chains: scene.walls.map((wall) => ({ ...overall(wall), rank: 0 })),
    lines: [
      ...walls(scene, []),
      ...gap(scene),
      ...scene.ceiling.planes.map((plane): Line => ({ kind: 'thin', points: plane.map(flat), closed: true })),
      ...scene.ceiling.joists.map(({ from, to }): Line => ({
        kind: 'hidden',
        points: [flat(from), flat(to)],
        layer: 'framing',
      })),
      ...overlays(scene),
    ],
    elements: shown.flatMap((body) => element(body, scene)).map((drawn) => ({ ...drawn, hidden: false })),
    wall_names: [],
  };
}

function common(scene: Scene): Omit<Figure, 'title' | 'remark' | 'looking' | 'lines' | 'elements'> {
  return {
    plan: true,
    outline: scene.floor.map(flat),
    bounds: box([...scene.floor.map(flat), flat(scene.bounds.min), flat(scene.bounds.max)]),
    chains: scene.walls.flatMap((wall) => chains(wall, scene)),
    notes: notes(scene),
    wall_names: scene.walls.filter((wall) => !wall.open).map(wallName),
    north_rad: scene.north_rad,
    distances: (element, place) => distances(element, place, scene),
  };
}

function chains(wall: Wall, scene: Scene): Chain[] {
  const [from, to] = [flat(wall.from), flat(wall.to)];
  const out = outward(from, to);
  const openings = scene.bodies.filter((body) => body.kind === 'opening' && body.wall === wall.id);
  const between = openings.flatMap(({ on_wall }) => (on_wall === null ? [] : [on_wall.left, on_wall.right]));
  const whole = { ...overall(wall), rank: between.length > 0 ? 1 : 0 };
  return between.length > 0
    ? [{ from, to, out, rank: 0, ticks: ticks(wall.length_m, between) }, whole]
    : [whole];
}

/** A wall's whole length. */
function overall(wall: Wall): Chain {
  const [from, to] = [flat(wall.from), flat(wall.to)];
  return {
    from,
    to,
    out: outward(from, to),
    rank: 0,
    ticks: [0, wall.length_m],
    text: wall.length_text ?? BLANK,
    wall: wall.id,
    doubtful: wall.doubtful,
  };
}

function wallName(wall: Wall): WallName {
  const [from, to] = [flat(wall.from), flat(wall.to)];
  return {
    wall: wall.id,
    name: wall.name,
    at: [(from[0] + to[0]) / 2, (from[1] + to[1]) / 2],
    out: outward(from, to),
    turn_rad: readable(Math.atan2(to[1] - from[1], to[0] - from[0])),
  };
}

/** Cut walls: hatched between the openings, dashed where there is none. */
function walls(scene: Scene, openings: readonly Body[]): Line[] {
  const outline = scene.floor.map(flat);
  const all = bands(outline, WALL_M);
  return scene.walls.flatMap((wall, i): Line[] => {
    const [from, to] = [flat(wall.from), flat(wall.to)];
    if (wall.open) return [{ kind: 'hidden', points: [from, to] }];
    const gaps = openings.flatMap(({ wall: on, on_wall }) =>
      on === wall.id && on_wall !== null ? [[on_wall.left, on_wall.right] as const] : [],
    );
    const along = minus(to, from);
    const long = span(from, to) || 1;
    const unit: Flat = [along[0] / long, along[1] / long];
    const out = outward(from, to);
    const mitred = scene.closed ? all[i] : undefined;
    return without(wall.length_m, gaps).flatMap(([a, b]): Line[] => {
      const [start, end] = [add(from, unit, a), add(from, unit, b)];
      const first = a === 0 ? mitred?.[3] : undefined;
      const last = b === wall.length_m ? mitred?.[2] : undefined;
      return [
        {
          kind: 'thin',
          points: [start, end, last ?? add(end, out, WALL_M), first ?? add(start, out, WALL_M)],
          closed: true,
          hatch: 'wall',
        },
        {
          kind: 'cut',
          points: [
            ...(a === 0 ? [] : [add(start, out, WALL_M)]),
            start,
            end,
            ...(b === wall.length_m ? [] : [add(end, out, WALL_M)]),
          ],
        },
      ];
    });
  });
}

function gap(scene: Scene): Line[] {
  const [first, last] = [scene.floor[0], scene.floor[scene.floor.length - 1]];
  return scene.closed || first === undefined || last === undefined
    ? []
    : [{ kind: 'axis', points: [flat(last), flat(first)] }];
}

function studs(scene: Scene): Line[] {
  return scene.walls.flatMap((wall) => {
    const [from, to] = [flat(wall.from), flat(wall.to)];
    const unit: Flat = [(to[0] - from[0]) / wall.length_m, (to[1] - from[1]) / wall.length_m];
    const out = outward(from, to);
    return wall.studs.map(({ centre_m, width_m }): Line => {
      const [a, b] = [add(from, unit, centre_m - width_m / 2), add(from, unit, centre_m + width_m / 2)];
      return {
        kind: 'thin',
        points: [a, b, add(b, out, WALL_M), add(a, out, WALL_M)],
        closed: true,
        hatch: 'ground',
        layer: 'framing',
      };
    });
  });
}

function overlays(scene: Scene): Line[] {
  const { sight_lines, beams, cones, routes } = scene.overlays;
  return [
    ...sight_lines.map(({ seat, item, from, to }): Line => ({
      kind: 'field',
      points: [flat(from), flat(to)],
      layer: 'sight',
      of: [seat, item],
    })),
    ...beams.flatMap(({ item, lens, corners }): Line[] => [
      { kind: 'field', points: hull([lens, ...corners].map(flat)), closed: true, layer: 'beam', of: [item] },
      { kind: 'axis', points: [flat(lens), flat(centre(corners))], layer: 'beam', of: [item] },
    ]),
    ...cones.map((cone): Line => ({
      kind: 'field',
      points: coverage(cone),
      closed: true,
      layer: 'cones',
      of: [cone.item],
      within: true,
    })),
    ...routes.map(({ path }): Line => ({ kind: 'route', points: path.map(flat), layer: 'routes' })),
  ];
}

function notes(scene: Scene): Note[] {
  const routes = scene.overlays.routes.flatMap(({ label, path }): Note[] => {
    const half = path[Math.floor(path.length / 2)];
    return half === undefined ? [] : [{ at: flat(half), text: label, priority: 1, layer: 'routes' }];
  });
  const first = scene.floor[0];
  const last = scene.floor[scene.floor.length - 1];
  const open: Note[] =
    scene.gap_text === null || first === undefined || last === undefined
      ? []
      : [
          {
            at: flat([(first[0] + last[0]) / 2, (first[1] + last[1]) / 2]),
            text: scene.gap_text,
            priority: 9,
          },
        ];
  return [...routes, ...open];
}

/** What a cone covers, seen from above: its axis swung by its half angle, as far as it reaches. */
function coverage(cone: { apex: Xyz; axis: Xyz; half_angle_rad: number; reach_m: number }): Flat[] {
  const { apex, axis, half_angle_rad, reach_m } = cone;
  const level = Math.hypot(axis[0], axis[1]);
  const circle = (middle: Xy, radius: number): Flat[] =>
    Array.from({ length: 36 }, (_, i) => {
      const turn = (i / 36) * 2 * Math.PI;
      return flat([middle[0] + radius * Math.cos(turn), middle[1] + radius * Math.sin(turn)]);
    });
  // Steeper than its half angle it has ground on all sides of its apex: the rim is what is shown.
  if (Math.atan2(level, Math.abs(axis[2])) < half_angle_rad) {
    const far = (reach_m * Math.cos(half_angle_rad)) / (Math.hypot(level, axis[2]) || 1);
    const middle: Xy = [apex[0] + axis[0] * far, apex[1] + axis[1] * far];
    return circle(middle, reach_m * Math.sin(half_angle_rad));
  }
  const heading = Math.atan2(axis[1], axis[0]);
  const arc = Array.from({ length: 17 }, (_, i): Flat => {
    const turn = heading + half_angle_rad * (i / 8 - 1);
    return flat([apex[0] + reach_m * Math.cos(turn), apex[1] + reach_m * Math.sin(turn)]);
  });
  return [flat(apex), ...arc];
}

export function centre(points: readonly Xyz[]): Xyz {
  const sum = points.reduce<Xyz>((all, p) => [all[0] + p[0], all[1] + p[1], all[2] + p[2]], [0, 0, 0]);
  const count = points.length || 1;
  return [sum[0] / count, sum[1] / count, sum[2] / count];
}

/** The convex hull of some points, for what is drawn as the shadow of a solid. */
export function hull(points: readonly Flat[]): Flat[] {
  const sorted = [...points].sort((a, b) => a[0] - b[0] || a[1] - b[1]);
  const half = (from: readonly Flat[]): Flat[] => {
    const chain: Flat[] = [];
    for (const p of from) {
      while (chain.length >= 2) {
        const [a, b] = [chain[chain.length - 2] ?? p, chain[chain.length - 1] ?? p];
        if ((b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]) > 1e-12) break;
        chain.pop();
      }
      chain.push(p);
    }
    return chain.slice(0, -1);
  };
  return [...half(sorted), ...half([...sorted].reverse())];
}

/** A body's outline from above; for what lies flat on a wall, a strip along it. */
function outlineOf(body: Body, scene: Scene): Flat[] | null {
  if (body.outline !== null && body.outline.length > 2 && body.kind !== 'opening')
    return body.outline.map(flat);
  const wall = scene.walls.find((wall) => wall.id === body.wall);
  if (wall === undefined || body.on_wall === null) return null;
  const [from, to] = [flat(wall.from), flat(wall.to)];
  const unit: Flat = [(to[0] - from[0]) / wall.length_m, (to[1] - from[1]) / wall.length_m];
  const out = outward(from, to);
  const [a, b] = [add(from, unit, body.on_wall.left), add(from, unit, body.on_wall.right)];
  const depth = body.kind === 'opening' ? WALL_M : -Math.max(body.on_wall.out ?? 0, THIN_M);
  return [a, b, add(b, out, depth), add(a, out, depth)];
}

function element(body: Body, scene: Scene): Drawn[] {
  const outline = outlineOf(body, scene);
  if (outline === null) return [];
  const wall = scene.walls.find((wall) => wall.id === body.wall);
  const frame = wall !== undefined && body.on_wall !== null ? wallFrame(wall) : ROOM;
  return [
    {
      body,
      outline,
      lines: detail(body, outline),
      hidden: body.place === 'ceiling',
      frame,
      rail: railOf(body, outline, wall, scene),
    },
  ];
}

/** Along a wall, as it lies in the plan; heights have no extent there. */
function wallFrame(wall: Wall): Frame {
  const [from, to] = [flat(wall.from), flat(wall.to)];
  const long = span(from, to) || 1;
  return { origin: from, right: [(to[0] - from[0]) / long, (to[1] - from[1]) / long], up: [0, 0] };
}

function railOf(body: Body, outline: readonly Flat[], wall: Wall | undefined, scene: Scene): Rail | null {
  const { of, label } = { of: body.id, label: body.label };
  if (body.moves === null) return null;
  if (body.moves === 'wall') {
    if (wall === undefined || body.on_wall === null) return null;
    return { of, label, runs: 'x', ...wallRail(body, body.on_wall, wall) };
  }
  const around = box(outline);
  const [x, y] = body.centre ?? [(around.min[0] + around.max[0]) / 2, -(around.min[1] + around.max[1]) / 2];
  const half = { x: (around.max[0] - around.min[0]) / 2, y: (around.max[1] - around.min[1]) / 2 };
  const { min, max } = scene.bounds;
  return {
    of,
    label,
    runs: 'both',
    start: { x, y },
    min: { x: min[0] + half.x, y: min[1] + half.y },
    max: { x: max[0] - half.x, y: max[1] - half.y },
    snaps: planLines(scene.ceiling.snaps, of),
  };
}

/** Where the middle of a thing on a wall may go, and the lines that it may rest on. */
export function wallRail(
  body: Body,
  on: { left: number; right: number; bottom: number; top: number },
  wall: Wall,
): Pick<Rail, 'start' | 'min' | 'max' | 'snaps'> {
  const half = { x: (on.right - on.left) / 2, y: (on.top - on.bottom) / 2 };
  const start = { x: on.left + half.x, y: on.bottom + half.y };
  const top = Math.max(...wall.top.map(([, height]) => height), on.top);
  return {
    start,
    min: { x: half.x, y: half.y },
    max: { x: wall.length_m - half.x, y: top - half.y },
    snaps: wallLines(wall.snaps, body.id),
  };
}

/** What tells one kind of thing from another within its outline. */
function detail(body: Body, outline: readonly Flat[]): Line[] {
  const kind = body.existing ? 'existing' : 'seen';
  const [a, b, c, d] = outline;
  if (a === undefined || b === undefined || c === undefined || d === undefined) return [];
  const half = (p: Flat, q: Flat, share = 0.5): Flat => [
    p[0] + (q[0] - p[0]) * share,
    p[1] + (q[1] - p[1]) * share,
  ];
  switch (body.is) {
    case 'window':
      return [
        { kind: 'thin', points: [half(a, d, 0.35), half(b, c, 0.35)] },
        { kind: 'thin', points: [half(a, d, 0.65), half(b, c, 0.65)] },
      ];
    case 'door':
      return leaf(body);
    case 'ceiling-light':
    case 'wall-light':
      return outline.length === 4
        ? [
            { kind, points: [a, c] },
            { kind, points: [b, d] },
          ]
        : [];
    default:
      return aim(body, outline);
  }
}

/** A door's leaf, open, and the way of its edge. */
function leaf(body: Body): Line[] {
  const [hinge, ...way] = (body.doors?.swing ?? []).map(flat);
  const open = way[way.length - 1];
  if (hinge === undefined || open === undefined) return [];
  return [
    { kind: 'seen', points: [hinge, open] },
    { kind: 'thin', points: way },
  ];
}

/** A loudspeaker's or projector's axis: a short centre line out of its outline. */
function aim(body: Body, outline: readonly Flat[]): Line[] {
  if (body.aim === null) return [];
  const around = box(outline);
  const from: Flat = [(around.min[0] + around.max[0]) / 2, (around.min[1] + around.max[1]) / 2];
  const way = flat(body.aim);
  const long = Math.hypot(way[0], way[1]);
  if (long < 0.05) return [];
  return [{ kind: 'axis', points: [from, add(from, way, 0.5 / long)] }];
}

function distances(element: Drawn, place: Place, scene: Scene): Distance[] {
  const { body, frame, rail, outline } = element;
  const wall = scene.walls.find((wall) => wall.id === body.wall);
  if (wall !== undefined && body.on_wall !== null) {
    const half = (body.on_wall.right - body.on_wall.left) / 2;
    const inside = outward(flat(wall.to), flat(wall.from));
    const depth = Math.max(body.on_wall.out ?? 0, THIN_M) + 0.12;
    const at = (along: number): Flat => add(add(frame.origin, frame.right, along), inside, depth);
    const middle = rail === null ? (body.on_wall.left + body.on_wall.right) / 2 : place.x;
    return [
      { from: at(0), to: at(middle - half), to_what: 'left corner' },
      { from: at(middle + half), to: at(wall.length_m), to_what: 'right corner' },
    ];
  }
  const around = box(outline);
  const centre: Flat = [(around.min[0] + around.max[0]) / 2, (around.min[1] + around.max[1]) / 2];
  const moved = rail === null ? centre : flat([place.x, place.y]);
  const half: Flat = [(around.max[0] - around.min[0]) / 2, (around.max[1] - around.min[1]) / 2];
  const ways: Flat[] = [
    [-1, 0],
    [1, 0],
    [0, -1],
    [0, 1],
  ];
  return ways.flatMap((way) => {
    const from = add(moved, [way[0] * half[0], way[1] * half[1]]);
    const hit = ray(from, way, scene);
    return hit === null ? [] : [{ from, to: hit.at, to_what: hit.wall.name }];
  });
}

/** The first wall that a ray meets. */
function ray(from: Flat, way: Flat, scene: Scene): { at: Flat; wall: Wall } | null {
  let best: { far: number; wall: Wall } | null = null;
  for (const wall of scene.walls) {
    const [a, b] = [flat(wall.from), flat(wall.to)];
    const edge = minus(b, a);
    const cross = way[0] * edge[1] - way[1] * edge[0];
    if (Math.abs(cross) < 1e-9) continue;
    const off = minus(a, from);
    const far = (off[0] * edge[1] - off[1] * edge[0]) / cross;
    const along = (off[0] * way[1] - off[1] * way[0]) / cross;
    if (far > 1e-6 && along >= -1e-6 && along <= 1 + 1e-6 && (best === null || far < best.far))
      best = { far, wall };
  }
  return best === null ? null : { at: add(from, way, best.far), wall: best.wall };
}

/** Along and height of a point of the room on a wall, and how far it stands off. */
export function onWall(wall: Wall, [x, y, z]: Xyz): { along: number; height: number; off: number } {
  const unit: Flat = [
    (wall.to[0] - wall.from[0]) / wall.length_m,
    (wall.to[1] - wall.from[1]) / wall.length_m,
  ];
  const from: Flat = [x - wall.from[0], y - wall.from[1]];
  return { along: dot(from, unit), height: z, off: from[0] * unit[1] - from[1] * unit[0] };
}
