import { expect, test } from 'vitest';

import { overlaps, place, rectangle, type Label } from '../../src/fit/labels';

const width = (text: string) => text.length * 7;
const label = (id: string, left: number, top: number, priority = 1, side = 20): Label => ({
  id,
  text: id,
  priority,
  around: { left, top, right: left + side, bottom: top + side },
});

test('a label stands inside a shape that has room for it, else below', () => {
  const [roomy] = place([label('sofa', 0, 0, 1, 100)], width, 16);
  expect(roomy?.at).toEqual([50, 50]);
  const [small] = place([label('plate', 100, 100)], width, 16);
  expect(small?.at).toEqual([110, 132]);
});

test('no two labels that are written cover each other', () => {
  const crowd = Array.from({ length: 60 }, (_, i) =>
    label(`lamp ${i}`, (i % 10) * 18, Math.floor(i / 10) * 9),
  );
  const placed = place(crowd, width, 16);
  expect(placed.length).toBeGreaterThan(2);
  expect(placed.length).toBeLessThan(60);
  for (const a of placed) {
    for (const b of placed) {
      if (a.id === b.id) continue;
      const box = (one: typeof a) => rectangle(one.at, { width: width(one.text), height: 16 });
      expect(overlaps(box(a), box(b)), `${a.id} and ${b.id}`).toBe(false);
    }
  }
});

test('the weightier of two labels is written when only one has room', () => {
  // Only right below the shape both share is anything free.
  const taken = [
    { left: -900, right: 900, top: -900, bottom: 30 },
    { left: -900, right: 900, top: 51, bottom: 900 },
  ];
  const both = [label('wwww', 0, 0, 1, 30), label('kkkk', 0, 0, 5, 30)];
  expect(place(both, width, 16, taken).map(({ id }) => id)).toEqual(['kkkk']);
});

test('what the reader points at is named whatever it covers', () => {
  const covered = [{ left: -1000, right: 1000, top: -1000, bottom: 1000 }];
  expect(place([label('lamp', 0, 0, 3)], width, 16, covered, 20)).toEqual([]);
  expect(place([label('lamp', 0, 0, 20)], width, 16, covered, 20)).toHaveLength(1);
});

test('a label may cover its own shape and no other', () => {
  const shape = { left: 0, right: 100, top: 0, bottom: 100 };
  const own = place([label('screen', 0, 0, 1, 100)], width, 16, [{ ...shape, of: 'screen' }]);
  expect(own[0]?.at).toEqual([50, 50]);
  const other = place([label('screen', 0, 0, 1, 100)], width, 16, [{ ...shape, of: 'door' }]);
  expect(other[0]?.at).toEqual([50, 112]);
});

test('a label that stands apart has a leader to its shape', () => {
  const below = { left: -500, right: 500, top: 20, bottom: 38 };
  const sides = [
    { left: -500, right: 500, top: -500, bottom: 0 },
    { left: -500, right: 0, top: -500, bottom: 500 },
    { left: 20, right: 500, top: -500, bottom: 37 },
  ];
  const [far] = place([label('w', 6, 0, 1, 8)], width, 16, [...sides, below]);
  expect(far?.lead?.[1]).toEqual([10, 8]);
});
