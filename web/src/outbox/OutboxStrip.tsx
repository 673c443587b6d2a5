// What waits on this device, what the server did not take, and whether it is in reach at all.

import { useJob } from '../job';
import { useReach } from '../reach';
import { Button } from '../parts/Button';
import { counted, when } from '../units';
import { wordsOf, type Entry } from './entry';
import { written } from './file';
import { outbox, useWaiting } from './index';

export function OutboxStrip() {
  const { id, view } = useJob();
  const reach = useReach();
  const all = useWaiting(id);
  const waiting = all.filter((entry) => entry.refused === null && entry.waited);
  const refused = all.filter((entry) => entry.refused !== null);
  if (waiting.length === 0 && refused.length === 0 && reach.within) return null;
  return (
    <div class="strip outbox" role="region" aria-label="Out of reach">
      {reach.within ? null : (
        <p>
          Dryfit is out of reach.{' '}
          {reach.asOf === null ? 'What is shown may be old.' : `What is shown is from ${when(reach.asOf)}.`}
        </p>
      )}
      {waiting.length > 0 ? (
        <>
          <p class="strip-message" role="status">
            {amounts(waiting)} {kept()}
          </p>
          <p class="actions">
            <Button onPress={() => void outbox.flush()}>Send now</Button>
            <Button kind="quiet" onPress={() => void download(view.name, all)}>
              Save what waits to a file
            </Button>
          </p>
        </>
      ) : null}
      {refused.map((entry) => (
        <div key={entry.op} class="refused-entry">
          <p class="strip-message">Not taken: {wordsOf(entry)}</p>
          <p>
            {entry.refused?.message} {entry.refused?.hint}
          </p>
          <p class="soft">It is kept on this {device()}, as it was made {when(entry.made)}.</p>
          <p class="actions">
            <Button onPress={() => void outbox.again(entry.op)}>Send it again</Button>
            <Button kind="quiet" onPress={() => void outbox.drop(entry.op)}>
              Let it go
            </Button>
          </p>
        </div>
      ))}
    </div>
  );
}

/** `3 changes and 1 photograph`. */
export function amounts(entries: readonly Entry[]): string {
  const of = (kind: Entry['kind']) => entries.filter((entry) => entry.kind === kind).length;
  const parts = [
    [of('change'), 'change'],
    [of('tick'), 'tick'],
    [of('photograph'), 'photograph'],
  ] as const;
  const said = parts.flatMap(([count, word]) => (count > 0 ? [counted(count, word)] : []));
  return said.length > 1 ? `${said.slice(0, -1).join(', ')} and ${said[said.length - 1] ?? ''}` : said.join('');
}

function device(): string {
  return matchMedia('(pointer: coarse)').matches ? 'phone' : 'device';
}

/** Without encryption a browser opens no page out of reach, so this one must stay. */
function kept(): string {
  const here = `kept on this ${device()}`;
  return isSecureContext ? `${here}, sent when dryfit answers again` : `${here} while this page stays open`;
}

async function download(name: string, entries: readonly Entry[]): Promise<void> {
  const link = document.createElement('a');
  link.href = URL.createObjectURL(new Blob([await written(entries)], { type: 'application/json' }));
  link.download = `${name}, what waits.json`;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
}
