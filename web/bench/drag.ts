// How long after a pointer moved do the findings of the new position stand on the screen?
//
// Drags a body of the demo house in circles for some seconds, as fast as the browser takes moves, and prints: from the pointer's
// event to the painted list (`findings shown`, measured in the page), the share of it that request and server took, the time
// between frames, and tasks longer than 50 ms. `DRYFIT_BIN` names a release build; a debug build measures the compiler.
// `DRYFIT_BENCH_SECONDS` is how long each drag goes on.

import { expect, test } from 'vitest';
import type { Page } from 'playwright-core';

import { demoJob, open, useBrowser } from '../test/page/harness';

useBrowser();

const SECONDS = Number(process.env['DRYFIT_BENCH_SECONDS'] ?? 6);
/** Of the drags' times these are aimed at, ms. */
const AIMS = { shown_p95: 100, server_p95: 16, frame: 50 };

const DRAGS = [
  { room: 'loft', view: 'screen-wall', body: 'item:front-l' },
  { room: 'loft', view: 'plan', body: 'item:projector' },
  { room: 'living', view: 'hearth', body: 'item:tv' },
];

/** Runs in the page before its own code. */
const WATCH = `
  window.watched = { frames: [], long: [] };
  new PerformanceObserver((list) => {
    for (const { startTime, duration } of list.getEntries()) watched.long.push({ startTime, duration });
  }).observe({ type: 'longtask', buffered: true });
  performance.setResourceTimingBufferSize(20000);
`;

const FRAMES = `
  window.watched.frames = [];
  window.watching = true;
  requestAnimationFrame((first) => {
    let last = first;
    const frame = (now) => {
      watched.frames.push(now - last);
      last = now;
      if (watching) requestAnimationFrame(frame);
    };
    requestAnimationFrame(frame);
  });
  performance.clearMeasures();
  performance.clearResourceTimings();
  watched.since = performance.now();
`;

/** Before the body is let go: with that the page forgets its measures. */
const READ = `(() => {
  window.watching = false;
  const asked = performance.getEntriesByType('resource').filter((entry) => new URL(entry.name).pathname.endsWith('/prove'));
  return {
    shown: performance.getEntriesByName('findings shown').map((entry) => entry.duration),
    asked: asked.map((entry) => ({
      request: entry.responseEnd - entry.requestStart,
      server: entry.serverTiming.length > 0 ? Math.max(...entry.serverTiming.map(({ duration }) => duration)) : null,
      bytes: entry.encodedBodySize,
    })),
    frames: watched.frames,
    long: watched.long.filter((task) => task.startTime > watched.since).map((task) => task.duration),
  };
})()`;

type Reading = {
  shown: number[];
  asked: { request: number; server: number | null; bytes: number }[];
  frames: number[];
  long: number[];
};

for (const { room, view, body } of DRAGS) {
  test(`${body} in ${room}, ${view}`, async () => {
    const job = await demoJob();
    const { page, close } = await open(`/job/${job}/fit?room=${room}&view=${view}`);
    await page.evaluate(WATCH);
    await page.locator('.finding').first().waitFor();
    await page.waitForLoadState('networkidle');
    const [x, y] = await picksUp(page, body);
    // The first answers come from a server that has just read the job.
    for (let i = 0; i < 10; i++) await page.mouse.move(x + 20 + i, y);
    await page.locator('.move-changes').waitFor();
    await page.waitForLoadState('networkidle');

    await page.evaluate(FRAMES);
    const end = Date.now() + SECONDS * 1000;
    for (let i = 0; Date.now() < end; i++) {
      const turn = i / 25;
      await page.mouse.move(x + 40 * Math.cos(turn), y + 25 * Math.sin(turn));
    }
    const reading: Reading = await page.evaluate(READ);
    await page.keyboard.press('Escape');
    await page.mouse.up();
    print(`${body} in ${room}`, reading);
    expect(reading.shown.length, 'answers that were shown').toBeGreaterThan(SECONDS);
    expect(reading.frames.length, 'frames that were painted').toBeGreaterThan(SECONDS);
    await close();
  });
}

/** Where the pointer holds the body: some other thing may stand before its middle. */
async function picksUp(page: Page, body: string): Promise<[number, number]> {
  const outline = page.locator(`[data-body="${body}"] .outline`);
  await outline.waitFor();
  const box = await outline.boundingBox();
  if (!box) throw new Error(`${body} is not drawn`);
  for (const share of [0.5, 0.25, 0.75, 0.1, 0.9]) {
    const [x, y] = [box.x + box.width * share, box.y + box.height * share];
    await page.mouse.move(x, y);
    await page.mouse.down();
    await page.mouse.move(x + 8, y, { steps: 4 });
    const held = page.locator(`[data-body="${body}"].held`);
    if (await held.waitFor({ timeout: 2000 }).then(() => true, () => false)) return [x, y];
    await page.keyboard.press('Escape');
    await page.mouse.up();
  }
  throw new Error(`${body} can't be picked up`);
}

function print(what: string, { shown, asked, frames, long }: Reading): void {
  const server = asked.flatMap((one) => (one.server === null ? [] : [one.server]));
  const rows: [string, number[], string | null][] = [
    ['pointer to findings shown', shown, aim(quantile(shown, 0.95), AIMS.shown_p95, '95 %')],
    ['request', asked.map(({ request }) => request), null],
    ['server', server, aim(quantile(server, 0.95), AIMS.server_p95, '95 %')],
    ['between frames', frames, aim(quantile(frames, 1), AIMS.frame, 'longest')],
    ['tasks over 50 ms', long, null],
  ];
  const lines = rows.map(([name, all, aimed]) => {
    const figures = ([0.5, 0.95, 1] as const).map(
      (share) => `${share === 1 ? 'longest' : `p${share * 100}`} ${figure(quantile(all, share))}`,
    );
    const said = `  ${name.padEnd(26)} ${String(all.length).padStart(5)} × ${figures.join('  ')} ms`;
    return aimed === null ? said : `${said}  ${aimed}`;
  });
  const kilobytes = quantile(
    asked.map(({ bytes }) => bytes / 1000),
    0.5,
  );
  const program = process.env['DRYFIT_BIN'] ?? 'the debug build';
  console.log([`${what}, ${program}`, ...lines, `  answer                     median ${figure(kilobytes)} kB`].join('\n'));
}

function aim(found: number | null, aimed: number, of: string): string | null {
  return found === null ? null : `(aim: ${of} ≤ ${aimed} ms, ${found <= aimed ? 'met' : 'not met'})`;
}

function figure(value: number | null): string {
  return value === null ? '–' : value.toFixed(1);
}

function quantile(all: readonly number[], share: number): number | null {
  const sorted = [...all].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * share))] ?? null;
}
