// Where a press on something named leads: to the room that it is in, ringed, or to what is said of it.

import type { Named } from '../api/schema';
import { link } from '../routes';

/** A thing in its room's drawing; without a room, the finding about it; none where neither is known. */
export function toThing(job: string, { id, space, finding }: Named): string | null {
  if (space !== null) return link('fit', { id: job }, { room: space, at: `item:${id}` });
  return finding === null ? null : toFinding(job, finding);
}

/** A cable's way, drawn in a room that it ends in. */
export function toCable(job: string, { id, space }: Named): string {
  return link('fit', { id: job }, { room: space, cable: id });
}

/** A finding, unfolded among all of them. */
export function toFinding(job: string, finding: string): string {
  return link('fit', { id: job }, { where: 'all', finding });
}
