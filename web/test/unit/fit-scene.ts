// An invented room for the tests of drawings: 4 m by 3 m, 2.4 m high, x along the wall "north", y away from the room.

import type { Body, Scene, Wall } from '../../src/fit/scene';

const CORNERS: [number, number][] = [
  [0, 0],
  [4, 0],
  [4, -3],
  [0, -3],
];

export function room(bodies: Body[] = []): Scene {
  return {
    space: 'den',
    name: 'Den',
    kind: 'room',
    units: 'metric',
    floor: CORNERS,
    bounds: { min: [0, -3], max: [4, 0] },
    north_rad: null,
    height_m: 2.4,
    closed: true,
    gap_text: null,
    walls: ['north', 'east', 'south', 'west'].map((id, i) => wall(id, i)),
    ceiling: { shape: 'flat', planes: [], known: true, words: 'flat, 2.4 m', joists: [], snaps: [] },
    soffits: [],
    bodies,
    overlays: { sight_lines: [], beams: [], cones: [], routes: [] },
  };
}

function wall(id: string, i: number): Wall {
  const from: [number, number] = CORNERS[i] ?? [0, 0];
  const to: [number, number] = CORNERS[(i + 1) % 4] ?? [0, 0];
  const length_m = Math.hypot(to[0] - from[0], to[1] - from[1]);
  return {
    id,
    name: `${id} wall`,
    from,
    to,
    length_m,
    length_text: `${length_m} m`,
    doubtful: false,
    open: false,
    faces_text: null,
    top: [
      [0, 2.4],
      [length_m, 2.4],
    ],
    studs: [],
    blocks: [],
    framing_text: 'not known',
    snaps: [
      { along_m: 2, height_m: null, why: 'middle of the wall', of: [] },
      { along_m: null, height_m: 1.2, why: 'middle of the shelf', of: ['fixture:shelf'] },
    ],
  };
}

/** A thing on a wall, by the middle of its rectangle. */
export function onWall(id: string, on: string, x: number, y: number, wide = 0.4, tall = 0.2): Body {
  const blank = standing(id, 0, 0);
  return {
    ...blank,
    place: 'wall',
    wall: on,
    on_wall: { left: x - wide / 2, right: x + wide / 2, bottom: y - tall / 2, top: y + tall / 2, out: 0.1 },
    outline: null,
    centre: null,
    moves: 'wall',
  };
}

/** A thing on the floor, half a metre square, by its middle. */
export function standing(id: string, x: number, y: number): Body {
  return {
    id,
    at: id,
    kind: 'item',
    is: 'cupboard',
    label: id,
    says: id,
    existing: false,
    place: 'floor',
    wall: null,
    on_wall: null,
    outline: [
      [x - 0.25, y - 0.25],
      [x + 0.25, y - 0.25],
      [x + 0.25, y + 0.25],
      [x - 0.25, y + 0.25],
    ],
    centre: [x, y],
    bottom_m: 0,
    top_m: 1,
    moves: 'floor',
    doors: null,
    aim: null,
    fields: [],
    missing: null,
  };
}
