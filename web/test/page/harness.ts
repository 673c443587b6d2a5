// Opens pages of the running program in a real browser, as a phone or a laptop, light or dark.

import { randomUUID } from 'node:crypto';
import { mkdirSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';

import { chromium, type Browser, type Page } from 'playwright-core';
import { afterAll, beforeAll, expect, inject } from 'vitest';

const FLAGS = [
  '--no-sandbox',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];
const SIZES = {
  phone: { width: 390, height: 844 },
  laptop: { width: 1440, height: 900 },
  // The narrowest that WCAG 2.2, 1.4.10 asks for; a laptop's page at 400 % is as wide.
  narrow: { width: 320, height: 640 },
};
const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const OUT = join(import.meta.dirname, '../out');

export type Size = keyof typeof SIZES;
export type Theme = 'light' | 'dark';
export type Look = { size?: Size; theme?: Theme };
/** With the page's service worker, which answers past what a test puts in the network's way. */
export type Working = { worker?: boolean };

/** A page in a browser of its own; `close` fails the test if the page met an error. */
export type Opened = { page: Page; close: () => Promise<void> };

/** Every combination that a page is looked at in. */
export const LOOKS: readonly { size: Size; theme: Theme }[] = [
  { size: 'laptop', theme: 'light' },
  { size: 'laptop', theme: 'dark' },
  { size: 'phone', theme: 'light' },
  { size: 'phone', theme: 'dark' },
];

let browser: Browser | null = null;

/** One browser for a test file: call it once at the file's top. */
export function useBrowser(): void {
  beforeAll(async () => {
    const executablePath = process.env['CHROMIUM'] ?? '/usr/bin/chromium';
    browser = await chromium.launch({ executablePath, args: FLAGS });
  });
  afterAll(async () => {
    await browser?.close();
    browser = null;
  });
}

/** Opens a path of the program, as a laptop in light unless told otherwise. */
export async function open(
  path: string,
  { size = 'laptop', theme = 'light', worker = false }: Look & Working = {},
): Promise<Opened> {
  if (!browser) throw new Error('call useBrowser() at the top of the test file');
  const context = await browser.newContext({
    baseURL: server(),
    viewport: SIZES[size],
    colorScheme: theme,
    hasTouch: size === 'phone',
    isMobile: size === 'phone',
    locale: 'en-US',
    acceptDownloads: true,
    serviceWorkers: worker ? 'allow' : 'block',
  });
  // On two busy cores a proof takes seconds; what takes longer than this hangs.
  context.setDefaultTimeout(30_000);
  const page = await context.newPage();
  const errors: string[] = [];
  page.on('pageerror', (error) => errors.push(error.message));
  page.on('console', (message) => {
    // A refusal that the page shows to its reader is also in the browser's own log.
    const refused = message.text().startsWith('Failed to load resource');
    if (message.type() === 'error' && !refused) errors.push(message.text());
  });
  await page.goto(path);
  await page.getByRole('heading', { level: 1 }).waitFor();
  const close = async () => {
    await context.close();
    expect(errors, errors.join('\n')).toEqual([]);
  };
  return { page, close };
}

/** Where the program answers. */
export function server(): string {
  return inject('server');
}

/** A new job from the demo house; its id. */
export async function demoJob(): Promise<string> {
  return newJob({ from: 'demo' });
}

/** A new job; its id. */
export async function newJob(job: object): Promise<string> {
  const { id } = await send('POST', '/api/jobs', job);
  if (typeof id !== 'string') throw new Error('the program named no job');
  return id;
}

/** A room that fits, with a device of unknown watts on a circuit: one finding of the house as a whole is unknown. */
export async function jobWithCircuit(): Promise<string> {
  const lengths = ["12'", "10'", "12'", "10'"];
  const id = await newJob({ from: 'blank', name: 'Quay Row 10', room: 'Den', lengths, height: "8'", units: 'imperial' });
  const edits = [
    { at: 'circuit', set: [{ id: 'c1', breaker: '15 A' }] },
    { at: 'kit.device', set: [{ id: 'player' }] },
    { at: 'item', set: [{ id: 'player-1', is: 'player', space: 'den', circuit: 'c1' }] },
  ];
  await send('POST', `/api/jobs/${id}/edits`, { op: randomUUID(), base: 1, edits });
  return id;
}

/** Asks the program directly, past the page. */
export async function send(method: string, path: string, body?: object): Promise<Record<string, unknown>> {
  const request: RequestInit = { method, headers: { 'content-type': 'application/json', origin: server() } };
  if (body) request.body = JSON.stringify(body);
  const response = await fetch(server() + path, request);
  const text = await response.text();
  if (!response.ok) throw new Error(`${method} ${path}: ${response.status} ${text}`);
  const parsed: unknown = text === '' ? {} : JSON.parse(text);
  if (typeof parsed !== 'object' || parsed === null) throw new Error(`${method} ${path}: ${text}`);
  return Object.fromEntries(Object.entries(parsed));
}

/** The page breaks no rule of WCAG 2.2 AA that a program can find. */
export async function expectAccessible(page: Page): Promise<void> {
  await page.evaluate(AXE);
  const found: string[] = await page.evaluate(`
    axe.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'] }).then((result) =>
      result.violations.flatMap((rule) =>
        rule.nodes.map((node) => rule.id + ': ' + node.target.join(' ') + ': ' + node.failureSummary)))
  `);
  expect(found, found.join('\n')).toEqual([]);
}

/** Nothing is cut off at the right: the page as a whole never scrolls sideways. */
export async function expectNoSideways(page: Page): Promise<void> {
  const width: number = await page.evaluate('document.documentElement.scrollWidth');
  // Not the document's own width: a phone's browser lays it out wider to make it all fit.
  expect(width, 'the page is wider than the screen').toBeLessThanOrEqual(page.viewportSize()?.width ?? 0);
}

/** What a finger must hit is 44 px large, except links within a sentence, as WCAG 2.5.8 has it. */
export async function expectTouchable(page: Page): Promise<void> {
  const small: string[] = await page.evaluate(`
    [...document.querySelectorAll('button, select, input:not(.sr-only), summary, nav a, li > a, label.tick, label.check')]
      .filter((one) => !(one instanceof HTMLInputElement && ['checkbox', 'radio', 'file'].includes(one.type)))
      .map((one) => ({ one, box: one.getBoundingClientRect() }))
      .filter(({ box }) => box.width > 0 && box.height < 43.5)
      .map(({ one, box }) => one.outerHTML.slice(0, 100) + ' is ' + box.height + ' px high')
  `);
  expect(small, small.join('\n')).toEqual([]);
}

/** Keeps a picture of the whole page for people to look at; nothing is compared. */
export async function picture(
  page: Page,
  name: string,
  { size = 'laptop', theme = 'light' }: Look = {},
): Promise<void> {
  mkdirSync(OUT, { recursive: true });
  const height: number = await page.evaluate('document.documentElement.scrollHeight');
  // The browser's own full-page picture drops the emulation of a phone's touch.
  await page.setViewportSize({
    ...SIZES[size],
    height: Math.min(Math.max(height, SIZES[size].height), 6000),
  });
  await page.screenshot({ path: join(OUT, `${name}-${size}-${theme}.png`) });
  await page.setViewportSize(SIZES[size]);
}
