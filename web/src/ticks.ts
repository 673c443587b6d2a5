// What the crew has ticked off: shown at once, and sent by way of the outbox.

import { useState } from 'preact/hooks';

import { ticks, troubleOf, type Trouble } from './api/client';
import type { Tick } from './api/schema';
import { outbox, useWaiting } from './outbox';
import { useResource } from './useResource';

export type Ticks = {
  done: (tick: string) => boolean;
  /** Who ticked it and when, once the server has said so. */
  by: (tick: string) => Tick | null;
  set: (tick: string, done: boolean) => void;
  trouble: Trouble | null;
  retry: () => void;
};

export function useTicks(job: string): Ticks {
  const { data, trouble: unread, reload } = useResource(`ticks ${job}`, (signal) => ticks.list(job, signal));
  const [mine, setMine] = useState<ReadonlyMap<string, boolean>>(new Map());
  const [refused, setRefused] = useState<Trouble | null>(null);
  // Ticked before the page was loaded again, and still on its way.
  const waiting = new Map(
    useWaiting(job).flatMap((entry) => (entry.kind === 'tick' ? [[entry.tick, entry.done] as const] : [])),
  );

  const set = async (tick: string, done: boolean) => {
    setMine((old) => new Map(old).set(tick, done));
    try {
      const outcome = await outbox.add({ kind: 'tick', job, tick, done });
      if (outcome.is === 'sent') reload();
      setRefused(outcome.is === 'refused' ? outcome.trouble : null);
    } catch (thrown) {
      setRefused(troubleOf(thrown));
    }
  };
  const by = (tick: string) => data?.find((one) => one.tick === tick && one.done) ?? null;
  return {
    done: (tick) => mine.get(tick) ?? waiting.get(tick) ?? by(tick) !== null,
    by,
    set: (tick, done) => void set(tick, done),
    trouble: refused ?? unread,
    retry: () => {
      setRefused(null);
      reload();
    },
  };
}
