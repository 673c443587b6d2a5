import { describe, expect, it } from 'vitest';

import type { Entry } from '../../src/outbox';
import { withEdit, withWaiting } from '../../src/outbox/overlay';

const den = { id: 'den', fixture: [{ id: 'lamp', kind: 'light', size: ['?', '?'] }] };
const job = { space: [den] };
const at = (path: string, set: Parameters<typeof withEdit>[1]['set']) => withEdit(job, { at: path, set });

describe('an edit made on a copy', () => {
  it('sets a fact of an element, by its id and by a position', () => {
    expect(at('space.den.fixture.lamp.size.1', '4 in')).toEqual({
      space: [{ ...den, fixture: [{ id: 'lamp', kind: 'light', size: ['?', '4 in'] }] }],
    });
    expect(job.space[0]?.fixture[0]?.size[1]).toBe('?');
  });
  it('adds an element, to a list that is there and to one that is not', () => {
    const socket = { id: 'socket', kind: 'socket' };
    expect(at('space.den.fixture.socket', socket)).toEqual({ space: [{ ...den, fixture: [...den.fixture, socket] }] });
    expect(at('space.den.opening.door', { id: 'door' })).toEqual({ space: [{ ...den, opening: [{ id: 'door' }] }] });
  });
  it('brings the group of a fact with it, and takes away what is set to nothing', () => {
    expect(at('space.den.ceiling.height', "8'")).toEqual({ space: [{ ...den, ceiling: { height: "8'" } }] });
    expect(at('space.den.fixture.lamp', null)).toEqual({ space: [{ ...den, fixture: [] }] });
    expect(at('space.den.fixture.lamp.kind', null)).toEqual({
      space: [{ ...den, fixture: [{ id: 'lamp', size: ['?', '?'] }] }],
    });
  });
});

it('holds what waits, not what was refused nor what is just being sent', () => {
  const change = (id: string, more: Partial<Entry> = {}): Entry => ({
    kind: 'change',
    op: id,
    job: 'a',
    made: '2026-11-25T10:00:00Z',
    waited: true,
    refused: null,
    base: 1,
    edits: [{ at: `space.den.fixture.${id}`, set: { id } }],
    ...(more as object),
  });
  const no = { message: 'no', hint: null, at: null, kept: null, status: 422, problems: [], column: null, accepted: null };
  const all = [change('one'), change('two', { refused: no }), change('three', { waited: false })];
  expect(JSON.stringify(withWaiting(job, all))).toContain('"one"');
  expect(JSON.stringify(withWaiting(job, all))).not.toMatch(/"two"|"three"/);
});
