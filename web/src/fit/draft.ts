// What a move that is not saved yet would change: told to those who show it, past the page's own state, so that a drag draws
// nothing else anew.

import { useEffect, useState } from 'preact/hooks';

import type { Delta } from '../api/schema';

/** `refused` says why nothing can be there. */
export type Draft = { since: number } & ({ delta: Delta } | { refused: string });

export class Drafts {
  #now: Draft | null = null;
  readonly #listeners = new Set<(draft: Draft | null) => void>();

  /** `since` is when the position came about, on the clock of `performance.now()`. */
  set(draft: Draft | null): void {
    if (draft === null && this.#now === null) return;
    this.#now = draft;
    for (const listener of this.#listeners) listener(draft);
  }

  listen(listener: (draft: Draft | null) => void): () => void {
    this.#listeners.add(listener);
    return () => {
      this.#listeners.delete(listener);
    };
  }
}

export function useDraft(drafts: Drafts): Draft | null {
  const [draft, setDraft] = useState<Draft | null>(null);
  useEffect(() => drafts.listen(setDraft), [drafts]);
  return draft;
}
