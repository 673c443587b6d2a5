// What a flat drawing consists of, before it has a scale: lines by kind, elements that can be pressed, dimension chains.

import type { Body, Scene } from './scene';
import type { Box, Flat } from './camera';
import type { Place, Rail } from './drag';

/** Line kinds of the drawings; each has one width and dash in fit.css. */
export type LineKind = 'cut' | 'seen' | 'thin' | 'hidden' | 'axis' | 'existing' | 'route' | 'field' | 'way' | 'other-way';

/** What a reader may show or leave out. */
export type Layer = 'sight' | 'beam' | 'cones' | 'framing' | 'routes' | 'dimensions';

export const LAYERS: readonly { id: Layer; name: string }[] = [
  { id: 'sight', name: 'Sight lines' },
  { id: 'beam', name: 'Beam pyramid' },
  { id: 'cones', name: 'Coverage cones' },
  { id: 'framing', name: 'Studs and joists' },
  { id: 'routes', name: 'Cable routes' },
  { id: 'dimensions', name: 'Dimensions' },
];

export interface Line {
  kind: LineKind;
  points: readonly Flat[];
  closed?: boolean;
  hatch?: 'wall' | 'beam' | 'ground';
  layer?: Layer;
  /** Above the bodies that it falls on. */
  over?: boolean;
  /** Ends at the room's walls. */
  within?: boolean;
  /** Bodies that it belongs to: it is shown with a finding about all of them, whatever the switch says. */
  of?: readonly string[];
}

/** A text that belongs to a point of the drawing. */
export interface Note {
  at: Flat;
  text: string;
  priority: number;
  layer?: Layer;
  of?: readonly string[];
}

/** A row of dimensions along a line, from left to right as it is read. */
export interface Chain {
  from: Flat;
  to: Flat;
  /** Which side of the line, as a unit vector. */
  out: Flat;
  /** 0 is nearest to the wall. */
  rank: number;
  /** Where the ticks are, m from `from`. */
  ticks: readonly number[];
  /** A figure that the server has printed, for a chain of one length. */
  text?: string;
  /** The wall whose whole length it is. */
  wall?: string;
  /** In brackets: measured worse than with a tape. */
  doubtful?: boolean;
}

/** How the axes of a body's place lie in the drawing: `flat = origin + x·right + y·up`. */
export interface Frame {
  origin: Flat;
  right: Flat;
  up: Flat;
}

/** A body as it is drawn. */
export interface Drawn {
  body: Body;
  outline: readonly Flat[];
  lines: readonly Line[];
  /** Above where the plan is cut, or behind what hangs before it: only outlined. */
  hidden: boolean;
  frame: Frame;
  /** Where it may be dragged to in this drawing. */
  rail: Rail | null;
}

/** A wall's name on the plan; pressing it opens the wall's elevation. */
export interface WallName {
  wall: string;
  name: string;
  at: Flat;
  /** Outwards, as a unit vector. */
  out: Flat;
  /** Along the wall, so that it can be read from below or from the right. */
  turn_rad: number;
}

export interface Figure {
  /** Seen from above, whether floor or ceiling. */
  plan: boolean;
  title: string;
  /** "Seen from above", "seen from inside, facing north". */
  looking: string;
  /** A sentence that belongs below it. */
  remark: string | null;
  bounds: Box;
  /** The room's outline, for what ends at its walls. */
  outline: readonly Flat[];
  lines: readonly Line[];
  elements: readonly Drawn[];
  chains: readonly Chain[];
  notes: readonly Note[];
  wall_names: readonly WallName[];
  /** Towards north, radians clockwise from up; null where it means nothing or is not known. */
  north_rad: number | null;
  /** The dimensions of one element at a place: to corners, floor and ceiling, or to the walls about it. */
  distances: (element: Drawn, place: Place) => Distance[];
}

/** A length between two points of the drawing. */
export interface Distance {
  from: Flat;
  to: Flat;
  to_what: string;
}

export function add(a: Flat, b: Flat, times = 1): Flat {
  return [a[0] + b[0] * times, a[1] + b[1] * times];
}

export function minus(a: Flat, b: Flat): Flat {
  return [a[0] - b[0], a[1] - b[1]];
}

export function dot(a: Flat, b: Flat): number {
  return a[0] * b[0] + a[1] * b[1];
}

export function span(a: Flat, b: Flat): number {
  return Math.hypot(b[0] - a[0], b[1] - a[1]);
}

/** Where a place is in the drawing. */
export function flatOf(frame: Frame, place: Place): Flat {
  return add(add(frame.origin, frame.right, place.x), frame.up, place.y);
}

/** The place under a point of the drawing; an axis without extent in it stays 0. */
export function placeOf(frame: Frame, at: Flat): Place {
  const off = minus(at, frame.origin);
  const along = (axis: Flat): number => {
    const square = dot(axis, axis);
    return square === 0 ? 0 : dot(off, axis) / square;
  };
  return { x: along(frame.right), y: along(frame.up) };
}

/** From a frame's start to a place, in the drawing. */
export function shift(frame: Frame, from: Place, to: Place): Flat {
  return minus(flatOf(frame, to), flatOf(frame, from));
}

/**
 * A closed outline's thickness: for each edge the quadrangle between it and its parallel outside. Corners are mitred up to
 * three thicknesses. `left` says on which side outside is, walking along the outline.
 */
export function bands(outline: readonly Flat[], thick: number): Flat[][] {
  const count = outline.length;
  const at = (i: number): Flat => outline[(i + count) % count] ?? [0, 0];
  const normal = (i: number): Flat => outward(at(i), at(i + 1));
  const outer = (i: number): Flat => {
    const before = normal(i - 1);
    const after = normal(i);
    const both: Flat = [before[0] + after[0], before[1] + after[1]];
    const square = dot(both, both);
    const long = square < 1e-9 ? 1 : Math.min(2 / square, 4.5);
    return add(at(i), both, thick * long);
  };
  return outline.map((_, i) => [at(i), at(i + 1), outer(i + 1), outer(i)]);
}

/** Outwards of an outline that is walked clockwise on the screen (y down): to the left of the way. */
export function outward(from: Flat, to: Flat): Flat {
  const long = span(from, to) || 1;
  return [(to[1] - from[1]) / long, -(to[0] - from[0]) / long];
}

/** What is left of 0 to `length` after taking gaps out. */
export function without(length: number, gaps: readonly (readonly [number, number])[]): [number, number][] {
  const left: [number, number][] = [];
  let from = 0;
  for (const [a, b] of [...gaps].sort((one, two) => one[0] - two[0])) {
    if (a > from) left.push([from, Math.min(a, length)]);
    from = Math.max(from, b);
  }
  if (from < length) left.push([from, length]);
  return left.filter(([a, b]) => b > a);
}

const UPRIGHT_RAD = 0.1;

/** Turned so that it reads from below or from the right. */
export function readable(turn_rad: number): number {
  const turned = Math.atan2(Math.sin(turn_rad), Math.cos(turn_rad));
  // Walls are seldom quite upright: near there all read from the right.
  if (turned > Math.PI / 2 - UPRIGHT_RAD) return turned - Math.PI;
  if (turned <= -Math.PI / 2 - UPRIGHT_RAD) return turned + Math.PI;
  return turned;
}

/** Ticks of a chain: both ends and what is between, closer than a millimetre counted once. */
export function ticks(length: number, between: readonly number[]): number[] {
  const sorted = [0, ...between.filter((at) => at > 0 && at < length), length].sort((a, b) => a - b);
  return sorted.filter((at, i) => i === 0 || at - (sorted[i - 1] ?? 0) > 0.001);
}

/** Bodies of a space by id. */
export function bodiesOf(scene: Scene, ids: readonly string[]): Body[] {
  return ids.flatMap((id) => scene.bodies.filter((body) => body.id === id));
}
