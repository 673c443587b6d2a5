// Whether the server answers, and from when an answer is that the worker gave in its place.

import { useEffect, useState } from 'preact/hooks';

/** On answers that the worker kept: when the server gave them. */
export const KEPT_HEADER = 'x-dryfit-kept';

export type Reach = { within: boolean; /** RFC 3339. */ asOf: string | null };

let reach: Reach = { within: true, asOf: null };
const listeners = new Set<(reach: Reach) => void>();

/** Told by every call. */
export function reached(kept: string | null): void {
  set(kept === null ? { within: true, asOf: null } : { within: false, asOf: kept });
}

export function notReached(): void {
  set({ within: false, asOf: reach.asOf });
}

function set(now: Reach): void {
  if (now.within === reach.within && now.asOf === reach.asOf) return;
  reach = now;
  for (const listener of listeners) listener(reach);
}

/** Whether the last call was answered by the server. */
export function withinReach(): boolean {
  return reach.within;
}

export function useReach(): Reach {
  const [shown, setShown] = useState(reach);
  useEffect(() => {
    setShown(reach);
    listeners.add(setShown);
    return () => {
      listeners.delete(setShown);
    };
  }, []);
  return shown;
}
