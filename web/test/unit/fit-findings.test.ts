import { expect, test } from 'vitest';

import type { Finding, Verdict } from '../../src/api/schema';
import { changes, filtered, hiddenBy, merged, summary, worstAbout, worstFirst } from '../../src/fit/findings';

const finding = (id: string, verdict: Verdict, more: Partial<Finding> = {}): Finding => ({
  key: `gap~den~${id}`,
  check: 'gap',
  area: 'picture',
  title: 'Is there a gap?',
  subject: { id, label: `Lamp ${id}` },
  space: 'den',
  about: [`item:${id}`],
  value: null,
  limit: null,
  unit: 'm',
  margin: null,
  uncertainty: null,
  value_text: null,
  limit_text: null,
  margin_text: null,
  uncertainty_text: null,
  bar: null,
  verdict,
  because: 'It hangs there.',
  source: 'common practice, no source',
  needs: [],
  deciders: [],
  inputs: [],
  remedies: [],
  cautions: [],
  ...more,
});

const NONE = { space: null, area: null, verdict: null, text: '' };
const COUNTS = { fits: 0, tight: 0, fails: 0, unknown: 0 };

test('worst first, and among equals as they came', () => {
  const all = [
    finding('a', 'fits'),
    finding('b', 'unknown'),
    finding('c', 'fails'),
    finding('d', 'tight'),
    finding('e', 'fails'),
  ];
  expect(worstFirst(all).map(({ subject }) => subject.id)).toEqual(['c', 'e', 'd', 'b', 'a']);
});

test('filters narrow by space, trade, verdict and every word', () => {
  const all = [finding('a', 'fits'), finding('b', 'fails', { space: null, area: 'power', about: [] })];
  const ids = (filter: object) => filtered(all, { ...NONE, ...filter }).map(({ subject }) => subject.id);
  expect(ids({ space: 'den' })).toEqual(['a']);
  expect(ids({ area: 'power' })).toEqual(['b']);
  expect(ids({ verdict: 'fails' })).toEqual(['b']);
  expect(ids({ text: 'LAMP b' })).toEqual(['b']);
  expect(ids({ text: 'lamp nowhere' })).toEqual([]);
});

test('what a filter keeps from sight is what somebody has to act on', () => {
  const all = [
    finding('a', 'fits'),
    finding('b', 'unknown', { space: null, area: 'power' }),
    finding('c', 'fits', { space: null }),
    finding('d', 'tight'),
  ];
  const ids = (filter: object) => hiddenBy(all, { ...NONE, ...filter }).map(({ subject }) => subject.id);
  expect(ids({})).toEqual([]);
  expect(ids({ space: 'den' })).toEqual(['b']);
  expect(ids({ area: 'picture' })).toEqual(['b']);
  expect(ids({ text: 'lamp b' })).toEqual(['d']);
  // A verdict is asked for, and hides nothing unasked.
  expect(ids({ verdict: 'fits' })).toEqual([]);
});

test('a change replaces, takes away and adds', () => {
  const before = [finding('a', 'fits'), finding('b', 'fails')];
  const after = merged(before, {
    changed: [finding('a', 'tight'), finding('c', 'fits')],
    gone: ['gap~den~b'],
    counts: COUNTS,
  });
  expect(after.map(({ subject, verdict }) => `${subject.id} ${verdict}`)).toEqual(['a tight', 'c fits']);
});

test('a body carries the worst of what is said about it in its own room', () => {
  const all = [finding('a', 'fits'), finding('a', 'tight'), finding('a', 'fails', { space: 'loft' })];
  expect(worstAbout(all, 'den').get('item:a')).toBe('tight');
});

test('a move is told by what it turns, worst first, then by what stays bad', () => {
  const before = new Map(
    [finding('a', 'fits'), finding('b', 'fails'), finding('c', 'fits'), finding('d', 'fails')].map((one) => [
      one.key,
      one,
    ]),
  );
  const delta = {
    changed: [
      finding('b', 'fails', { margin_text: '\u22121\u202f1/2″' }),
      finding('c', 'fits', { margin_text: '+2″' }),
      finding('a', 'fails', { margin_text: '\u22123\u202f1/2″' }),
    ],
    gone: ['gap~den~d'],
    counts: COUNTS,
  };
  const told = changes(before, delta);
  expect(told.map(({ subject, words }) => `${subject} ${words}`)).toEqual([
    'Lamp a now fails by 3\u202f1/2″',
    'Lamp d is no longer asked',
    'Lamp b still fails by 1\u202f1/2″',
  ]);
  expect(summary(told)).toBe(
    'Lamp a, Is there a gap?: now fails by 3\u202f1/2″. Lamp d, Is there a gap?: is no longer asked.',
  );
  expect(summary(changes(before, { changed: [], gone: [], counts: COUNTS }))).toBe('No verdict changes.');
});
