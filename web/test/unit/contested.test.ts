import { expect, it } from 'vitest';

import { inWords } from '../../src/parts/Contested';

it('tells a thing by its kind, its wall and its place, and leaves a fact as it is', () => {
  const thing = { id: 'thermostat', kind: 'thermostat', on: { wall: 'front', from_left: `3' 2" guess`, height: '?' }, size: ['2 in', '?'] };
  expect(inWords(JSON.stringify(thing))).toBe(
    `thermostat, wall front, from left 3' 2" guess, height not measured, size 2 in × not measured`,
  );
  expect(inWords(JSON.stringify({ id: 'lamp-2', kind: 'wall-light' }))).toBe('wall light, lamp 2');
  expect(inWords(JSON.stringify([{ id: 'front', length: "12'" }, { id: 'back', open: true }]))).toBe(
    "front, length 12'; back, open yes",
  );
  expect(inWords(`8' 0"`)).toBe(`8' 0"`);
  expect(inWords('{not a thing')).toBe('{not a thing');
});
