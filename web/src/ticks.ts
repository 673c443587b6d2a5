// What the crew has ticked off: shown at once, sent in order, and said to be unsent until it is.

import { useCallback, useEffect, useRef, useState } from 'preact/hooks';

import { newOp, ticks, troubleOf, type Trouble } from './api/client';
import type { Tick } from './api/schema';
import { useResource } from './useResource';

export type Ticks = {
  done: (tick: string) => boolean;
  /** Who ticked it and when, once the server has said so. */
  by: (tick: string) => Tick | null;
  set: (tick: string, done: boolean) => void;
  /** How many have not reached the server. */
  unsent: number;
  trouble: Trouble | null;
  retry: () => void;
};

type Waiting = { op: string; tick: string; done: boolean; at: string };

export function useTicks(job: string): Ticks {
  const { data, trouble: unread, reload } = useResource(`ticks ${job}`, (signal) => ticks.list(job, signal));
  const [mine, setMine] = useState<ReadonlyMap<string, boolean>>(new Map());
  const [unsent, setUnsent] = useState(0);
  const [trouble, setTrouble] = useState<Trouble | null>(null);
  const queue = useRef<Waiting[]>([]);
  const sending = useRef(false);

  const flush = useCallback(async () => {
    if (sending.current) return;
    sending.current = true;
    try {
      for (let first = queue.current[0]; first; first = queue.current[0]) {
        await ticks.set(job, first);
        queue.current.shift();
        setUnsent(queue.current.length);
      }
      setTrouble(null);
      reload();
    } catch (thrown) {
      // Waits for the next tick, for the network, or for "try again": no hammering.
      setTrouble(troubleOf(thrown));
    } finally {
      sending.current = false;
    }
  }, [job, reload]);

  useEffect(() => {
    const online = () => void flush();
    addEventListener('online', online);
    return () => removeEventListener('online', online);
  }, [flush]);

  const by = (tick: string) => data?.find((one) => one.tick === tick && one.done) ?? null;
  return {
    done: (tick) => mine.get(tick) ?? by(tick) !== null,
    by,
    set: (tick, done) => {
      queue.current.push({ op: newOp(), tick, done, at: new Date().toISOString() });
      setUnsent(queue.current.length);
      setMine((old) => new Map(old).set(tick, done));
      void flush();
    },
    unsent,
    trouble: trouble ?? unread,
    retry: () => {
      if (unread) reload();
      void flush();
    },
  };
}
