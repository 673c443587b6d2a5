// The job's document with what waits in the outbox written into it: what was added out of reach is there for whoever goes on.
//
// It says where a fact stands, never what it means: the server reads it when it arrives.

import type { Edit, Json } from '../api/schema';
import type { Entry } from './entry';

/** What waits and was not refused, in order. */
export function withWaiting(document: Json, entries: readonly Entry[]): Json {
  const edits = entries.flatMap((entry) =>
    entry.kind === 'change' && entry.waited && entry.refused === null ? (entry.edits ?? []) : [],
  );
  return edits.reduce(withEdit, document);
}

/** A copy with one edit made. */
export function withEdit(document: Json, { at, set }: Edit): Json {
  return put(document, at.split('.'), (set ?? null) as Json); // What goes out is JSON.
}

function put(here: Json | undefined, path: readonly string[], set: Json): Json {
  const [segment, ...rest] = path;
  if (segment === undefined) return set;
  if (Array.isArray(here)) return inList(here, segment, rest, set);
  // The first element of a list brings the list with it.
  if (here === undefined || here === null) {
    const isElement = rest.length === 0 && set !== null && (idOf(set) === segment || segment === '0');
    if (isElement) return [set];
  }
  const facts = isTable(here) ? here : {};
  const others = Object.fromEntries(Object.entries(facts).filter(([key]) => key !== segment));
  const inner = put(facts[segment], rest, set);
  return inner === null ? others : { ...facts, [segment]: inner };
}

function inList(list: readonly Json[], segment: string, rest: readonly string[], set: Json): Json {
  const named = list.findIndex((one) => idOf(one) === segment);
  const index = named >= 0 ? named : /^\d+$/.test(segment) ? Number(segment) : list.length;
  const inner = put(list[index], rest, set);
  if (inner === null) return list.filter((_, at) => at !== index);
  return index < list.length ? list.map((one, at) => (at === index ? inner : one)) : [...list, inner];
}

function idOf(one: Json): string | null {
  const id = isTable(one) ? one['id'] : null;
  return typeof id === 'string' ? id : null;
}

function isTable(value: Json | undefined): value is { [key: string]: Json } {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}
