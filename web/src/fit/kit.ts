// What can be put into a room, and where it stands at first.

import type { CatalogueKind, Edit } from '../api/schema';
import { at, idsAt, listAt, textAt } from '../walk/document';
import { onWall } from './plan';
import type { Scene, Wall, Xyz } from './scene';

/** A kind and entry that an item may be of. */
export type Kit = {
  key: string;
  id: string;
  kind: string;
  name: string;
  label: string;
  /** What brings it from the catalogue into the job; nothing where the job has it. */
  edits: Edit[];
};

/** The job's own kit first, then what only the catalogue has. */
export function kitOf(document: unknown, catalogue: readonly CatalogueKind[]): Kit[] {
  const kinds = at(document, 'kit');
  const named = typeof kinds === 'object' && kinds !== null ? Object.keys(kinds) : [];
  const own = named.flatMap((kind) =>
    idsAt(document, `kit.${kind}`).map((id): Kit => {
      const name = textAt(document, `kit.${kind}.${id}.name`) ?? id;
      return { key: `job ${id}`, id, kind, name, label: `${name}, ${kind}`, edits: [] };
    }),
  );
  // An item names its entry by the id alone, whatever its kind.
  const taken = new Set(own.map(({ id }) => id));
  const shop = catalogue.flatMap(({ kind, entries }) =>
    entries
      .filter(({ id }) => !taken.has(id))
      .map(({ id, name, facts }): Kit => {
        const list = `kit.${kind}`;
        const edits: Edit[] =
          listAt(document, list).length === 0
            ? [{ at: list, set: [facts] }]
            : [{ at: `${list}.${id}`, set: facts }];
        return { key: `shop ${id}`, id, kind, name, label: `${name}, ${kind}, from the catalogue`, edits };
      }),
  );
  return [...own, ...shop];
}

/** Walls, floor, ceiling and cupboards, and nowhere yet. */
export function placesOf(scene: Scene, document: unknown): { value: string; label: string }[] {
  const cupboards = idsAt(document, 'kit.cupboard');
  const holders = idsAt(document, 'item').filter((id) => cupboards.includes(textAt(document, `item.${id}.is`) ?? ''));
  return [
    ...scene.walls.filter((wall) => !wall.open).map(({ id, name }) => ({ value: `wall:${id}`, label: `on ${name}` })),
    { value: 'floor', label: 'on the floor' },
    ...(scene.kind === 'outdoor' ? [] : [{ value: 'ceiling', label: 'at the ceiling' }]),
    ...holders.map((id) => ({ value: `in:${id}`, label: `in ${textAt(document, `item.${id}.name`) ?? id}` })),
    { value: 'later', label: 'not placed yet' },
  ];
}

/** Where kit of a kind is usually put: on the wall that is looked at, if any. */
export function usual(kind: string, scene: Scene, looked: string | null): string {
  const wall = looked ?? scene.walls.find(({ open }) => !open)?.id;
  if (kind === 'projector' && scene.kind !== 'outdoor') return 'ceiling';
  const isFlat = ['screen', 'display', 'mount', 'plate', 'loudspeaker'].includes(kind);
  return isFlat && wall !== undefined ? `wall:${wall}` : 'floor';
}

/** A hand's height above the floor, where a thing on a wall is put at first, m. */
const HAND_M = 1.2;

/** The middle of what was chosen, as a job file writes a place. */
export function first(where: string, scene: Scene, print: (metres: number) => string): object {
  const [kind, name] = where.split(':');
  const wall = scene.walls.find(({ id }) => id === name);
  if (kind === 'wall' && wall)
    return { on: { wall: wall.id, from_left: print(wall.length_m / 2), height: print(HAND_M) } };
  if (kind === 'in') return { in: name };
  if (kind !== 'floor' && kind !== 'ceiling') return {};
  const { min, max } = scene.bounds;
  const middle: Xyz = [(min[0] + max[0]) / 2, (min[1] + max[1]) / 2, 0];
  const [a] = scene.walls;
  const b = scene.walls.find((one) => a !== undefined && areAcross(a, one));
  if (a === undefined || b === undefined) return {};
  const two = {
    from: [a.id, print(onWall(a, middle).off)],
    and: [b.id, print(onWall(b, middle).off)],
  };
  return kind === 'floor' ? { at: two } : { hung: two };
}

/** Distances from two walls cross in a point only where the walls are far from parallel. */
function areAcross(a: Wall, b: Wall): boolean {
  const way = ({ from, to, length_m }: Wall) => [(to[0] - from[0]) / length_m, (to[1] - from[1]) / length_m] as const;
  const [p, q] = [way(a), way(b)];
  return Math.abs(p[0] * q[1] - p[1] * q[0]) > 0.5;
}
