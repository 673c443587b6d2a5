import { expect, it } from 'vitest';

import type { Racked } from '../../src/api/schema';
import { laid, unitsText } from '../../src/wiring/rack';

function thing(id: string, slot: number, units: number): Racked {
  return { thing: { id, label: id, space: null, verdict: null, finding: null }, facts_text: '', slot, units };
}

it('gives each unit a row, and a long free stretch one', () => {
  const { rows, places, lanes } = laid({ slots: 12, things: [thing('a', 7, 2), thing('b', 2, 3)] });
  expect(rows).toEqual([
    { top: 12, bottom: 9 },
    ...[8, 7, 6, 5, 4, 3, 2, 1].map((unit) => ({ top: unit, bottom: unit })),
  ]);
  expect(places.map(({ row, rows }) => [row, rows])).toEqual([
    [1, 2],
    [5, 3],
  ]);
  expect(lanes).toBe(1);
});

it('puts what clashes side by side, and names what reaches out', () => {
  const { places, lanes, outside } = laid({
    slots: 6,
    things: [thing('a', 3, 2), thing('b', 2, 2), thing('c', 6, 2), thing('d', 0, 1)],
  });
  expect(places.map(({ lane }) => lane)).toEqual([0, 1]);
  expect(lanes).toBe(2);
  expect(outside.map(({ thing }) => thing.id)).toEqual(['c', 'd']);
});

it('is empty as one row', () => {
  expect(laid({ slots: 30, things: [] }).rows).toEqual([{ top: 30, bottom: 1 }]);
  expect(unitsText(thing('a', 5, 4))).toBe('Units 5 to 8');
});
