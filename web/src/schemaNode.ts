// Reads the job's JSON Schema node by node: what a fact may hold, past references and alternatives.

export type Holds = 'text' | 'number' | 'flag' | 'choice';

/** `number` is kept bare in the document, all else as a text or a word. */
export function holds(node: unknown, choices: number): Holds {
  const types = get(node, 'type');
  const has = (name: string) => types === name || (Array.isArray(types) && types.includes(name));
  if (choices > 0) return 'choice';
  if (has('boolean')) return 'flag';
  // What may be written with a unit is a text.
  return !has('string') && (has('number') || has('integer')) ? 'number' : 'text';
}

/** Whether a text has several lines, whose breaks mean something: a table of measured data. The schema says so in its words. */
export function hasLines(node: unknown): boolean {
  const description = get(node, 'description');
  return typeof description === 'string' && /\bone line for each\b/.test(description.replace(/\s+/g, ' '));
}

export function isList(node: unknown): boolean {
  const type = get(node, 'type');
  return type === 'array' || (Array.isArray(type) && type.includes('array'));
}

export function child(schema: unknown, here: unknown, segment: string): unknown {
  const node = follow(schema, here);
  const items = get(node, 'prefixItems');
  if (Array.isArray(items)) return follow(schema, items[Number(segment)]);
  return follow(schema, get(get(node, 'properties'), segment) ?? get(node, 'items'));
}

/** Past references, and of what may be left out the way that is not null. */
export function follow(schema: unknown, node: unknown): unknown {
  const name = get(node, '$ref');
  if (typeof name === 'string') return follow(schema, get(get(schema, '$defs'), name.replace('#/$defs/', '')));
  const ways = get(node, 'anyOf');
  if (!Array.isArray(ways)) return node;
  return follow(
    schema,
    ways.find((way: unknown) => get(way, 'type') !== 'null'),
  );
}

export function choicesOf(node: unknown): { value: string; label: string }[] {
  const listed = get(node, 'enum');
  const ways = get(node, 'oneOf');
  const values = [
    ...(Array.isArray(listed) ? listed : []),
    ...(Array.isArray(ways)
      ? ways.flatMap((way: unknown): unknown[] => {
          const several = get(way, 'enum');
          return Array.isArray(several) ? several : [get(way, 'const')];
        })
      : []),
  ];
  return values
    .filter((value): value is string => typeof value === 'string')
    .map((value) => ({ value, label: value.replaceAll('-', ' ') }));
}

export function get(value: unknown, key: string): unknown {
  return typeof value === 'object' && value !== null
    ? Object.entries(value).find(([name]) => name === key)?.[1]
    : undefined;
}
