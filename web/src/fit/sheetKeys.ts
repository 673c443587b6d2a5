// What keys do to a drawing: walk its elements, move the one in the hand.

import type { Units } from '../api/schema';
import { box, type Flat } from './camera';
import { dot, type Drawn, type Figure } from './figure';
import type { Hands } from './useHand';

const METRES_PER_INCH = 0.0254;

/** What one key press moves by, m: plain, with Shift, and Page keys. */
export const STEPS: Record<Units, { step: number; fine: number; far: number }> = {
  imperial: { step: METRES_PER_INCH, fine: METRES_PER_INCH / 8, far: 12 * METRES_PER_INCH },
  metric: { step: 0.01, fine: 0.001, far: 0.25 },
};

type Stop = { id: string; wall?: string };

/** Half a metre is one row: within it from left to right. Walls' names come last. */
export function readingOrder(figure: Figure): Stop[] {
  const middles = figure.elements.map((drawn) => {
    const { min, max } = box(drawn.outline);
    return { id: drawn.body.id, x: (min[0] + max[0]) / 2, row: Math.round(min[1] + max[1]) };
  });
  middles.sort((a, b) => a.row - b.row || a.x - b.x);
  return [
    ...middles.map(({ id }) => ({ id })),
    ...figure.wall_names.map(({ wall }) => ({ id: `wall:${wall}`, wall })),
  ];
}

export function walkKey(
  event: KeyboardEvent,
  stops: Stop[],
  active: string | null,
  focus: (id: string) => void,
): boolean {
  const found = stops.findIndex(({ id }) => id === active);
  const now = Math.max(found, 0);
  const steps: Record<string, number> = {
    ArrowRight: now + 1,
    ArrowDown: now + 1,
    ArrowLeft: now - 1,
    ArrowUp: now - 1,
    Home: 0,
    End: stops.length - 1,
  };
  const wanted = steps[event.key];
  if (wanted === undefined || stops.length === 0) return false;
  const stop = stops[(wanted + stops.length) % stops.length];
  if (stop) focus(stop.id);
  return true;
}

const WAYS: Record<string, Flat> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
  PageUp: [0, -1],
  PageDown: [0, 1],
  Home: [-1, 0],
  End: [1, 0],
};

/** Keys while a body is in the hand. */
export function heldKey(event: KeyboardEvent, drawn: Drawn | undefined, units: Units, hands: Hands): boolean {
  if (event.key === 'Escape') hands.happens({ is: 'put back' });
  else if (event.key === 'Enter' || event.key === ' ') hands.happens({ is: 'put down' });
  else {
    const way = WAYS[event.key];
    if (!way || !drawn) return event.key === 'Tab';
    const { step, fine, far } = STEPS[units];
    const arrow = event.key.startsWith('Arrow');
    const by = !arrow ? far : event.shiftKey ? fine : step;
    hands.happens({ is: 'nudged', ...nudge(drawn, way, by) });
  }
  return true;
}

/** A step on the screen as a step of the body's place: along a wall that runs that way, or not at all. */
export function nudge(drawn: Drawn, way: Flat, by: number): { dx: number; dy: number } {
  const along = (axis: Flat): number => {
    const share = dot(way, axis);
    return Math.abs(share) < 0.5 ? 0 : Math.sign(share) * by;
  };
  return { dx: along(drawn.frame.right), dy: along(drawn.frame.up) };
}
