// A space as the drawings take it: the server's scene without the walls that can't be followed to their ends.

import type * as api from '../api/schema';

export type { Body, Field, Move, OnWall, Verdict, Xy, Xyz } from '../api/schema';

/** A wall whose ends are known. */
export type Wall = Omit<api.SceneWall, 'from' | 'to' | 'length_m'> & {
  from: api.Xy;
  to: api.Xy;
  length_m: number;
};

export type Scene = Omit<api.Scene, 'walls'> & { walls: Wall[] };

/** What can be drawn of a scene as it came; boxes below the ceiling become bodies that can be pressed like the others. */
export function drawable(scene: api.Scene): Scene {
  const walls = scene.walls.flatMap((wall): Wall[] => {
    const { from, to, length_m } = wall;
    return known(from) && known(to) && known(length_m) ? [{ ...wall, from, to, length_m }] : [];
  });
  return { ...scene, walls, bodies: [...scene.soffits.map(boxed), ...scene.bodies] };
}

function known<T>(value: T | null | undefined): value is T {
  return value !== null && value !== undefined;
}

function boxed({ id, corners, label }: Scene['soffits'][number]): api.Body {
  const heights = corners.map(([, , z]) => z);
  return {
    id,
    at: '',
    kind: 'fixture',
    is: 'soffit',
    label,
    says: label,
    existing: true,
    place: 'ceiling',
    wall: null,
    on_wall: null,
    centre: null,
    outline: corners.slice(0, 4).map(([x, y]): api.Xy => [x, y]),
    bottom_m: Math.min(...heights),
    top_m: Math.max(...heights),
    moves: null,
    doors: null,
    aim: null,
    fields: [],
    missing: null,
  };
}
