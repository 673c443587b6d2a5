// A place of a body's middle as what the server takes for a move.

import type { Move } from '../api/schema';
import type { Place } from './drag';
import type { Body } from './scene';

/** The space is named, since fixtures and seats of two rooms may share an id. */
export function moveOf(body: Body, place: Place, space: string): Move {
  if (body.moves === 'wall' && body.wall !== null) {
    return { of: body.id, space, wall: body.wall, along_m: place.x, height_m: place.y };
  }
  return { of: body.id, space, x: place.x, y: place.y };
}
