// Sockets of kit: what a cable's end can name, and which facts a port of a kind has.

import type { Json } from '../api/schema';
import { get } from '../schemaNode';
import { at, idsAt, listAt, shownAt } from '../walk/document';
import type { Shape } from './shapes';

/** Kit that cables end in, in the order in which it is shown. */
const PORTED = ['amplifier', 'device', 'display', 'projector', 'loudspeaker', 'plate', 'screen'];

/** Facts of one kind of port alone. */
const OF_KIND: Record<string, string> = {
  rate: 'video',
  protection: 'video',
  returns: 'video',
  feeds: 'network',
  draws: 'network',
};

/** An entry of the job's kit that may have ports. */
export type Ported = { path: string; name: string; kind: string; words: string };

/** Whether a fact means anything for a port of its kind. */
export function asksOf(port: Json, column: Shape): boolean {
  const only = OF_KIND[column.path];
  return only === undefined || shownAt(port, 'kind') === only || shownAt(port, column.path) !== '';
}

/** The job's kit that items are of, or that has ports already. */
export function portedKit(document: unknown): Ported[] {
  const used = new Set(listAt(document, 'item').map((item) => get(item, 'is')));
  return PORTED.flatMap((kind) =>
    idsAt(document, `kit.${kind}`).flatMap((id): Ported[] => {
      const path = `kit.${kind}.${id}`;
      const ports = listAt(document, `${path}.port`);
      if (!used.has(id) && ports.length === 0) return [];
      return [{ path, kind, name: shownAt(document, `${path}.name`) || id, words: portWords(ports) }];
    }),
  );
}

/** "in × 4, out, lan"; nothing where there are none. */
function portWords(ports: readonly unknown[]): string {
  return ports
    .map((port) => {
      const count = get(port, 'count');
      return typeof count === 'number' ? `${shownAt(port, 'id')} × ${count}` : shownAt(port, 'id');
    })
    .join(', ');
}

/** The most alike that are listed one by one. */
const LISTED_MOST = 256;

/** Every item and each of its ports as a cable's end names it, with the cable that is in it. */
export function endsOf(document: unknown): { value: string; label: string }[] {
  const taken = new Map<string, string>();
  for (const cable of listAt(document, 'cable')) {
    for (const end of [shownAt(cable, 'from'), shownAt(cable, 'to')]) {
      if (end.includes('.') && !taken.has(end)) taken.set(end, shownAt(cable, 'id'));
    }
  }
  const ports = new Map<string, unknown[]>();
  const kinds = at(document, 'kit');
  for (const kind of typeof kinds === 'object' && kinds !== null ? Object.keys(kinds) : []) {
    for (const id of idsAt(document, `kit.${kind}`)) ports.set(id, listAt(document, `kit.${kind}.${id}.port`));
  }
  const ends = listAt(document, 'item').flatMap((item) => {
    const id = shownAt(item, 'id');
    const name = shownAt(item, 'name') || id;
    const sockets = (ports.get(shownAt(item, 'is')) ?? []).flatMap((port) =>
      namesOf(port).map((socket) => {
        const end = `${id}.${socket}`;
        const is = [shownAt(port, 'kind').replaceAll('-', ' '), shownAt(port, 'direction')].filter(Boolean).join(' ');
        const inIt = taken.get(end);
        return { value: end, label: `${name}, ${socket}: ${is}${inIt ? `, ${inIt} is in it` : ''}` };
      }),
    );
    return [{ value: id, label: sockets.length > 0 ? `${name}, no port named` : name }, ...sockets];
  });
  // An end that is written stays to be seen, whatever became of what it names.
  const listed = new Set(ends.map(({ value }) => value));
  const written = listAt(document, 'cable').flatMap((cable) => [shownAt(cable, 'from'), shownAt(cable, 'to')]);
  const lost = [...new Set(written)].filter((end) => end !== '' && !listed.has(end));
  return [...ends, ...lost.map((end) => ({ value: end, label: end }))];
}

function namesOf(port: unknown): string[] {
  const id = shownAt(port, 'id');
  const count = get(port, 'count');
  if (typeof count !== 'number') return [id];
  return Array.from({ length: Math.min(Math.max(count, 0), LISTED_MOST) }, (_, n) => `${id}-${n + 1}`);
}
