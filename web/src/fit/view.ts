// Which drawing of a space is open, how the URL names it, and which drawing shows a given body.

import type { Body, Scene } from './scene';

/** A drawing of a space: plan, ceiling plan, one wall seen from inside, or the space in three dimensions. */
export type View =
  { kind: 'plan' } | { kind: 'ceiling' } | { kind: 'space' } | { kind: 'wall'; wall: string };

export const PLAN: View = { kind: 'plan' };

/** The view that a URL names; the plan when it names none that this space has. */
export function viewOf(text: string | null, scene: Scene): View {
  if (text === 'ceiling') return { kind: 'ceiling' };
  if (text === '3d') return { kind: 'space' };
  return scene.walls.some((wall) => wall.id === text) && text !== null ? { kind: 'wall', wall: text } : PLAN;
}

export function viewText(view: View): string {
  switch (view.kind) {
    case 'plan':
      return 'plan';
    case 'ceiling':
      return 'ceiling';
    case 'space':
      return '3d';
    case 'wall':
      return view.wall;
  }
}

export function viewName(view: View, scene: Scene): string {
  switch (view.kind) {
    case 'plan':
      return 'Plan';
    case 'ceiling':
      return 'Ceiling plan';
    case 'space':
      return '3-D';
    case 'wall':
      return scene.walls.find((wall) => wall.id === view.wall)?.name ?? view.wall;
  }
}

/** Whether a drawing shows the body as an element that can be pressed. */
export function sees(view: View, body: Body): boolean {
  switch (view.kind) {
    case 'plan':
      return body.outline !== null || (body.wall !== null && body.on_wall !== null);
    case 'ceiling':
      return body.outline !== null && (body.place === 'ceiling' || body.moves === 'ceiling');
    case 'wall':
      return body.wall === view.wall && body.on_wall !== null;
    case 'space':
      return false;
  }
}

/**
 * The view in which these bodies can be seen: the open one when it shows them all, else a wall that holds them all, else the
 * plan.
 */
export function viewFor(bodies: readonly Body[], open: View | null, scene: Scene): View {
  if (bodies.length === 0) return open ?? PLAN;
  const shows = (view: View): boolean => bodies.every((body) => sees(view, body));
  if (open !== null && open.kind !== 'space' && shows(open)) return open;
  const walls = scene.walls.map(({ id }): View => ({ kind: 'wall', wall: id }));
  return walls.find(shows) ?? PLAN;
}
