// Where the projectors can be, laid over a drawing seen from above.

import type { ProjectorPlace } from '../api/schema';
import type { Figure, Line, Note } from './figure';
import { flat } from './plan';

/** The figure with each region hatched inside its edge, what stops it there, and the place to use. */
export function withRegions(figure: Figure, projectors: readonly ProjectorPlace[]): Figure {
  if (!figure.plan) return figure;
  return {
    ...figure,
    lines: [...figure.lines, ...projectors.flatMap(regionLines)],
    notes: [...figure.notes, ...projectors.flatMap(stopNotes)],
  };
}

function regionLines({ parts, place }: ProjectorPlace): Line[] {
  const rings = parts.flatMap((part) =>
    part.rings.map((ring, at): Line => ({
      kind: 'seen',
      points: ring.map(({ from }) => flat(from)),
      closed: true,
      // Only what is inside the outer edge is allowed.
      ...(at === 0 && part.rings.length === 1 ? { hatch: 'beam' } : {}),
    })),
  );
  if (place === null) return rings;
  const [x, y] = place.at;
  const arm = 0.08;
  const cross: Line[] = [
    { kind: 'cut', points: [flat([x - arm, y]), flat([x + arm, y])] },
    { kind: 'cut', points: [flat([x, y - arm]), flat([x, y + arm])] },
  ];
  return [...rings, ...cross];
}

/** Each stop beside its longest edge. */
function stopNotes({ parts, stops, place, label }: ProjectorPlace): Note[] {
  const edges = parts.flatMap((part) => part.rings.flat());
  const notes = stops.flatMap((stop, number): Note[] => {
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
    return [{ at: flat(middle), text: stop.label, priority: 3 }];
  });
  const here: Note[] = place === null ? [] : [{ at: flat(place.at), text: `${label}: most room`, priority: 4 }];
  return [...notes, ...here];
}

function span({ from, to }: { from: readonly [number, number]; to: readonly [number, number] }): number {
  return Math.hypot(to[0] - from[0], to[1] - from[1]);
}
