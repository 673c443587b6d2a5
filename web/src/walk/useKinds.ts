// The words that a job may be written with, as its schema lists them.

import { catalogue } from '../api/client';
import { useResource } from '../useResource';

export type Kind = { value: string; label: string; says: string };

/** The choices of the definitions asked for, by their names in the schema. */
export function useKinds(): (definition: string) => Kind[] {
  const schema = useResource('schema', catalogue.schema).data;
  return (definition) => kindsOf(schema, definition);
}

export function kindsOf(schema: unknown, definition: string): Kind[] {
  const one = get(get(schema, '$defs'), definition);
  const ways = get(one, 'oneOf');
  if (!Array.isArray(ways)) return [];
  return ways.flatMap((way: unknown): Kind[] => {
    const says = get(way, 'description');
    const value = get(way, 'const');
    const values = typeof value === 'string' ? [value] : texts(get(way, 'enum'));
    return values.map((value) => ({
      value,
      label: value.charAt(0).toUpperCase() + value.slice(1).replaceAll('-', ' '),
      says: typeof says === 'string' ? says : '',
    }));
  });
}

function texts(value: unknown): string[] {
  return Array.isArray(value) ? value.filter((one): one is string => typeof one === 'string') : [];
}

function get(value: unknown, key: string): unknown {
  return typeof value === 'object' && value !== null
    ? Object.entries(value).find(([name]) => name === key)?.[1]
    : undefined;
}
