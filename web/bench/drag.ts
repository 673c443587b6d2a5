// How long after a pointer moved do the findings of the new position stand on the screen?
//
// Drags a body of the demo house in circles for some seconds, as fast as the browser takes moves, and prints: from the pointer's
// event to the painted list (`findings shown`, measured in the page), the share of it that request and server took, the time
// between frames, and tasks longer than 50 ms. `DRYFIT_BIN` names a release build; a debug build measures the compiler.

import { expect, test } from 'vitest';

import { demoJob, open, useBrowser } from '../test/page/harness';

useBrowser();

const SECONDS = 6;

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
  let last = performance.now();
  const frame = (now) => {
    watched.frames.push(now - last);
    last = now;
    if (watching) requestAnimationFrame(frame);
  };
  requestAnimationFrame(frame);
  performance.clearMeasures();
  performance.clearResourceTimings();
  watched.since = performance.now();
`;

const READ = `({
  shown: performance.getEntriesByName('findings shown').map((entry) => entry.duration),
  asked: performance.getEntriesByType('resource').filter((entry) => entry.name.endsWith('/prove'))
    .map((entry) => ({
      request: entry.responseEnd - entry.requestStart,
      server: entry.serverTiming.length > 0 ? entry.serverTiming[0].duration : null,
      bytes: entry.encodedBodySize,
    })),
  frames: watched.frames,
  long: watched.long.filter((task) => task.startTime > watched.since).map((task) => task.duration),
})`;

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
    const outline = page.locator(`[data-body="${body}"] .outline`);
    await outline.waitFor();
    await page.locator('.finding').first().waitFor();
    const box = await outline.boundingBox();
    if (!box) throw new Error(`${body} is not drawn`);
    const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
    await page.mouse.move(x, y);
    await page.mouse.down();
    await page.mouse.move(x + 20, y);
    await page.locator('.move-changes').waitFor();

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
    expect(reading.shown.length).toBeGreaterThan(10);
    await close();
  });
}

function print(what: string, { shown, asked, frames, long }: Reading): void {
  const server = asked.flatMap((one) => (one.server === null ? [] : [one.server]));
  const rows: [string, number[]][] = [
    ['pointer to findings shown', shown],
    ['request', asked.map(({ request }) => request)],
    ['server', server],
    ['between frames', frames],
    ['tasks over 50 ms', long],
  ];
  const lines = rows.map(([name, all]) => {
    const figures = [0.5, 0.95, 1].map(
      (share) => `${share === 1 ? 'worst' : `p${share * 100}`} ${quantile(all, share)}`,
    );
    return `  ${name.padEnd(26)} ${String(all.length).padStart(5)} × ${figures.join('  ')} ms`;
  });
  const kilobytes = quantile(
    asked.map(({ bytes }) => bytes / 1000),
    0.5,
  );
  console.log([what, ...lines, `  answer                     median ${kilobytes} kB`].join('\n'));
}

function quantile(all: readonly number[], share: number): string {
  const sorted = [...all].sort((a, b) => a - b);
  const found = sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * share))];
  return found === undefined ? '–' : found.toFixed(1);
}
