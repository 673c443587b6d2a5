// An import taken back: the entries that it made go, those that it replaced come back, and what somebody changed since stays.

import { catalogue } from '../api/client';
import type { CatalogueEntry } from '../api/schema';

/** An entry as an import left it, and what stood there before. */
export type Taken = { id: string; changed: string; before: CatalogueEntry | null };

/** What differs between the entries of a kind before and after an import. */
export function taken(before: readonly CatalogueEntry[], after: readonly CatalogueEntry[]): Taken[] {
  return after.flatMap(({ id, changed }) => {
    const old = before.find((entry) => entry.id === id) ?? null;
    return old?.changed === changed ? [] : [{ id, changed, before: old }];
  });
}

/** Of these, the ones that are still as the import left them. */
export function untouched(all: readonly Taken[], now: readonly CatalogueEntry[]): Taken[] {
  return all.filter(({ id, changed }) => now.some((entry) => entry.id === id && entry.changed === changed));
}

export async function entriesOf(kind: string): Promise<readonly CatalogueEntry[]> {
  return (await catalogue.all()).find((one) => one.kind === kind)?.entries ?? [];
}

/** How many entries are as before. */
export async function takeBack(kind: string, all: readonly Taken[]): Promise<number> {
  const mine = untouched(all, await entriesOf(kind));
  for (const { id, before } of mine) {
    if (before === null) await catalogue.remove(kind, id);
    else await catalogue.put(kind, id, before.facts);
  }
  return mine.length;
}
