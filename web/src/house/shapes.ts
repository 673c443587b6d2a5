// The facts of one part of a job as its schema has them, for parts that belong to no room: circuits, zones, cables, rates.

import { at } from '../walk/document';
import { child, choicesOf, follow, get, holds, type Holds } from '../schemaNode';

export type Shape = {
  /** Below the part: `kind`, `mains.voltage`. */
  path: string;
  label: string;
  help: string;
  /** A list is of plain words. */
  holds: Holds | 'list';
  unit: string | null;
  choices: { value: string; label: string }[];
  isRequired: boolean;
};

/** What other part of the document a fact names. */
const NAMES: Record<string, string> = {
  'cable.kind': 'kit.cable',
  'cable.spool': 'spool',
  'spool.kind': 'kit.cable',
  'zone.space': 'space',
  'zone.faces': 'item',
};

/** Of a list: the facts of one of its elements. Lists of more than words are left out. */
export function shapesOf(schema: unknown, document: unknown, part: string): Shape[] {
  const whole = child(schema, schema, part);
  const node = get(whole, 'type') === 'array' ? follow(schema, get(whole, 'items')) : whole;
  return propertiesOf(schema, node, '').map((shape) => {
    const list = NAMES[`${part}.${shape.path}`];
    return list === undefined ? shape : { ...shape, holds: 'choice', choices: named(document, list) };
  });
}

function propertiesOf(schema: unknown, node: unknown, above: string): Shape[] {
  const properties = get(node, 'properties');
  if (typeof properties !== 'object' || properties === null) return [];
  const required = get(node, 'required');
  return Object.entries(properties).flatMap(([name, given]): Shape[] => {
    const found = follow(schema, given);
    const path = `${above}${name}`;
    if (get(found, 'properties') !== undefined) return propertiesOf(schema, found, `${path}.`);
    const isList = get(found, 'type') === 'array';
    if (isList && get(follow(schema, get(found, 'items')), 'type') !== 'string') return [];
    const choices = choicesOf(found);
    const [help, unit] = [get(given, 'description'), get(found, 'x-bare-unit')];
    return [
      {
        path,
        label: words(name),
        help: typeof help === 'string' ? help : '',
        holds: isList ? 'list' : holds(found, choices.length),
        unit: typeof unit === 'string' && unit !== '1' ? unit : null,
        choices,
        isRequired: Array.isArray(required) && required.includes(name),
      },
    ];
  });
}

function words(name: string): string {
  const plain = name.replaceAll('_', ' ');
  return plain.charAt(0).toUpperCase() + plain.slice(1);
}

/** The elements of a list by id, with their names. */
function named(document: unknown, list: string): Shape['choices'] {
  const all = at(document, list);
  return (Array.isArray(all) ? all : []).flatMap((one: unknown) => {
    const [id, name] = [get(one, 'id'), get(one, 'name')];
    return typeof id === 'string' ? [{ value: id, label: typeof name === 'string' ? name : id }] : [];
  });
}
