// Reads the job's document by paths, and finds names that are still free in it. It never reads what a fact means.

/** What stands at a path: keys, and ids or positions where a list is met. */
export function at(document: unknown, path: string): unknown {
  return path.split('.').reduce(child, document);
}

function child(here: unknown, segment: string): unknown {
  if (Array.isArray(here)) return here.find((one) => idOf(one) === segment) ?? here[Number(segment)];
  if (typeof here !== 'object' || here === null) return undefined;
  return Object.entries(here).find(([key]) => key === segment)?.[1];
}

/** A list at a path; empty where the document has none. */
export function listAt(document: unknown, path: string): unknown[] {
  const found = at(document, path);
  return Array.isArray(found) ? found : [];
}

/** A text at a path. */
export function textAt(document: unknown, path: string): string | null {
  const found = at(document, path);
  return typeof found === 'string' ? found : null;
}

/** What a field of it shows: nothing for what is still to measure. */
export function shownAt(document: unknown, path: string): string {
  const found = at(document, path);
  if (typeof found === 'boolean') return found ? 'yes' : 'no';
  if (typeof found === 'number') return String(found);
  return typeof found === 'string' && found.trim() !== '?' ? found : '';
}

/** Ids of a list's elements. */
export function idsAt(document: unknown, path: string): string[] {
  return listAt(document, path).flatMap((one) => idOf(one) ?? []);
}

function idOf(one: unknown): string | null {
  return textOf(one, 'id');
}

function textOf(one: unknown, key: string): string | null {
  if (typeof one !== 'object' || one === null) return null;
  const found: unknown = Object.entries(one).find(([name]) => name === key)?.[1];
  return typeof found === 'string' ? found : null;
}

/** A short name made of words, that none of the taken ones is: `wall-light`, `wall-light-2`. */
export function freeId(words: string, taken: readonly string[]): string {
  const plain = words
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^[^a-z]+|-+$/g, '');
  const base = plain === '' ? 'thing' : plain;
  for (let n = 1; ; n += 1) {
    const id = n === 1 ? base : `${base}-${n}`;
    if (!taken.includes(id)) return id;
  }
}

/** Feet and inches as they are set in print; what is stored stays as it was typed. */
export function pretty(text: string): string {
  return text.replaceAll("'", '′').replaceAll('"', '″');
}

/** Words that a job file is written with, as a reader sets them apart. */
export function quoted(text: string): string {
  return text.replace(/`([^`]*)`/g, '“$1”');
}
