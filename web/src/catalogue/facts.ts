// The facts of a catalogue entry as texts of a form, and back: shapes come from the job's schema, meaning stays the server's.

import type { CatalogueFact, Json } from '../api/schema';
import { child, choicesOf, follow, get, hasLines, holds, isList, type Holds } from '../schemaNode';

/** One fact as a form shows it. */
export type FactShape = {
  path: string;
  label: string;
  help: string;
  /**
   * `number` is kept bare in the document, `words` as a list and `pairs` as a list of two, across and up; all else as a
   * text or a word.
   */
  holds: Holds | 'words' | 'pairs';
  /** A quantity, written with its unit. */
  measured: boolean;
  /** The unit that a bare number means. */
  unit: string | null;
  choices: { value: string; label: string }[];
  /** Its text has several lines. */
  lines: boolean;
};

/** Where each fact was read, by the fact's name; not a fact of its own. */
const READ_FROM = 'read_from';

/** What every kind has and a crew looks for first. */
const FIRST = ['name', 'size', 'mass', 'watts'];

/** The facts of a kind that a form asks for: what it is and weighs, what only this kind has, then what all kinds have. */
export function shapesOf(schema: unknown, kind: string, facts: readonly CatalogueFact[]): FactShape[] {
  const entry = follow(schema, get(get(get(get(get(schema, '$defs'), 'Catalogue'), 'properties'), kind), 'items'));
  const kinds = get(get(get(schema, '$defs'), 'Catalogue'), 'properties');
  const entries = Object.values(typeof kinds === 'object' && kinds !== null ? kinds : {}).map((list: unknown) =>
    follow(schema, get(list, 'items')),
  );
  const rank = ({ path }: CatalogueFact) => {
    const name = nameOf(path);
    const first = FIRST.indexOf(name);
    if (first >= 0) return first;
    const isShared = entries.every((one) => get(get(one, 'properties'), name) !== undefined);
    return FIRST.length + Number(isShared);
  };
  return [...facts]
    .sort((a, b) => rank(a) - rank(b))
    .filter(({ path }) => path !== 'id' && path !== READ_FROM)
    .flatMap((fact) => {
      const node = fact.path.split('.').reduce((here, segment) => child(schema, here, segment), entry);
      const element = isList(node) ? follow(schema, get(node, 'items')) : undefined;
      // Rows, such as ports, have a table of their own.
      if (get(element, 'properties') !== undefined) return [];
      const choices = choicesOf(node);
      const unit = get(node, 'x-bare-unit');
      return {
        path: fact.path,
        label: fact.label.charAt(0).toUpperCase() + fact.label.slice(1),
        help: `${fact.help}${element === undefined ? '' : howListed(element)}`,
        holds: element === undefined ? holds(node, choices.length) : isList(element) ? 'pairs' : 'words',
        measured: typeof get(node, 'x-kind') === 'string',
        unit: typeof unit === 'string' && unit !== '1' ? unit : null,
        choices,
        lines: hasLines(node),
      };
    });
}

/** How several are typed into one field. */
function howListed(element: unknown): string {
  if (isList(element)) return ' Across × up, with semicolons between: 200 mm × 100 mm; 400 mm × 400 mm.';
  const words = choicesOf(element).map(({ value }) => value);
  return ` Commas between them${words.length > 0 ? `: ${words.join(', ')}` : ''}.`;
}

/** The name under which `read_from` notes a fact: that of the whole, not of its parts. */
export function nameOf(path: string): string {
  return path.split('.')[0] ?? path;
}

/** What a form shows of an entry, by path. */
export function textsOf(facts: unknown, shapes: readonly FactShape[]): Map<string, string> {
  return new Map(
    shapes.flatMap(({ path, holds }): [string, string][] => {
      const found = path.split('.').reduce((here: unknown, segment) => {
        return Array.isArray(here) ? (here as unknown[])[Number(segment)] : get(here, segment);
      }, facts);
      if (found === undefined || found === null || found === '?') return [];
      if (Array.isArray(found)) {
        const texts = found.map((one: unknown) => (Array.isArray(one) ? one.map(String).join(' × ') : String(one)));
        return [[path, texts.join(holds === 'pairs' ? '; ' : ', ')]];
      }
      return [[path, typeof found === 'boolean' ? (found ? 'true' : 'false') : String(found)]];
    }),
  );
}

/** Where each fact was read. */
export function readFromOf(facts: unknown): Map<string, string> {
  const noted = get(facts, READ_FROM);
  return new Map(
    Object.entries(typeof noted === 'object' && noted !== null ? noted : {}).map(([name, text]) => [name, String(text)]),
  );
}

/** The entry that a form describes; a part of a list that is blank stands as `?`. */
export function factsOf(
  id: string,
  texts: ReadonlyMap<string, string>,
  read: ReadonlyMap<string, string>,
  shapes: readonly FactShape[],
): { [key: string]: Json } {
  const facts: { [key: string]: Json } = { id };
  for (const shape of shapes) {
    const text = texts.get(shape.path)?.trim() ?? '';
    if (text === '') continue;
    const [name = '', part] = shape.path.split('.');
    const value = valueOf(shape, text);
    if (part === undefined) facts[name] = value;
    else if (/^\d+$/.test(part)) {
      const count = shapes.filter(({ path }) => nameOf(path) === name).length;
      const old = facts[name];
      const list: Json[] = Array.isArray(old) ? old : Array.from({ length: count }, () => '?');
      list[Number(part)] = value;
      facts[name] = list;
    } else {
      const old = facts[name];
      facts[name] = { ...(typeof old === 'object' && old !== null && !Array.isArray(old) ? old : {}), [part]: value };
    }
  }
  const noted = [...read].filter(([name, text]) => text.trim() !== '' && name in facts);
  if (noted.length > 0) facts[READ_FROM] = Object.fromEntries(noted.map(([name, text]) => [name, text.trim()]));
  return facts;
}

function valueOf(shape: FactShape, text: string): Json {
  if (shape.holds === 'flag') return text === 'true';
  if (shape.holds === 'words') return parts(text, ',');
  if (shape.holds === 'pairs') return parts(text, ';').map((pair) => parts(pair, /[×x]/));
  // What is no number goes out as it was typed: the server says what is accepted.
  if (shape.holds === 'number' && Number.isFinite(Number(text))) return Number(text);
  return text;
}

function parts(text: string, between: string | RegExp): string[] {
  return text
    .split(between)
    .map((part) => part.trim())
    .filter((part) => part !== '');
}
