// What loads, what is ticked, and what is said, with the server played by a stub.

import { render, type ComponentType } from 'preact';
import { afterEach, beforeEach, expect, it, vi } from 'vitest';

import { outbox } from '../../src/outbox';
import { say, saying, useStatus } from '../../src/status';
import { useTicks, type Ticks } from '../../src/ticks';
import { useResource, type Resource } from '../../src/useResource';

let root: HTMLElement;
beforeEach(() => {
  root = document.createElement('div');
  document.body.append(root);
});
afterEach(() => {
  render(null, root);
  root.remove();
  vi.unstubAllGlobals();
});

function show(Part: ComponentType): void {
  render(<Part />, root);
}

it('keeps the old answer in view until the next is in', async () => {
  let seen: Resource<string> | null = null;
  let key = 'a';
  const answers: Record<string, (text: string) => void> = {};
  const Part = () => {
    const mine = key;
    seen = useResource(mine, () => new Promise<string>((resolve) => (answers[mine] = resolve)));
    return null;
  };
  show(Part);
  await vi.waitFor(() => expect(answers['a']).toBeDefined());
  answers['a']?.('first');
  await vi.waitFor(() => expect(seen).toMatchObject({ data: 'first', loading: false }));
  key = 'b';
  show(Part);
  await vi.waitFor(() => expect(seen).toMatchObject({ data: 'first', loading: true }));
  answers['b']?.('second');
  await vi.waitFor(() => expect(seen).toMatchObject({ data: 'second', loading: false }));
});

it('drops an answer that comes after the next question', async () => {
  let seen: Resource<string> | null = null;
  let key = 'a';
  const answers: Record<string, (text: string) => void> = {};
  const Part = () => {
    const mine = key;
    seen = useResource(mine, () => new Promise<string>((resolve) => (answers[mine] = resolve)));
    return null;
  };
  show(Part);
  await vi.waitFor(() => expect(answers['a']).toBeDefined());
  key = 'b';
  show(Part);
  await vi.waitFor(() => expect(answers['b']).toBeDefined());
  answers['b']?.('second');
  await vi.waitFor(() => expect(seen).toMatchObject({ data: 'second' }));
  answers['a']?.('late');
  await new Promise((resolve) => setTimeout(resolve, 10));
  expect(seen).toMatchObject({ data: 'second' });
});

it('shows a tick at once and sends each once, in order', async () => {
  const sent: string[] = [];
  vi.stubGlobal('fetch', async (_url: string, request: RequestInit) => {
    if (request.method !== 'POST') return new Response('[]');
    const { tick, done }: { tick: string; done: boolean } = JSON.parse(String(request.body));
    sent.push(`${tick} ${done}`);
    return new Response('{}');
  });
  const ticks = await shownTicks();
  ticks().set('a', true);
  ticks().set('b', true);
  ticks().set('a', false);
  await vi.waitFor(() => expect(ticks().done('b')).toBe(true));
  expect(ticks().done('a')).toBe(false);
  await vi.waitFor(() => expect(sent).toHaveLength(3));
  expect(sent).toEqual(['a true', 'b true', 'a false']);
});

it('keeps a tick that did not arrive, and sends it under the same name', async () => {
  let away = true;
  const ops: string[] = [];
  vi.stubGlobal('fetch', async (_url: string, request: RequestInit) => {
    if (request.method !== 'POST') return new Response('[]');
    const { op }: { op: string } = JSON.parse(String(request.body));
    ops.push(op);
    if (away) throw new TypeError('Failed to fetch');
    return new Response('{}');
  });
  const ticks = await shownTicks();
  ticks().set('a', true);
  await vi.waitFor(() => expect(outbox.entries).toMatchObject([{ kind: 'tick', tick: 'a', waited: true }]));
  expect(ticks().done('a')).toBe(true);
  away = false;
  await outbox.flush();
  expect(outbox.entries).toEqual([]);
  expect(ticks().done('a')).toBe(true);
  expect(ops).toHaveLength(2);
  expect(ops[0]).toBe(ops[1]);
});

async function shownTicks(): Promise<() => Ticks> {
  const seen: { ticks: Ticks | null } = { ticks: null };
  show(() => {
    seen.ticks = useTicks('7');
    return null;
  });
  const read = () => {
    if (!seen.ticks) throw new Error('the part was not shown');
    return seen.ticks;
  };
  await vi.waitFor(read);
  return read;
}

it('says what goes on only when it lasts', async () => {
  const said: string[] = [];
  show(() => {
    said.push(useStatus());
    return null;
  });
  await saying('Saving …', Promise.resolve());
  await new Promise((resolve) => setTimeout(resolve, 150));
  expect(said).not.toContain('Saving …');
  const slow = saying('Saving …', new Promise((resolve) => setTimeout(resolve, 200)));
  await vi.waitFor(() => expect(said).toContain('Saving …'));
  await slow;
  await vi.waitFor(() => expect(said.at(-1)).toBe(''));
  say('Saved');
  await vi.waitFor(() => expect(said.at(-1)).toBe('Saved'));
});
