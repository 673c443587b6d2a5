// A cable's way and the other one, laid over the drawing that is open.

import type { CableWay } from '../api/schema';
import type { Flat } from './camera';
import { span, type Figure, type Line, type LineKind, type Note } from './figure';
import { flat } from './plan';
import type { Scene } from './scene';
import type { View } from './view';
import { partsOnWall } from './wall';

type Piece = CableWay['path'][number];

/** The figure with both ways of a cable: the one that it takes drawn through, the other dotted. */
export function withWays(figure: Figure, scene: Scene, view: View, way: CableWay | null): Figure {
  if (way === null) return figure;
  const [own, other] = [parts(way.path, scene, view), parts(way.other?.path ?? [], scene, view)];
  return {
    ...figure,
    lines: [...figure.lines, ...lines(other, 'other-way'), ...lines(own, 'way')],
    notes: [
      ...figure.notes,
      ...note(own, `${way.cable} as planned`, 10),
      ...note(other, `${way.cable}, the other way`, 9),
    ],
  };
}

/** The drawings of a space on which either way is seen. */
export function viewsOf(scene: Scene, way: CableWay): View[] {
  const all: View[] = [{ kind: 'plan' }, ...scene.walls.map(({ id }): View => ({ kind: 'wall', wall: id }))];
  const paths = [...way.path, ...(way.other?.path ?? [])];
  return all.filter((view) => parts(paths, scene, view).length > 0);
}

function parts(path: readonly Piece[], scene: Scene, view: View): Flat[][] {
  const here = path.filter(({ space }) => space === scene.space);
  if (view.kind === 'wall') {
    const wall = scene.walls.find(({ id }) => id === view.wall);
    return wall === undefined ? [] : here.flatMap(({ points }) => partsOnWall(points, wall));
  }
  return here.map(({ points }) => points.map(flat)).filter((points) => points.length > 1);
}

function lines(parts: readonly Flat[][], kind: LineKind): Line[] {
  return parts.map((points) => ({ kind, points, over: true }));
}

/** The name stands at the middle of the longest straight part. */
function note(parts: readonly Flat[][], text: string, priority: number): Note[] {
  const edges = parts.flatMap((points) =>
    points.slice(1).map((to, at): [Flat, Flat] => [points[at] ?? to, to]),
  );
  const [first, ...rest] = edges;
  if (first === undefined) return [];
  const [a, b] = rest.reduce((best, edge) => (span(...edge) > span(...best) ? edge : best), first);
  return [{ at: [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2], text, priority }];
}
