// An element of a list with one of its facts set, for lists that are saved whole.

import type { Json } from '../api/schema';

/** A copy with what stands at a path set; taken away where it is blank, with the group that it leaves empty. */
export function withFact(element: Json, path: string, set: Json): Json {
  const [name = '', ...rest] = path.split('.');
  const facts = isRecord(element) ? element : {};
  const inner = rest.length === 0 ? set : withFact(facts[name] ?? {}, rest.join('.'), set);
  const others = Object.fromEntries(Object.entries(facts).filter(([key]) => key !== name));
  return isBlank(inner) ? others : { ...others, [name]: inner };
}

function isBlank(value: Json): boolean {
  if (value === null || value === '') return true;
  return isRecord(value) && Object.keys(value).length === 0;
}

function isRecord(value: Json): value is { [key: string]: Json } {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}
