// Entries of the catalogue as texts of a form, and back.

import { expect, it } from 'vitest';

import { factsOf, readFromOf, shapesOf, textsOf } from '../../src/catalogue/facts';
import { taken, untouched } from '../../src/catalogue/takeBack';

const SCHEMA = {
  $defs: {
    Catalogue: { properties: { lamp: { type: 'array', items: { $ref: '#/$defs/LampKit' } } } },
    LampKit: {
      properties: {
        id: { type: 'string' },
        name: { type: ['string', 'null'] },
        size: { type: ['array', 'null'], items: { type: 'string', 'x-kind': 'length' } },
        watts: { type: ['string', 'number', 'null'], 'x-kind': 'power', 'x-bare-unit': 'W' },
        screws: { type: ['integer', 'null'] },
        dims: { type: ['boolean', 'null'] },
        beam: { type: ['string', 'null'], description: 'As text: a line `hz, db`, then one\nline for each direction.' },
        note: { type: ['string', 'null'], description: 'One line.' },
        shift: { anyOf: [{ $ref: '#/$defs/Shift' }, { type: 'null' }] },
        takes: { type: 'array', items: { type: 'array', items: { type: 'string', 'x-kind': 'length' } } },
        control: { type: 'array', items: { enum: ['infrared', 'serial'] } },
        port: { type: 'array', items: { $ref: '#/$defs/Port' } },
        read_from: { type: 'object' },
      },
    },
    Port: { properties: { id: { type: 'string' } } },
    Shift: { properties: { up: { type: 'number' }, of: { $ref: '#/$defs/Of' } } },
    Of: { oneOf: [{ const: 'picture' }, { enum: ['half-picture'] }] },
  },
};
const fact = (path: string) => ({ path, label: path, help: '' });
const shapes = shapesOf(
  SCHEMA,
  'lamp',
  ['id', 'name', 'size.0', 'size.1', 'watts', 'screws', 'dims', 'beam', 'note', 'shift.up', 'shift.of', 'takes', 'control', 'port', 'read_from'].map(
    fact,
  ),
);

it('asks for each fact in its shape, and for neither id nor notes', () => {
  expect(shapes.map(({ path, holds }) => `${path} ${holds}`)).toEqual([
    'name text',
    'size.0 text',
    'size.1 text',
    'watts text',
    'screws number',
    'dims flag',
    'beam text',
    'note text',
    'shift.up number',
    'shift.of choice',
    'takes pairs',
    'control words',
  ]);
  expect(shapes.find(({ path }) => path === 'watts')?.unit).toBe('W');
  expect(shapes.find(({ path }) => path === 'shift.of')?.choices).toEqual([
    { value: 'picture', label: 'picture' },
    { value: 'half-picture', label: 'half picture' },
  ]);
});

it('gives several lines to what is a table in a text, and one to all else', () => {
  expect(shapes.filter(({ lines }) => lines).map(({ path }) => path)).toEqual(['beam']);
});

it('puts what only this kind has before what all kinds have', () => {
  const shared = { name: {}, heat: {} };
  const kinds = { lamp: { items: { properties: { ...shared, screws: {} } } }, bulb: { items: { properties: shared } } };
  const found = shapesOf({ $defs: { Catalogue: { properties: kinds } } }, 'lamp', ['heat', 'screws', 'name'].map(fact));
  expect(found.map(({ path }) => path)).toEqual(['name', 'screws', 'heat']);
});

it('brings an entry back as it was', () => {
  const entry = {
    id: 'l1',
    name: 'Lamp L1',
    size: ['5"', '9"'],
    watts: '40',
    screws: 2,
    dims: false,
    shift: { up: 12.5, of: 'picture' },
    takes: [
      ['200 mm', '100 mm'],
      ['400 mm', '400 mm'],
    ],
    control: ['infrared', 'serial'],
    read_from: { size: 'data sheet, page 2' },
  };
  expect(factsOf('l1', textsOf(entry, shapes), readFromOf(entry), shapes)).toEqual(entry);
});

it('leaves blanks out, marks those within a list, and keeps what is no number as it was typed', () => {
  const texts = new Map([
    ['size.1', ' 9" '],
    ['screws', 'two'],
    ['watts', ''],
  ]);
  expect(factsOf('l1', texts, new Map([['watts', 'data sheet']]), shapes)).toEqual({
    id: 'l1',
    size: ['?', '9"'],
    screws: 'two',
  });
});

it('reads several words and several pairs out of one text', () => {
  const texts = new Map([
    ['takes', '200 mm x 100 mm; 400 mm × 400 mm;'],
    ['control', ' serial , infrared'],
  ]);
  expect(factsOf('l1', texts, new Map(), shapes)).toEqual({
    id: 'l1',
    takes: [
      ['200 mm', '100 mm'],
      ['400 mm', '400 mm'],
    ],
    control: ['serial', 'infrared'],
  });
});

it('takes back of an import what nobody changed since', () => {
  const entry = (id: string, changed: string) => ({ id, name: id, facts: { id }, changed });
  const before = [entry('kept', '1'), entry('replaced', '1')];
  const after = [entry('kept', '1'), entry('replaced', '2'), entry('fresh', '2'), entry('edited', '2')];
  const all = taken(before, after);
  expect(all.map(({ id, before }) => [id, before?.changed ?? null])).toEqual([
    ['replaced', '1'],
    ['fresh', null],
    ['edited', null],
  ]);
  const now = [entry('kept', '1'), entry('replaced', '2'), entry('fresh', '2'), entry('edited', '3')];
  expect(untouched(all, now).map(({ id }) => id)).toEqual(['replaced', 'fresh']);
});
