// The page's outbox, joined to the server, and when it is emptied.

import { useEffect, useState } from 'preact/hooks';

import { jobs, photographs, ticks } from '../api/client';
import type { Saved } from '../api/schema';
import type { Entry } from './entry';
import { inTurnOfAllPages, Outbox } from './outbox';
import { openShelf } from './shelf';

export type { Entry } from './entry';
export type { Outcome } from './outbox';

/** While something waits and no event says that the network is back: a server that was started again says nothing. */
const TRY_AGAIN_MS = 20_000;

export const outbox = new Outbox(openShelf(), send, inTurnOfAllPages());

async function send(entry: Entry): Promise<Saved | null> {
  const { job, op } = entry;
  switch (entry.kind) {
    case 'change': {
      const { base, edits, moves, summary } = entry;
      return jobs.edit(job, {
        op,
        base,
        ...(edits ? { edits } : {}),
        ...(moves ? { moves } : {}),
        ...(summary === undefined ? {} : { summary }),
      });
    }
    case 'tick':
      await ticks.set(job, { op, tick: entry.tick, done: entry.done, at: entry.made });
      return null;
    case 'photograph': {
      const { pinned, caption, keep_location, bytes } = entry;
      await photographs.add(job, { op, pinned, caption, keep_location }, bytes);
      return null;
    }
  }
}

/** Empties the outbox whenever the server may be in reach again. */
export function keepFlushing(): void {
  const flush = () => void outbox.flush();
  addEventListener('online', flush);
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState === 'visible') flush();
  });
  setInterval(() => {
    if (outbox.entries.some((entry) => entry.refused === null)) flush();
  }, TRY_AGAIN_MS);
  flush();
}

/** What waits of a job. */
export function useWaiting(job: string): readonly Entry[] {
  const [entries, setEntries] = useState(outbox.entries);
  useEffect(() => {
    setEntries(outbox.entries);
    return outbox.listen(() => setEntries(outbox.entries));
  }, []);
  return entries.filter((entry) => entry.job === job);
}
