// What numbers look like, against the same cases that the program's own printer documents.

import { describe, expect, it } from 'vitest';

import { angle, counted, duration, figure, length, margin, uncertainty, when } from '../../src/units';

const thin = (text: string) => text.replaceAll('~', '\u202F');

describe('length', () => {
  it.each([
    [3.2131, 'imperial', '10′~6~1/2″'],
    [3.2131, 'metric', '3.213~m'],
    [3.21, 'metric', '3.21~m'],
    [3, 'metric', '3~m'],
    [0.321, 'metric', '321~mm'],
    [0.9996, 'metric', '1~m'],
    [0.9994, 'metric', '999~mm'],
    [0.0127, 'imperial', '1/2″'],
    [0.3048, 'imperial', '1′~0″'],
    [0.0254 * 11.95, 'imperial', '1′~0″'],
    [0.0254 * 7.75, 'imperial', '7~3/4″'],
    [0, 'imperial', '0″'],
    [0, 'metric', '0~mm'],
    [-0.0317, 'imperial', '−1~1/4″'],
    [-0.00001, 'metric', '0~mm'],
  ] as const)('%f m in %s is %s', (metres, units, text) => expect(length(metres, units)).toBe(thin(text)));

  it('shows no figure for what is none', () => expect(length(NaN, 'metric')).toBe('–'));
});

describe('margin', () => {
  it('always has its sign', () => {
    expect(margin(0.032, 'metric')).toBe(thin('+32~mm'));
    expect(margin(-0.03175, 'imperial')).toBe(thin('−1~1/4″'));
  });
  it('has none at nothing', () => expect(margin(0, 'metric')).toBe(thin('0~mm')));
});

it('prints an uncertainty behind its figure', () => expect(uncertainty(0.006, 'metric')).toBe(thin('±6~mm')));

it('prints angles in tenths of a degree', () => {
  expect(angle(Math.PI / 4)).toBe('45°');
  expect(angle(-0.2182)).toBe('−12.5°');
  expect(angle(-0.0001)).toBe('0°');
});

it('prints how long something takes', () => {
  expect(duration(2721)).toBe(thin('45~min'));
  expect(duration(7800)).toBe(thin('2~h 10~min'));
  expect(duration(7200)).toBe(thin('2~h'));
  expect(duration(20)).toBe(thin('under 1~min'));
  expect(duration(0)).toBe(thin('0~min'));
});

it('prints plain figures without needless zeros', () => {
  expect(figure(100, 0)).toBe('100');
  expect(figure(1.5, 2)).toBe('1.5');
  expect(figure(-0.004, 2)).toBe('0');
  expect(figure(-2, 1)).toBe('−2');
});

it('says when by the reader’s clock', () => {
  const now = new Date(2026, 4, 4, 18, 0);
  expect(when(new Date(2026, 4, 4, 9, 5).toISOString(), now)).toMatch(/^today 0?9:05/);
  expect(when(new Date(2026, 4, 3, 9, 5).toISOString(), now)).toMatch(/2026, 0?9:05/);
  expect(when('no date', now)).toBe('–');
});

it('counts in words', () => {
  expect(counted(1, 'room')).toBe('1 room');
  expect(counted(0, 'room')).toBe('0 rooms');
  expect(counted(2, 'entry', 'entries')).toBe('2 entries');
});
