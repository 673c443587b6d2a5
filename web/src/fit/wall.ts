// A wall seen from inside: left is left, heights from the finished floor.

import { BLANK } from '../units';
import type { Body, Scene, Wall, Xy, Xyz } from './scene';
import { box, type Flat } from './camera';
import type { Place } from './drag';
import { bands, ticks } from './figure';
import type { Chain, Distance, Drawn, Figure, Frame, Line, Note } from './figure';
import { centre, hull, onWall, wallRail } from './plan';

/** A sign: how thick what is cut is drawn. */
const CUT_M = 0.1;
/** A block between studs, as tall as the timber is thick. */
const BLOCK_M = 0.038;
/** What stands no further off its wall than this is part of its elevation. */
const NEAR_M = 0.25;

const WALL: Frame = { origin: [0, 0], right: [1, 0], up: [0, -1] };

const up = (along: number, height: number): Flat => [along, -height];

export function elevation(scene: Scene, wall: Wall): Figure {
  const top = upper(wall, scene);
  const outline: Flat[] = [
    up(0, 0),
    ...top.map(([along, height]) => up(along, height)),
    up(wall.length_m, 0),
  ];
  const bodies = scene.bodies.filter((body) => body.wall === wall.id && body.on_wall !== null);
  return {
    plan: false,
    outline,
    title: wall.name,
    looking: ['seen from inside', wall.faces_text].filter(Boolean).join(', '),
    remark: [wall.framing_text, shadowWords(scene, wall)].filter(Boolean).join(' ') || null,
    bounds: box(outline),
    lines: [
      ...cut(outline),
      ...framing(wall, top),
      ...before(scene, wall),
      ...beams(scene, wall),
      ...routes(scene, wall),
    ],
    elements: bodies.sort(byKind).map((body) => element(body, wall)),
    chains: chains(wall, bodies, top),
    notes: notes(scene, wall),
    wall_names: [],
    north_rad: null,
    distances: (element, place) => distances(element, place, wall, top),
  };
}

/** The upper edge; a wall of unknown height is drawn as tall as the space, or as a door is. */
function upper(wall: Wall, scene: Scene): Xy[] {
  if (wall.top.length > 1) return wall.top;
  const height = scene.height_m ?? 2.4;
  return [
    [0, height],
    [wall.length_m, height],
  ];
}

/** The height of a wall's upper edge above a point of it. */
export function topAt(top: readonly Xy[], along: number): number | null {
  for (let i = 1; i < top.length; i++) {
    const [a, b] = [top[i - 1], top[i]];
    if (a === undefined || b === undefined || along < a[0] || along > b[0]) continue;
    const share = b[0] === a[0] ? 0 : (along - a[0]) / (b[0] - a[0]);
    return a[1] + (b[1] - a[1]) * share;
  }
  return null;
}

/** Openings behind, then what was there, then what is added: small things stay on top. */
function byKind(a: Body, b: Body): number {
  const rank = (body: Body): number => (body.kind === 'opening' ? 0 : body.existing ? 1 : 2);
  const area = ({ on_wall: on }: Body): number =>
    on === null ? 0 : (on.right - on.left) * (on.top - on.bottom);
  return rank(a) - rank(b) || area(b) - area(a);
}

function cut(outline: readonly Flat[]): Line[] {
  return [
    ...bands(outline, CUT_M).map((quad): Line => ({
      kind: 'thin',
      points: quad,
      closed: true,
      hatch: 'wall',
    })),
    { kind: 'cut', points: outline, closed: true },
  ];
}

function framing(wall: Wall, top: readonly Xy[]): Line[] {
  const studs = wall.studs.flatMap(({ centre_m, width_m }) =>
    [centre_m - width_m / 2, centre_m + width_m / 2].flatMap((along): Line[] => {
      const height = topAt(top, along);
      return height === null
        ? []
        : [{ kind: 'hidden', points: [up(along, 0), up(along, height)], layer: 'framing' }];
    }),
  );
  const blocks = wall.blocks.map(({ height_m, from_m, to_m }): Line => {
    const [low, high] = [height_m - BLOCK_M / 2, height_m + BLOCK_M / 2];
    return {
      kind: 'hidden',
      points: [up(from_m, low), up(to_m, low), up(to_m, high), up(from_m, high)],
      closed: true,
      hatch: 'ground',
      layer: 'framing',
    };
  });
  return [...studs, ...blocks];
}

/** Soffits that meet the wall, and what stands close before it on the floor or hangs there. */
function before(scene: Scene, wall: Wall): Line[] {
  const soffits = scene.soffits.flatMap(({ corners }): Line[] => {
    const on = corners.map((corner) => onWall(wall, corner));
    if (
      !on.some(
        ({ off, along }) => Math.abs(off) < NEAR_M && along > -NEAR_M && along < wall.length_m + NEAR_M,
      )
    )
      return [];
    const points = hull(on.map(({ along, height }) => up(clamp(along, wall), height)));
    return [{ kind: 'seen', points, closed: true, hatch: 'beam' }];
  });
  const standing = scene.bodies.flatMap((body): Line[] => {
    if (body.on_wall !== null || body.outline === null || body.bottom_m === null || body.top_m === null)
      return [];
    const on = body.outline.map(([x, y]) => onWall(wall, [x, y, 0]));
    if (Math.min(...on.map(({ off }) => Math.abs(off))) > NEAR_M) return [];
    const along = on.map((point) => point.along);
    const [left, right] = [Math.min(...along), Math.max(...along)];
    if (right < 0 || left > wall.length_m) return [];
    const points = [
      up(left, body.bottom_m),
      up(right, body.bottom_m),
      up(right, body.top_m),
      up(left, body.top_m),
    ];
    return [{ kind: 'existing', points, closed: true }];
  });
  return [...soffits, ...standing];
}

function clamp(along: number, wall: Wall): number {
  return Math.min(Math.max(along, 0), wall.length_m);
}

/** Where a beam falls on this wall, and what darkens it there. */
function beams(scene: Scene, wall: Wall): Line[] {
  return scene.overlays.beams.flatMap(({ item, corners, shadows }): Line[] => {
    const on = corners.map((corner) => onWall(wall, corner));
    if (on.length === 0 || on.some(({ off }) => Math.abs(off) > NEAR_M)) return [];
    const middle = onWall(wall, centre(corners));
    return [
      {
        kind: 'field',
        points: on.map(({ along, height }) => up(along, height)),
        closed: true,
        layer: 'beam',
        of: [item],
      },
      ...shadows.map(({ of, outline }): Line => ({
        kind: 'field',
        points: outline.map((corner) => onWall(wall, corner)).map(({ along, height }) => up(along, height)),
        closed: true,
        hatch: 'beam',
        layer: 'beam',
        over: true,
        of: [item, ...of],
      })),
      {
        kind: 'axis',
        points: [up(middle.along, 0), up(middle.along, middle.height)],
        layer: 'beam',
        of: [item],
      },
    ];
  });
}

function routes(scene: Scene, wall: Wall): Line[] {
  return scene.overlays.routes.flatMap(({ path }) =>
    partsOnWall(path, wall).map((points): Line => ({ kind: 'route', points, layer: 'routes' })),
  );
}

/** The parts of a way through the space that run on or in this wall, as they are drawn. */
export function partsOnWall(path: readonly Xyz[], wall: Wall): Flat[][] {
  return runs(
    path.map((point) => onWall(wall, point)),
    wall,
  );
}

/** The parts of a way that run on or in this wall. */
function runs(way: readonly { along: number; height: number; off: number }[], wall: Wall): Flat[][] {
  const parts: Flat[][] = [];
  let part: Flat[] = [];
  for (const { along, height, off } of way) {
    if (Math.abs(off) < NEAR_M && along > -NEAR_M && along < wall.length_m + NEAR_M) {
      part.push(up(clamp(along, wall), height));
      continue;
    }
    if (part.length > 1) parts.push(part);
    part = [];
  }
  if (part.length > 1) parts.push(part);
  return parts;
}

/** Whose shadows fall on pictures of this wall, and on how much of them. */
function shadowWords(scene: Scene, wall: Wall): string | null {
  const beams = scene.overlays.beams.filter(({ corners }) =>
    corners.every((corner) => Math.abs(onWall(wall, corner).off) <= NEAR_M),
  );
  const said = beams.flatMap(({ shadows }) => shadows.map(({ says }) => says));
  return said.length === 0 ? null : `In the beam: ${said.join('; ')} of the picture.`;
}

function notes(scene: Scene, wall: Wall): Note[] {
  return scene.overlays.routes.flatMap(({ label, path }): Note[] => {
    const part = partsOnWall(path, wall)[0];
    const [a, b] = [part?.[0], part?.[1]];
    if (a === undefined || b === undefined) return [];
    return [{ at: [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2], text: label, priority: 1, layer: 'routes' }];
  });
}

/** Below: openings, then the middles of what is added, then the whole wall. Beside: the heights of its ends. */
function chains(wall: Wall, bodies: readonly Body[], top: readonly Xy[]): Chain[] {
  const [from, to] = [up(0, 0), up(wall.length_m, 0)];
  const edges = bodies.flatMap(({ kind, on_wall: on }) =>
    kind === 'opening' && on !== null ? [on.left, on.right] : [],
  );
  const middles = bodies.flatMap(({ kind, existing, on_wall: on }) =>
    kind === 'item' && !existing && on !== null ? [(on.left + on.right) / 2] : [],
  );
  const rows = [edges, middles].filter((row) => row.length > 0);
  const below = rows.map((row, rank): Chain => ({
    from,
    to,
    out: [0, 1],
    rank,
    ticks: ticks(wall.length_m, row),
  }));
  const overall: Chain = {
    from,
    to,
    out: [0, 1],
    rank: rows.length,
    ticks: [0, wall.length_m],
    text: wall.length_text ?? BLANK,
    wall: wall.id,
    doubtful: wall.doubtful,
  };
  const height = (along: number, out: Flat): Chain[] => {
    const high = topAt(top, along);
    return high === null ? [] : [{ from: up(along, 0), to: up(along, high), out, rank: 0, ticks: [0, high] }];
  };
  const highest = top.reduce((best, point) => (point[1] > best[1] ? point : best), top[0] ?? [0, 0]);
  const level = top.every(([, high]) => Math.abs(high - highest[1]) < 0.002);
  const ridge: Chain[] =
    level || highest[0] <= 0.001 || highest[0] >= wall.length_m - 0.001
      ? []
      : [{ from: up(0, 0), to: up(0, highest[1]), out: [-1, 0], rank: 1, ticks: [0, highest[1]] }];
  return [
    ...below,
    overall,
    ...height(0, [-1, 0]),
    ...(level ? [] : height(wall.length_m, [1, 0])),
    ...ridge,
  ];
}

function element(body: Body, wall: Wall): Drawn {
  const on = body.on_wall ?? { left: 0, right: 0, bottom: 0, top: 0, out: null };
  const outline = [
    up(on.left, on.bottom),
    up(on.right, on.bottom),
    up(on.right, on.top),
    up(on.left, on.top),
  ];
  return {
    body,
    outline,
    lines: detail(body, on),
    hidden: body.is === 'mount',
    frame: WALL,
    rail:
      body.moves === null
        ? null
        : {
            of: body.id,
            label: body.label,
            runs: standsOnFloor(body, on) ? 'x' : 'both',
            ...wallRail(body, on, wall),
          },
  };
}

/** A door is walked through: a hand that slips lifts it off the floor in no drawing. */
function standsOnFloor(body: Body, on: { bottom: number }): boolean {
  return body.kind === 'opening' && on.bottom === 0;
}

/** What tells one kind of thing from another within its outline. */
function detail(body: Body, on: { left: number; right: number; bottom: number; top: number }): Line[] {
  const kind = body.existing ? 'existing' : 'seen';
  const [wide, tall] = [on.right - on.left, on.top - on.bottom];
  const inset = (by: number, as: Line['kind'] = 'thin'): Line => ({
    kind: as,
    points: [
      up(on.left + by, on.bottom + by),
      up(on.right - by, on.bottom + by),
      up(on.right - by, on.top - by),
      up(on.left + by, on.top - by),
    ],
    closed: true,
  });
  const small = Math.min(wide, tall);
  const middle = (on.left + on.right) / 2;
  switch (body.is) {
    case 'window':
      return [
        inset(Math.min(0.05, small / 4)),
        { kind: 'thin', points: [up(middle, on.bottom), up(middle, on.top)] },
      ];
    case 'door': {
      const frame = Math.min(0.05, small / 8);
      return [
        {
          kind: 'thin',
          points: [
            up(on.left + frame, on.bottom),
            up(on.left + frame, on.top - frame),
            up(on.right - frame, on.top - frame),
            up(on.right - frame, on.bottom),
          ],
        },
      ];
    }
    case 'wall-light':
      return [
        { kind, points: [up(on.left, on.bottom), up(on.right, on.top)] },
        { kind, points: [up(on.left, on.top), up(on.right, on.bottom)] },
      ];
    case 'display':
    case 'screen':
      return [
        inset(Math.min(0.02, small / 6)),
        { kind: 'axis', points: [up(middle, on.bottom - 0.06), up(middle, on.top + 0.06)] },
      ];
    case 'fireplace':
      return [inset(small * 0.1), inset(small * 0.14)];
    case 'loudspeaker':
      return tall > wide * 2.2 || wide > tall * 2.2
        ? [inset(small * 0.12)]
        : [{ kind: 'thin', points: round(middle, (on.bottom + on.top) / 2, small * 0.34), closed: true }];
    default:
      return [];
  }
}

function round(x: number, y: number, radius: number): Flat[] {
  return Array.from({ length: 24 }, (_, i) => {
    const turn = (i / 24) * 2 * Math.PI;
    return up(x + radius * Math.cos(turn), y + radius * Math.sin(turn));
  });
}

function distances(element: Drawn, place: Place, wall: Wall, top: readonly Xy[]): Distance[] {
  const on = element.body.on_wall;
  if (on === null) return [];
  const half = { x: (on.right - on.left) / 2, y: (on.top - on.bottom) / 2 };
  const at = element.rail === null ? { x: on.left + half.x, y: on.bottom + half.y } : place;
  const ceiling = topAt(top, at.x);
  return [
    { from: up(0, at.y), to: up(at.x - half.x, at.y), to_what: 'left corner' },
    { from: up(at.x + half.x, at.y), to: up(wall.length_m, at.y), to_what: 'right corner' },
    { from: up(at.x, 0), to: up(at.x, at.y - half.y), to_what: 'floor' },
    ...(ceiling === null
      ? []
      : [{ from: up(at.x, at.y + half.y), to: up(at.x, ceiling), to_what: 'ceiling' }]),
  ];
}
