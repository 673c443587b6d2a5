// A body in the hand: what pointer and keys do to it, as a function of plain values, and what the page has to do then.
//
// Positions are of the body's middle, m. On a wall `x` is along it and `y` the height; on floor and ceiling they are the
// room's own axes. The server turns the last one into an edit.

import type { PlanSnap, WallSnap } from '../api/schema';

export interface Place {
  x: number;
  y: number;
}

/** What keeps a body where it may be. */
export interface Rail {
  of: string;
  label: string;
  /** In the plan a thing on a wall only runs along it. */
  runs: 'both' | 'x' | 'y';
  start: Place;
  /** Limits of the body's middle. */
  min: Place;
  max: Place;
  snaps: readonly Line[];
}

/** A line that the middle of a body may rest on. */
export interface Line {
  axis: 'x' | 'y';
  at: number;
  why: string;
}

export type Hand =
  | { state: 'empty' }
  /** Pressed, and not moved far enough to tell a press from a drag. */
  | { state: 'pressed'; rail: Rail; from: Place; grip_px: readonly [number, number] }
  | { state: 'held'; rail: Rail; by: 'pointer' | 'keys'; from: Place; place: Place; lines: readonly Line[] }
  /** Put down; the server has not answered yet. */
  | { state: 'saving'; rail: Rail; place: Place };

export type Happened =
  | { is: 'pressed'; rail: Rail; at: Place; px: readonly [number, number] }
  | {
      is: 'moved';
      to: Place;
      px: readonly [number, number];
      threshold_px: number;
      reach_m: number;
      free: boolean;
    }
  | { is: 'released' }
  | { is: 'picked up'; rail: Rail }
  | { is: 'nudged'; dx: number; dy: number }
  | { is: 'put down' }
  | { is: 'put back' }
  | { is: 'saved' }
  | { is: 'refused' };

export type Effect =
  /** Write the body's position to the screen. */
  | { do: 'show'; place: Place; lines: readonly Line[] }
  | { do: 'prove'; place: Place }
  | { do: 'save'; place: Place }
  /** Nothing was saved: positions and findings as before. */
  | { do: 'restore' }
  /** Pressed without being dragged. */
  | { do: 'select'; of: string }
  | { do: 'say'; text: string };

type Step = readonly [Hand, readonly Effect[]];

const EMPTY: Hand = { state: 'empty' };

/** Nothing in the hand. */
export function empty(): Hand {
  return EMPTY;
}

export function next(hand: Hand, happened: Happened): Step {
  switch (happened.is) {
    case 'pressed':
      if (hand.state !== 'empty') return [hand, []];
      return [{ state: 'pressed', rail: happened.rail, from: happened.at, grip_px: happened.px }, []];
    case 'moved':
      return moved(hand, happened);
    case 'released':
      if (hand.state === 'pressed') return [EMPTY, [{ do: 'select', of: hand.rail.of }]];
      if (hand.state === 'held' && hand.by === 'pointer') return putDown(hand);
      return [hand, []];
    case 'picked up': {
      if (hand.state !== 'empty') return [hand, []];
      const { rail } = happened;
      const held: Hand = { state: 'held', rail, by: 'keys', from: rail.start, place: rail.start, lines: [] };
      const says = `${rail.label} picked up. Arrow keys move it, Enter puts it down, Escape puts it back.`;
      return [
        held,
        [
          { do: 'show', place: rail.start, lines: [] },
          { do: 'say', text: says },
        ],
      ];
    }
    case 'nudged': {
      if (hand.state !== 'held') return [hand, []];
      const place = kept(hand.rail, { x: hand.place.x + happened.dx, y: hand.place.y + happened.dy });
      const lines = resting(hand.rail, place);
      return [
        { ...hand, place, lines },
        [
          { do: 'show', place, lines },
          { do: 'prove', place },
        ],
      ];
    }
    case 'put down':
      return hand.state === 'held' ? putDown(hand) : [hand, []];
    case 'put back':
      if (hand.state !== 'held' && hand.state !== 'pressed') return [hand, []];
      return [EMPTY, [{ do: 'restore' }, { do: 'say', text: `${hand.rail.label} is back where it stood.` }]];
    case 'saved':
      return hand.state === 'saving' ? [EMPTY, []] : [hand, []];
    case 'refused':
      return hand.state === 'saving' ? [EMPTY, [{ do: 'restore' }]] : [hand, []];
  }
}

function moved(hand: Hand, to: Extract<Happened, { is: 'moved' }>): Step {
  if (hand.state === 'pressed') {
    const far = Math.hypot(to.px[0] - hand.grip_px[0], to.px[1] - hand.grip_px[1]);
    if (far < to.threshold_px) return [hand, []];
    const held: Hand = {
      state: 'held',
      rail: hand.rail,
      by: 'pointer',
      from: hand.from,
      place: hand.rail.start,
      lines: [],
    };
    return moved(held, to);
  }
  if (hand.state !== 'held' || hand.by !== 'pointer') return [hand, []];
  const { rail, from } = hand;
  const wanted = kept(rail, { x: rail.start.x + to.to.x - from.x, y: rail.start.y + to.to.y - from.y });
  const { place, lines } = to.free ? { place: wanted, lines: [] } : snapped(rail, wanted, to.reach_m);
  return [
    { ...hand, place, lines },
    [
      { do: 'show', place, lines },
      { do: 'prove', place },
    ],
  ];
}

function putDown(hand: Extract<Hand, { state: 'held' }>): Step {
  const { rail, place } = hand;
  if (place.x === rail.start.x && place.y === rail.start.y) {
    return [EMPTY, [{ do: 'restore' }, { do: 'say', text: `${rail.label} stays where it stood.` }]];
  }
  return [{ state: 'saving', rail, place }, [{ do: 'save', place }]];
}

/** Within the rail: the nearest place where the body may be. */
export function kept(rail: Rail, wanted: Place): Place {
  const within = (value: number, min: number, max: number): number =>
    max < min ? (min + max) / 2 : Math.min(Math.max(value, min), max);
  return {
    x: rail.runs === 'y' ? rail.start.x : within(wanted.x, rail.min.x, rail.max.x),
    y: rail.runs === 'x' ? rail.start.y : within(wanted.y, rail.min.y, rail.max.y),
  };
}

/** On the nearest line of each axis that is within reach, if there is one. */
export function snapped(rail: Rail, place: Place, reach_m: number): { place: Place; lines: Line[] } {
  const x = rail.runs === 'y' ? undefined : nearest(rail.snaps, 'x', place.x, reach_m);
  const y = rail.runs === 'x' ? undefined : nearest(rail.snaps, 'y', place.y, reach_m);
  const on = { x: x?.at ?? place.x, y: y?.at ?? place.y };
  const rests = kept(rail, on);
  return {
    place: rests,
    lines: [x, y].filter((line) => line !== undefined).filter((line) => rests[line.axis] === line.at),
  };
}

function nearest(lines: readonly Line[], axis: 'x' | 'y', at: number, reach_m: number): Line | undefined {
  let best: Line | undefined;
  for (const line of lines) {
    const off = Math.abs(line.at - at);
    if (line.axis === axis && off <= reach_m && (best === undefined || off < Math.abs(best.at - at)))
      best = line;
  }
  return best;
}

/** Half a millimetre: keys land on a line only by chance, and then it is worth saying. */
const RESTS_M = 0.0005;

function resting(rail: Rail, place: Place): Line[] {
  return rail.snaps.filter((line) => Math.abs(line.at - place[line.axis]) < RESTS_M);
}

/** The server's lines of a wall, without those that stem from the body itself. */
export function wallLines(snaps: readonly WallSnap[], of: string): Line[] {
  return others(snaps, of).flatMap(({ along_m, height_m, why }) => [
    ...line('x', along_m, why),
    ...line('y', height_m, why),
  ]);
}

/** The server's lines of floor or ceiling, without those that stem from the body itself. */
export function planLines(snaps: readonly PlanSnap[], of: string): Line[] {
  return others(snaps, of).flatMap(({ x, y, why }) => [...line('x', x, why), ...line('y', y, why)]);
}

function others<S extends { of: string[] }>(snaps: readonly S[], of: string): S[] {
  return snaps.filter((snap) => !snap.of.includes(of));
}

function line(axis: 'x' | 'y', at: number | null | undefined, why: string): Line[] {
  return typeof at === 'number' ? [{ axis, at, why }] : [];
}
