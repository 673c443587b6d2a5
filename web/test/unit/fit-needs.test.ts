// Which missing facts one field takes, by the schema of a job.

import { expect, it } from 'vitest';

import { isTyped, nodeAt } from '../../src/fit/Needs';

const SCHEMA = {
  properties: { kit: { $ref: '#/$defs/Catalogue' }, cable: { type: 'array', items: { $ref: '#/$defs/Cable' } } },
  $defs: {
    Catalogue: { properties: { mount: { type: 'array', items: { $ref: '#/$defs/Mount' } } } },
    Mount: {
      properties: {
        rated_to: { type: ['string', 'null'], 'x-kind': 'temperature' },
        octaves: { type: 'array', items: { type: ['string', 'number'] } },
        takes: { type: 'array', items: { type: 'array', items: { type: 'string' } } },
        rail: { anyOf: [{ $ref: '#/$defs/Rail' }, { type: 'null' }] },
      },
    },
    Rail: { properties: { length: { type: 'string' } } },
    Cable: { properties: { length: { type: 'string' }, legs: { type: 'array', items: { $ref: '#/$defs/Rail' } } } },
  },
};

it('takes plain facts and lists of them, and leaves tables to their pages', () => {
  const typed = (at: string) => isTyped(SCHEMA, nodeAt(SCHEMA, at));
  expect(['kit.mount.m1.rated_to', 'kit.mount.m1.octaves', 'cable.W1.length', 'kit.mount.m1.rail.length'].map(typed)).toEqual(
    [true, true, true, true],
  );
  expect(['kit.mount.m1.takes', 'kit.mount.m1.rail', 'cable.W1.legs', 'nothing.here'].map(typed)).toEqual([
    false,
    false,
    false,
    false,
  ]);
});
