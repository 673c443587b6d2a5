// Where a loudspeaker can go, laid over the drawing of the wall, ceiling or floor that is open.

import type { LoudspeakerPlace } from '../api/schema';
import type { Flat } from './camera';
import type { Figure, Line, Note } from './figure';
import { flat } from './plan';
import type { View } from './view';

type Part = LoudspeakerPlace['patches'][number]['parts'][number];

/** The figure with the loudspeaker's patch on its surface, what stops it at each edge, and the place to use. */
export function withPatch(figure: Figure, view: View, found: LoudspeakerPlace | null): Figure {
  const name = view.kind === 'wall' ? view.wall : view.kind === 'ceiling' ? 'ceiling' : view.kind === 'plan' ? 'floor' : null;
  const patch = found?.patches.find(({ surface }) => surface === name);
  if (!found || !patch) return figure;
  const here = (at: readonly [number, number]): Flat => flat([at[0], at[1]]);
  const edges = patch.parts.flatMap((part) => part.rings.flat());
  const rings = patch.parts.flatMap((part: Part) =>
    part.rings.map((ring, at): Line => ({
      kind: 'seen',
      points: ring.map(({ from }) => here(from)),
      closed: true,
      // Only what is inside the outer edge is allowed.
      ...(at === 0 && part.rings.length === 1 ? { hatch: 'beam' } : {}),
    })),
  );
  const notes = found.stops.flatMap((stop, number): Note[] => {
    const own = edges.filter((edge) => edge.stop === number);
    const longest = own.reduce<(typeof own)[number] | null>(
      (best, edge) => (best === null || span(edge) > span(best) ? edge : best),
      null,
    );
    if (longest === null) return [];
    const middle: [number, number] = [
      (longest.from[0] + longest.to[0]) / 2,
      (longest.from[1] + longest.to[1]) / 2,
    ];
    return [{ at: here(middle), text: stop.label, priority: 3 }];
  });
  const spot = found.spot?.surface === name ? found.spot : null;
  return {
    ...figure,
    lines: [...figure.lines, ...rings, ...(spot ? outside(here, spot.at, patch.half_m) : [])],
    notes: [...figure.notes, ...notes, ...(spot ? [{ at: here(spot.at), text: `${found.label}: best here`, priority: 4 }] : [])],
  };
}

/** The outside of what is placed, with a cross in its middle. */
function outside(
  here: (at: readonly [number, number]) => Flat,
  [x, y]: readonly [number, number],
  [half, tall]: readonly [number, number],
): Line[] {
  const corner = (right: number, top: number): Flat => here([x + right * half, y + top * tall]);
  return [
    { kind: 'cut', points: [corner(-1, -1), corner(1, -1), corner(1, 1), corner(-1, 1)], closed: true },
    { kind: 'thin', points: [corner(-1, 0), corner(1, 0)] },
    { kind: 'thin', points: [corner(0, -1), corner(0, 1)] },
  ];
}

function span({ from, to }: { from: readonly [number, number]; to: readonly [number, number] }): number {
  return Math.hypot(to[0] - from[0], to[1] - from[1]);
}

/** The reasons at the edges of a patch nearest to a place on it, nearest first. */
export function reasonsAt(found: LoudspeakerPlace, surface: string, at: readonly [number, number]): string[] {
  const patch = found.patches.find((one) => one.surface === surface);
  const edges = patch?.parts.flatMap((part) => part.rings.flat()) ?? [];
  const away = new Map<string, number>();
  for (const edge of edges) {
    const label = edge.stop === null ? undefined : found.stops[edge.stop]?.label;
    if (label === undefined) continue;
    const off = distance(edge.from, edge.to, at);
    away.set(label, Math.min(off, away.get(label) ?? Infinity));
  }
  return [...away].sort((a, b) => a[1] - b[1]).map(([label]) => label);
}

function distance(a: readonly [number, number], b: readonly [number, number], p: readonly [number, number]): number {
  const way = [b[0] - a[0], b[1] - a[1]] as const;
  const squared = way[0] ** 2 + way[1] ** 2;
  const along = (p[0] - a[0]) * way[0] + (p[1] - a[1]) * way[1];
  const part = squared > 0 ? Math.min(1, Math.max(0, along / squared)) : 0;
  return Math.hypot(p[0] - a[0] - part * way[0], p[1] - a[1] - part * way[1]);
}
