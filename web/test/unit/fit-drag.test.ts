import { expect, test } from 'vitest';

import {
  empty,
  kept,
  next,
  snapped,
  wallLines,
  type Effect,
  type Hand,
  type Happened,
  type Rail,
} from '../../src/fit/drag';

const RAIL: Rail = {
  of: 'item:lamp',
  label: 'Lamp',
  runs: 'both',
  start: { x: 1, y: 1 },
  min: { x: 0.2, y: 0.2 },
  max: { x: 3.8, y: 2.2 },
  snaps: [
    { axis: 'x', at: 1.5, why: 'middle of a stud' },
    { axis: 'x', at: 1.52, why: 'middle of the wall' },
    { axis: 'y', at: 1.2, why: 'eye height' },
  ],
};

const press: Happened = { is: 'pressed', rail: RAIL, at: { x: 1.1, y: 1 }, px: [110, 100] };
const move = (x: number, y: number, free = false): Happened => ({
  is: 'moved',
  to: { x, y },
  px: [x * 100, y * 100],
  threshold_px: 3,
  reach_m: 0.08,
  free,
});

function after(...all: Happened[]): { hand: Hand; effects: Effect[] } {
  let hand = empty();
  const effects: Effect[] = [];
  for (const happened of all) {
    const [to, does] = next(hand, happened);
    hand = to;
    effects.push(...does);
  }
  return { hand, effects };
}

const did = (effects: Effect[]) => effects.map((effect) => effect.do);

test('a press without a move selects', () => {
  const { hand, effects } = after(press, move(1.11, 1), { is: 'released' });
  expect(hand.state).toBe('empty');
  expect(effects).toEqual([{ do: 'select', of: 'item:lamp' }]);
});

test('a drag keeps the grip: the body moves by what the pointer moved', () => {
  const { hand } = after(press, move(1.3, 0.7));
  expect(hand.state === 'held' && hand.place).toEqual({
    x: expect.closeTo(1.2, 12),
    y: expect.closeTo(0.7, 12),
  });
});

test('each move shows and proves, and only the release saves, once', () => {
  const { hand, effects } = after(
    press,
    move(1.3, 0.7),
    move(1.31, 0.7),
    { is: 'released' },
    { is: 'released' },
  );
  expect(did(effects)).toEqual(['show', 'prove', 'show', 'prove', 'save']);
  expect(hand.state).toBe('saving');
});

test('while one is saved no other can be taken', () => {
  const { hand } = after(press, move(1.3, 0.7), { is: 'released' }, press);
  expect(hand.state).toBe('saving');
  expect(next(hand, { is: 'saved' })[0].state).toBe('empty');
});

test('a refused save and Escape both restore', () => {
  const refused = after(press, move(1.3, 0.7), { is: 'released' }, { is: 'refused' });
  expect(did(refused.effects).slice(-1)).toEqual(['restore']);
  const back = after(press, move(1.3, 0.7), { is: 'put back' }, { is: 'released' });
  expect(did(back.effects)).toEqual(['show', 'prove', 'restore', 'say']);
  expect(back.hand.state).toBe('empty');
});

test('a body dragged home again is not saved', () => {
  const { effects } = after(press, move(1.3, 0.7), move(1.1, 1), { is: 'released' });
  expect(did(effects)).not.toContain('save');
});

test('a body stays on its rail', () => {
  const { hand } = after(press, move(9, -9));
  expect(hand.state === 'held' && hand.place).toEqual({ x: 3.8, y: 0.2 });
  const alongWall = { ...RAIL, runs: 'x' as const };
  expect(kept(alongWall, { x: 2, y: 2 })).toEqual({ x: 2, y: 1 });
  expect(kept({ ...RAIL, min: { x: 3, y: 0 }, max: { x: 1, y: 2 } }, { x: 9, y: 1 }).x).toBe(2);
});

test('it rests on the nearest line within reach, and Alt lets go', () => {
  const near = snapped(RAIL, { x: 1.515, y: 1.9 }, 0.08);
  expect(near.place).toEqual({ x: 1.52, y: 1.9 });
  expect(near.lines.map(({ why }) => why)).toEqual(['middle of the wall']);
  expect(snapped(RAIL, { x: 1.3, y: 1.9 }, 0.08).lines).toEqual([]);
  const free = after(press, move(1.61, 1, true));
  expect(free.hand.state === 'held' && free.hand.place.x).toBeCloseTo(1.51, 12);
});

test('a line at the edge of reach holds, one beyond it does not', () => {
  expect(snapped(RAIL, { x: 1.42, y: 1.9 }, 0.0801).lines).toHaveLength(1);
  expect(snapped(RAIL, { x: 1.42, y: 1.9 }, 0.0799).lines).toHaveLength(0);
});

test('keys move a body that Enter picked up, and Enter puts it down', () => {
  const step: Happened = { is: 'nudged', dx: 0.01, dy: 0 };
  const { hand, effects } = after({ is: 'picked up', rail: RAIL }, step, step, { is: 'put down' });
  expect(hand.state === 'saving' && hand.place.x).toBeCloseTo(1.02, 12);
  expect(did(effects)).toEqual(['show', 'say', 'show', 'prove', 'show', 'prove', 'save']);
});

test('pointer and keys do not fight over one body', () => {
  const { hand } = after({ is: 'picked up', rail: RAIL }, move(2, 2), { is: 'released' });
  expect(hand.state === 'held' && hand.place).toEqual(RAIL.start);
});

test('a body does not snap to lines of its own', () => {
  const lines = wallLines(
    [
      { along_m: 1, height_m: null, why: 'its own middle', of: ['item:lamp'] },
      { along_m: null, height_m: 2, why: 'a block', of: [] },
    ],
    'item:lamp',
  );
  expect(lines).toEqual([{ axis: 'y', at: 2, why: 'a block' }]);
});
