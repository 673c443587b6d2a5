// What was added out of reach and waits to be sent: in its list at once, with the facts that the server asks of its like.

import type { WalkThing } from '../api/schema';
import { pixel, type Camera } from '../fit/camera';
import { outbox } from '../outbox';
import type { WalkState } from './context';
import { idsAt, shownAt, textAt } from './document';
import { ThingFields } from './ThingFields';

/** Where a finger was, m from the wall's left corner and above the floor: nobody reads the text of a guess out of reach. */
export type Pressed = { along_m: number; height_m: number };
const pressed = new Map<string, Pressed>();

export function pressedAt(at: string, place: Pressed): void {
  pressed.set(at, place);
}

/** What was just sent is in the document before the server has told of it: that does not wait. */
export function waits(list: string, id: string): boolean {
  return outbox.entries.some(
    (entry) => entry.kind === 'change' && entry.waited && entry.edits?.some(({ at }) => at === list || at === `${list}.${id}`),
  );
}

/** Elements of a list that wait to be sent. */
export function unsentIn(walk: WalkState, list: string, known: readonly WalkThing[]): WalkThing[] {
  const ids = idsAt(walk.document, list).filter((id) => waits(list, id) && !known.some((one) => one.at === `${list}.${id}`));
  return ids.map((id) => {
    const at = `${list}.${id}`;
    const kindOf = (path: string) => textAt(walk.document, `${path}.kind`);
    const kind = kindOf(at);
    const like = known.find((one) => one.at.startsWith(`${list}.`) && kindOf(one.at) === kind);
    const fields = (like?.fields ?? []).map((fact) => {
      const path = at + fact.at.slice(like?.at.length);
      return { ...fact, at: path, text: shownAt(walk.document, path) || null, blocks: 0 };
    });
    const words = id.replaceAll('-', ' ');
    const label = words.charAt(0).toUpperCase() + words.slice(1);
    return { id, at, kind: kind ?? '', label, says: `${label}, waits to be sent`, fields };
  });
}

type Props = { things: readonly WalkThing[]; opened: string | null; onOpen: (at: string | null) => void };

export function Unsent({ things, opened, onOpen }: Props) {
  return (
    <>
      {things.map((thing) => (
        <div key={thing.at} class="unsent">
          <ThingFields thing={thing} opened={opened} onOpen={onOpen} />
          {thing.fields.length === 0 && thing.at === opened ? (
            <p class="soft small">What to measure of it is asked once dryfit answers.</p>
          ) : null}
        </div>
      ))}
    </>
  );
}

/** Where a finger put them, on the wall that is drawn. */
export function UnsentMarks({ things, camera }: { things: readonly WalkThing[]; camera: Camera }) {
  return (
    <g class="unsent-marks">
      {things.map(({ at, label }) => {
        const place = pressed.get(at);
        if (!place) return null;
        const [x, y] = pixel(camera, [place.along_m, -place.height_m]);
        return (
          <g key={at} role="img" aria-label={`${label}, where you pressed, waits to be sent`}>
            <circle cx={x} cy={y} r={9} />
            <text x={x} y={y - 14} text-anchor="middle">
              {label}
            </text>
          </g>
        );
      })}
    </g>
  );
}
