// Whatever goes wrong on the way to the server becomes one shape that a reader can use.

import { afterEach, expect, it, vi } from 'vitest';

import { findings, jobs, newOp, sheets, troubleOf } from '../../src/api/client';

afterEach(() => vi.unstubAllGlobals());

it('hands on the server’s own words', async () => {
  answer(422, {
    message: 'no such wall',
    hint: 'walls here: north',
    at: 'item.tv.on.wall',
    kept: 'your change is kept',
  });
  expect(await trouble(jobs.undo('7', 1))).toMatchObject({
    status: 422,
    message: 'no such wall',
    hint: 'walls here: north',
    at: 'item.tv.on.wall',
    kept: 'your change is kept',
  });
});

it('hands on the mistakes of a job file', async () => {
  const problem = { line: 4, column: 9, says: 'not a length', accepted: `10' 6 1/2"` };
  answer(422, { message: 'can’t read it', hint: null, problems: [problem] });
  expect((await trouble(jobs.create({ from: 'text', text: 'x' }))).problems).toEqual([problem]);
});

it('says what to do when something else answers', async () => {
  vi.stubGlobal('fetch', async () => new Response('<html>', { status: 502 }));
  const { message, hint, status } = await trouble(jobs.list());
  expect(status).toBe(502);
  expect(message).toContain('502');
  expect(hint).not.toBeNull();
});

it('says what is kept when nothing answers a change', async () => {
  vi.stubGlobal('fetch', async () => {
    throw new TypeError('Failed to fetch');
  });
  expect(await trouble(jobs.undo('7', 1))).toMatchObject({
    status: 0,
    kept: expect.stringContaining('not saved'),
  });
  expect(await trouble(jobs.list())).toMatchObject({ status: 0, kept: null });
});

it('lets a request that was given up pass as such', async () => {
  const abort = new AbortController();
  vi.stubGlobal('fetch', async (_url: string, request: RequestInit) => {
    abort.abort();
    request.signal?.throwIfAborted();
    return new Response('{}');
  });
  await expect(findings.all('7', abort.signal)).rejects.toMatchObject({ name: 'AbortError' });
});

it('encodes what stands in a path', async () => {
  const asked: string[] = [];
  vi.stubGlobal('fetch', async (url: string) => {
    asked.push(url);
    return new Response('{}');
  });
  await findings.one('a/b', 'throw~loft~x?y');
  expect(asked).toEqual(['/api/jobs/a%2Fb/findings/throw~loft~x%3Fy']);
});

it('bears an answer without a body', async () => {
  vi.stubGlobal('fetch', async () => new Response(null, { status: 204 }));
  await expect(sheets.cancel('k')).resolves.toBeNull();
});

it('names each operation differently, as a version 4 UUID', () => {
  // RFC 9562, 5.4: version 4 in the seventh byte, variant 10 in the ninth.
  const names = Array.from({ length: 100 }, newOp);
  expect(new Set(names).size).toBe(100);
  for (const name of names)
    expect(name).toMatch(/^[0-9a-f]{8}-[0-9a-f]{4}-4[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/);
});

function answer(status: number, body: object): void {
  vi.stubGlobal('fetch', async () => new Response(JSON.stringify(body), { status }));
}

async function trouble(request: Promise<unknown>) {
  try {
    await request;
  } catch (thrown) {
    return troubleOf(thrown);
  }
  throw new Error('the request was not refused');
}
