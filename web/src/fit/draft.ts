// What a move that is not saved yet would change: told to those who show it, past the page's own state, so that a drag draws
// nothing else anew.

import { createContext } from 'preact';
import { useContext, useEffect, useState } from 'preact/hooks';

import type { Delta, Edit, Finding } from '../api/schema';

/** `refused` says why nothing can be there, `edits` what the move writes. `since` is when the position came about, on the clock of `performance.now()`. */
export type Draft = { since: number } & ({ delta: Delta; edits: Edit[] } | { refused: string });

export class Drafts {
  #now: Draft | null = null;
  #changed: ReadonlyMap<string, Finding> = new Map();
  readonly #listeners = new Set<() => void>();

  set(draft: Draft | null): void {
    if (draft === null && this.#now === null) return;
    this.#now = draft;
    const changed = draft !== null && 'delta' in draft ? draft.delta.changed : [];
    this.#changed = new Map(changed.map((finding) => [finding.key, finding]));
    for (const listener of this.#listeners) listener();
  }

  get now(): Draft | null {
    return this.#now;
  }

  /** A finding as the move would leave it; null where it changes nothing. */
  changed(key: string): Finding | null {
    return this.#changed.get(key) ?? null;
  }

  listen(listener: () => void): () => void {
    this.#listeners.add(listener);
    return () => {
      this.#listeners.delete(listener);
    };
  }
}

export const DraftsContext = createContext<Drafts | null>(null);

export function useDraft(): Draft | null {
  return useTold((drafts) => drafts.now);
}

/** A finding as it is, or as the body in the hand would leave it; drawn anew only when that differs. */
export function useMoved(finding: Finding): Finding {
  return useTold((drafts) => drafts.changed(finding.key)) ?? finding;
}

function useTold<T>(read: (drafts: Drafts) => T | null): T | null {
  const drafts = useContext(DraftsContext);
  const [told, setTold] = useState<T | null>(null);
  useEffect(() => drafts?.listen(() => setTold(() => read(drafts))), [drafts]);
  return told;
}
