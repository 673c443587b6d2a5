// The facts of one part of a job as its schema has them, for parts that belong to no room: circuits, zones, cables, rates.

import type { Json } from '../api/schema';
import { at } from '../walk/document';
import { endsOf } from './sockets';
import { child, choicesOf, follow, get, holds, type Holds } from '../schemaNode';

export type Shape = {
  /** Below the part: `kind`, `mains.voltage`. */
  path: string;
  label: string;
  help: string;
  /** A list is of plain words, rows are of tables without a page of their own. */
  holds: Holds | 'list' | 'rows';
  unit: string | null;
  choices: { value: string; label: string }[];
  isRequired: boolean;
  /** Of rows: the facts of one of them. */
  columns: Shape[];
  /** Of rows: how many there must be. */
  rowsLeast: number;
};

/** What other part of the document a fact names. */
const NAMES: Record<string, string> = {
  'activity.picture': 'signal',
  'cable.kind': 'kit.cable',
  'cable.spool': 'spool',
  'spool.kind': 'kit.cable',
  'pathway.ends.space': 'space',
  'zone.space': 'space',
  'zone.faces': 'item',
};

/** What names an item or one of its ports. */
const CABLE_ENDS = ['cable.from', 'cable.to'];
const END_HELP = 'The thing, and its port where it has any.';

/** Of a list: the facts of one of its elements. */
export function shapesOf(schema: unknown, document: unknown, part: string): Shape[] {
  const whole = part.split('.').reduce((here, segment) => child(schema, here, segment), schema);
  const node = get(whole, 'type') === 'array' ? follow(schema, get(whole, 'items')) : whole;
  const withNames = (above: string) => (shape: Shape): Shape => {
    const path = `${above}.${shape.path}`;
    if (shape.holds === 'rows') return { ...shape, columns: shape.columns.map(withNames(path)) };
    if (CABLE_ENDS.includes(path)) return { ...shape, holds: 'choice', help: END_HELP, choices: endsOf(document) };
    const list = shape.holds === 'list' ? undefined : NAMES[path];
    return list === undefined ? shape : { ...shape, holds: 'choice', choices: named(document, list) };
  };
  return propertiesOf(schema, node, '').map(withNames(part));
}

/**
 * `group` is told before the label of what stands in a group: it has no heading of its own, and "Hole" alone may be the
 * time that one takes or what the crew would pay to avoid it.
 */
function propertiesOf(schema: unknown, node: unknown, above: string, group: string | null = null): Shape[] {
  const properties = get(node, 'properties');
  if (typeof properties !== 'object' || properties === null) return [];
  const required = get(node, 'required');
  return Object.entries(properties).flatMap(([name, given]): Shape[] => {
    const found = follow(schema, given);
    const path = `${above}${name}`;
    if (get(found, 'properties') !== undefined) {
      const told = String(get(given, 'description') ?? words(name)).replace(/\.$/, '');
      return propertiesOf(schema, found, `${path}.`, group === null ? words(name) : told);
    }
    const isList = get(found, 'type') === 'array';
    const element = isList ? follow(schema, get(found, 'items')) : undefined;
    const columns = isList ? propertiesOf(schema, element, '', '').filter((column) => column.holds !== 'rows') : [];
    const isWords = isList && (get(element, 'type') === 'string' || choicesOf(element).length > 0);
    // Lists of lists and of numbers are typed into the file.
    if (isList && !isWords && columns.length === 0) return [];
    const choices = choicesOf(found);
    const least = get(found, 'minItems');
    const [help, unit] = [get(given, 'description'), get(found, 'x-bare-unit')];
    return [
      {
        path,
        label: group ? `${group}: ${words(name).toLowerCase()}` : words(name),
        help: typeof help === 'string' ? help : '',
        holds: isWords ? 'list' : isList ? 'rows' : holds(found, choices.length),
        unit: typeof unit === 'string' && unit !== '1' ? unit : null,
        choices,
        isRequired: Array.isArray(required) && required.includes(name),
        columns,
        rowsLeast: typeof least === 'number' ? least : 0,
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

/** The words of a text with commas between them. */
export function wordsOf(text: string): string[] {
  return text
    .split(',')
    .map((word) => word.trim())
    .filter((word) => word !== '');
}

/** A text as the document keeps it. */
export function valueOf(shape: Shape, text: string): Json {
  if (shape.holds === 'list') return wordsOf(text);
  if (shape.holds === 'flag') return text === '' ? '' : text === 'true' || text === 'yes';
  if (shape.holds === 'number' && text.trim() !== '' && Number.isFinite(Number(text))) return Number(text);
  return text.trim();
}
