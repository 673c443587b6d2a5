// The outbox: everything arrives once, in order, whatever happens on the way.

import { expect, it } from 'vitest';

import { Refused, type Trouble } from '../../src/api/client';
import type { Entry } from '../../src/outbox/entry';
import { read, written } from '../../src/outbox/file';
import { Outbox, type Fresh } from '../../src/outbox/outbox';
import { amounts } from '../../src/outbox/OutboxStrip';
import { inMemory } from '../../src/outbox/shelf';
import { fit } from '../../src/walk/shrink';

const tick = (name: string): Fresh => ({ kind: 'tick', job: 'j', tick: name, done: true });
const trouble = (status: number): Trouble => ({
  message: 'no',
  hint: null,
  at: null,
  kept: null,
  status,
  problems: [],
  column: null,
  accepted: null,
});

/** An outbox whose server answers with a status: 0 is out of reach, 200 takes it. */
function box(status: () => number) {
  const sent: string[] = [];
  const shelf = inMemory();
  const send = async (entry: Entry) => {
    await Promise.resolve();
    const now = status();
    if (now !== 200) throw new Refused(trouble(now));
    sent.push(entry.kind === 'tick' ? entry.tick : entry.kind);
    return null;
  };
  return { sent, shelf, outbox: new Outbox(Promise.resolve(shelf), send) };
}

it('sends at once what can be sent, and keeps nothing of it', async () => {
  const { outbox, sent } = box(() => 200);
  expect(await outbox.add(tick('a'))).toMatchObject({ is: 'sent' });
  expect(sent).toEqual(['a']);
  expect(outbox.entries).toEqual([]);
});

it('keeps what is made out of reach and sends it in order, once, however many flush', async () => {
  let status = 0;
  const { outbox, sent } = box(() => status);
  for (const name of ['a', 'b', 'c']) expect(await outbox.add(tick(name))).toEqual({ is: 'kept' });
  expect(outbox.entries.map((entry) => entry.waited)).toEqual([true, true, true]);
  const arrived: string[] = [];
  outbox.onArrival((entry) => arrived.push(entry.op));
  status = 200;
  await Promise.all([outbox.flush(), outbox.flush(), outbox.flush()]);
  expect(sent).toEqual(['a', 'b', 'c']);
  expect(new Set(arrived).size).toBe(3);
  expect(outbox.entries).toEqual([]);
});

it('never lets a later entry overtake one that did not get through', async () => {
  const answers = [200, 0];
  const { outbox, sent } = box(() => answers.shift() ?? 200);
  await outbox.add(tick('a'));
  await outbox.add(tick('b'));
  await outbox.add(tick('c'));
  expect(sent).toEqual(['a', 'b', 'c']);
});

it('gives back what is refused while its maker looks on', async () => {
  const { outbox } = box(() => 422);
  expect(await outbox.add(tick('a'))).toMatchObject({ is: 'refused', trouble: { status: 422 } });
  expect(outbox.entries).toEqual([]);
});

it('keeps what is refused after it had waited, sends the rest, and lets go when told', async () => {
  const answers = [422, 200];
  const { outbox, sent, shelf } = box(() => answers.shift() ?? 0);
  await shelf.put({ kind: 'tick', job: 'j', tick: 'a', done: true, op: '1', made: '', waited: true, refused: null });
  await shelf.put({ kind: 'tick', job: 'j', tick: 'b', done: true, op: '2', made: '', waited: true, refused: null });
  await outbox.flush();
  expect(sent).toEqual(['b']);
  expect(outbox.entries).toMatchObject([{ op: '1', refused: { status: 422 } }]);
  await outbox.drop('1');
  expect(outbox.entries).toEqual([]);
});

it.each([0, 401, 429, 500, 503])('waits on after answer %i, which may pass', async (status) => {
  const { outbox } = box(() => status);
  expect(await outbox.add(tick('a'))).toEqual({ is: 'kept' });
  expect(outbox.entries).toMatchObject([{ refused: null, waited: true }]);
});

it('brings in what waited elsewhere, in order, and once though it is brought twice', async () => {
  const { outbox, sent } = box(() => 200);
  const waited = ['a', 'b'].map((name): Entry => ({
    ...{ kind: 'tick', job: 'j', tick: name, done: true, op: name, made: '', waited: true, refused: null },
  }));
  const both = await Promise.all([outbox.bring(waited), outbox.bring(waited)]);
  for (const came of both) expect(came.map(({ outcome }) => outcome.is)).toEqual(['sent', 'sent']);
  expect(sent).toEqual(['a', 'b']);
  expect(outbox.entries).toEqual([]);
});

it('hears of what another page of the browser sent in its place', async () => {
  const { shelf, outbox, sent } = box(() => 0);
  const put = shelf.put;
  // The other page is quicker: what is laid on the shelf is gone before this page has its turn.
  shelf.put = async (entry) => {
    await put(entry);
    await shelf.take(entry.op);
  };
  expect(await outbox.add(tick('a'))).toEqual({ is: 'sent', saved: null });
  expect(sent).toEqual([]);
});

it('keeps what is brought and refused, with the reason, and tries it again when it is brought again', async () => {
  const answers = [422, 0, 200];
  const { outbox, sent } = box(() => answers.shift() ?? 0);
  const waited: Entry = { kind: 'tick', job: 'j', tick: 'a', done: true, op: '1', made: '', waited: true, refused: null };
  const outcomes = [];
  for (let i = 0; i < 3; i += 1) outcomes.push(...(await outbox.bring([waited])));
  expect(outcomes.map(({ outcome }) => outcome.is)).toEqual(['refused', 'kept', 'sent']);
  expect(sent).toEqual(['a']);
});

it('writes what waits to a file that reads back the same', async () => {
  const made = '2026-05-04T10:00:00Z';
  const waits = { job: 'j', made, waited: true, refused: null } as const;
  const entries: Entry[] = [
    { ...waits, op: '1', kind: 'change', base: 3, edits: [{ at: 'space.den.name', set: 'Den' }], summary: 'Name it' },
    { ...waits, op: '2', kind: 'tick', tick: 'part x', done: false },
    {
      ...waits,
      ...{ op: '3', kind: 'photograph', pinned: 'space.den', caption: 'Door', keep_location: true },
      bytes: new Blob([Uint8Array.from([0, 127, 128, 255])], { type: 'image/jpeg' }),
    },
  ];
  const back = read(await written(entries));
  expect(back.slice(0, 2)).toEqual(entries.slice(0, 2));
  const [photograph] = back.slice(2);
  if (photograph?.kind !== 'photograph') throw new Error('the third is a photograph');
  expect({ ...photograph, bytes: null }).toEqual({ ...entries[2], bytes: null });
  expect([...new Uint8Array(await photograph.bytes.arrayBuffer())]).toEqual([0, 127, 128, 255]);
});

it.each([
  ['[kit]', 'not a file of what waited'],
  ['{"entries": []}', 'not a file of what waited'],
  ['{"is": "what waits to be sent to dryfit", "format": 1}', 'cut off'],
  ['{"is": "what waits to be sent to dryfit", "format": 2, "entries": []}', 'newer version'],
  ['{"is": "what waits to be sent to dryfit", "format": 1, "entries": [{"kind": "tick"}]}', 'entry 1'],
])('says what is wrong with %s', (text, words) => {
  expect(() => read(text)).toThrow(words);
});

it('counts what waits in words', () => {
  const entry = (kind: Entry['kind']) => ({ kind }) as Entry; // Only the kind is counted.
  expect(amounts([entry('change'), entry('change'), entry('change')])).toBe('3 changes');
  expect(amounts([entry('tick'), entry('change'), entry('photograph')])).toBe('1 change, 1 tick and 1 photograph');
});

it('shrinks a photograph to 1600 px, and enlarges none', () => {
  expect(fit(4000, 3000)).toEqual({ width: 1600, height: 1200 });
  expect(fit(1000, 4000)).toEqual({ width: 400, height: 1600 });
  expect(fit(800, 600)).toEqual({ width: 800, height: 600 });
});
