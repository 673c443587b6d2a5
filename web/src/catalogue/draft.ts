// What is typed of an entry and not saved yet, kept on this device until it is added or thrown away: a spec sheet is long, and
// Back is pressed soon.

import type { Json } from '../api/schema';

export type EntryDraft = {
  texts: ReadonlyMap<string, string>;
  read: ReadonlyMap<string, string>;
  ports: Json[];
};

/** Null where nothing is kept, or nothing that can be read. */
export function draftOf(kind: string, entry: string | null): EntryDraft | null {
  try {
    const kept: unknown = JSON.parse(localStorage.getItem(keyOf(kind, entry)) ?? 'null');
    if (typeof kept !== 'object' || kept === null || !('texts' in kept && 'read' in kept && 'ports' in kept)) return null;
    const { texts, read, ports } = kept;
    return { texts: pairsOf(texts), read: pairsOf(read), ports: Array.isArray(ports) ? (ports as Json[]) : [] };
  } catch {
    return null;
  }
}

export function keepDraft(kind: string, entry: string | null, { texts, read, ports }: EntryDraft): void {
  try {
    localStorage.setItem(keyOf(kind, entry), JSON.stringify({ texts: [...texts], read: [...read], ports }));
  } catch {
    // A browser that keeps nothing: the form works all the same.
  }
}

export function dropDraft(kind: string, entry: string | null): void {
  try {
    localStorage.removeItem(keyOf(kind, entry));
  } catch {
    // Nothing was kept.
  }
}

function keyOf(kind: string, entry: string | null): string {
  return `dryfit:entry:${kind}:${entry ?? ''}`;
}

function pairsOf(kept: unknown): ReadonlyMap<string, string> {
  const pairs: unknown[] = Array.isArray(kept) ? kept : [];
  return new Map(
    pairs.flatMap((pair): [string, string][] => {
      const [key, text]: unknown[] = Array.isArray(pair) ? pair : [];
      return typeof key === 'string' && typeof text === 'string' ? [[key, text]] : [];
    }),
  );
}
