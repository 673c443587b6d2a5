import { expect, test } from 'vitest';

import { first, kitOf, placesOf, usual } from '../../src/fit/kit';
import { shapesOf } from '../../src/house/shapes';
import { room } from './fit-scene';

const SCENE = room();
const DOCUMENT = {
  kit: { cupboard: [{ id: 'rack', name: 'Rack K1' }], screen: [{ id: 's1' }], mount: null },
  item: [
    { id: 'by-the-stairs', is: 'rack', name: 'Cupboard by the stairs' },
    { id: 'film', is: 's1' },
  ],
  space: [{ id: 'den', name: 'Den' }],
};
const entry = (id: string) => ({ id, name: id, facts: { id }, changed: '' });
const print = (metres: number) => `${metres.toFixed(2)} m`;

test('kit of the job comes first, and the catalogue’s own with what brings it along', () => {
  const kit = kitOf(DOCUMENT, [
    { kind: 'screen', entries: [entry('s1'), entry('s2')], facts: [] },
    { kind: 'mount', entries: [entry('m1')], facts: [] },
  ]);
  expect(kit.map(({ id, edits }) => [id, edits.map(({ at }) => at)])).toEqual([
    ['rack', []],
    ['s1', []],
    ['s2', ['kit.screen.s2']],
    ['m1', ['kit.mount']],
  ]);
});

test('a thing is put in the middle of what was chosen, by walls that are not parallel', () => {
  expect(first('wall:east', SCENE, print)).toEqual({
    on: { wall: 'east', from_left: '1.50 m', height: '1.20 m' },
  });
  const two = { from: ['north', '1.50 m'], and: ['east', '2.00 m'] };
  expect(first('floor', SCENE, print)).toEqual({ at: two });
  expect(first('ceiling', SCENE, print)).toEqual({ hung: two });
  expect(first('in:by-the-stairs', SCENE, print)).toEqual({ in: 'by-the-stairs' });
  expect(first('later', SCENE, print)).toEqual({});
});

test('a room’s walls, its cupboards and its ceiling are places; each kind has its usual one', () => {
  const places = placesOf(SCENE, DOCUMENT).map(({ value }) => value);
  expect(places).toContain('in:by-the-stairs');
  expect(places).not.toContain('in:film');
  expect(placesOf({ ...SCENE, kind: 'outdoor' }, DOCUMENT).map(({ value }) => value)).not.toContain('ceiling');
  expect(usual('screen', SCENE, null)).toBe('wall:north');
  expect(usual('screen', SCENE, 'east')).toBe('wall:east');
  expect(usual('projector', SCENE, 'east')).toBe('ceiling');
  expect(usual('cupboard', SCENE, 'east')).toBe('floor');
});

test('the facts of a part come from the schema, with what they may name from the document', () => {
  const schema = {
    properties: {
      cable: { type: 'array', items: { $ref: '#/$defs/Cable' } },
      zone: { type: 'array', items: { $ref: '#/$defs/Zone' } },
      site: { anyOf: [{ $ref: '#/$defs/Site' }, { type: 'null' }] },
    },
    $defs: {
      Cable: {
        required: ['id'],
        properties: {
          id: { type: 'string', description: 'Its label.' },
          way: { anyOf: [{ $ref: '#/$defs/Way' }, { type: 'null' }] },
          legs: { type: 'array', items: { $ref: '#/$defs/Leg' } },
        },
      },
      Leg: { properties: { along: { type: 'string' } } },
      Way: { oneOf: [{ const: 'overhead' }, { const: 'direct' }] },
      Zone: { properties: { space: { type: 'string' }, amplifiers: { type: 'array', items: { type: 'string' } } } },
      Site: { properties: { mains: { anyOf: [{ $ref: '#/$defs/Mains' }, { type: 'null' }] } } },
      Mains: { required: ['voltage'], properties: { voltage: { type: ['string', 'number'], 'x-bare-unit': 'V' } } },
    },
  };
  const told = (part: string) =>
    shapesOf(schema, DOCUMENT, part).map(({ path, holds, isRequired }) => [path, holds, isRequired]);
  expect(told('cable')).toEqual([
    ['id', 'text', true],
    ['way', 'choice', false],
    ['legs', 'rows', false],
  ]);
  expect(shapesOf(schema, DOCUMENT, 'cable')[2]?.columns.map(({ label }) => label)).toEqual(['Along']);
  expect(told('zone')).toEqual([
    ['space', 'choice', false],
    ['amplifiers', 'list', false],
  ]);
  expect(told('site')).toEqual([['mains.voltage', 'text', true]]);
  expect(shapesOf(schema, DOCUMENT, 'zone')[0]?.choices).toEqual([{ value: 'den', label: 'Den' }]);
});
