// A phone in the house's network: it is warned until it trusts the laptop, then pairs over an
// encrypted connection that lets the page keep working without a network.

import { execFileSync, spawn, type ChildProcess } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { createServer } from 'node:net';
import { homedir, tmpdir } from 'node:os';
import { join } from 'node:path';

import { chromium, type Browser } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';

const NAME = 'house-laptop.local';
const folder = mkdtempSync(join(tmpdir(), 'dryfit-trust-'));
let program: ChildProcess;
let here = '';
let there = '';

beforeAll(async () => {
  const target = process.env['CARGO_TARGET_DIR'] ?? join(homedir(), '.cache/dryfit-target');
  const binary = process.env['DRYFIT_BIN'] ?? join(target, 'debug/dryfit');
  const [port, sharePort] = [await freePort(), await freePort()];
  const words = ['serve', '--port', `${port}`, '--share', '--share-port', `${sharePort}`];
  const page = join(import.meta.dirname, '../../dist');
  program = spawn(binary, [...words, '--name', NAME, '--data', folder], {
    stdio: 'pipe',
    env: { ...process.env, DRYFIT_PAGE: page },
  });
  here = `http://127.0.0.1:${port}`;
  there = `https://${NAME}:${sharePort}`;
  await answers(`${here}/api/me`);
});

afterAll(async () => {
  const gone = new Promise((resolve) => program.once('exit', resolve));
  program.kill();
  await gone;
  rmSync(folder, { recursive: true, force: true });
});

it('warns a phone that does not trust the laptop', async () => {
  const phone = await browser('stranger');
  const page = await phone.newPage();
  await expect(page.goto(`${there}/pair`)).rejects.toThrow('ERR_CERT_AUTHORITY_INVALID');
  await phone.close();
});

it('pairs a phone that trusts the laptop, until it is let go', async () => {
  const home = join(folder, 'trusting');
  const store = join(home, '.pki/nssdb');
  mkdirSync(store, { recursive: true });
  certutil('-N', '-d', `sql:${store}`, '--empty-password');
  certutil('-A', '-d', `sql:${store}`, '-t', 'C,,', '-n', 'laptop', '-i', join(folder, 'sharing/authority.pem'));

  const phone = await browser('trusting');
  const context = await phone.newContext({
    viewport: { width: 390, height: 844 },
    hasTouch: true,
    isMobile: true,
    // The test's phone sits on the same machine; a request that was passed on has no place there.
    extraHTTPHeaders: { 'x-forwarded-for': '192.168.1.30' },
  });
  const page = await context.newPage();
  await page.goto(`${there}/pair`);
  expect(await page.evaluate('isSecureContext')).toBe(true);

  const shown = await post(`${here}/api/sharing/code`, { role: 'crew' });
  await page.getByLabel('Code').fill('000');
  await page.getByLabel('Name of this device').fill('Fitter’s phone');
  await page.getByRole('button', { name: 'Pair this device' }).click();
  await page.getByText('this is not the code that the laptop shows').waitFor();
  await page.getByLabel('Code').fill(String(shown['code']));
  await page.getByRole('button', { name: 'Pair this device' }).click();
  await page.getByRole('heading', { level: 1, name: 'Jobs' }).waitFor();
  expect(await page.evaluate('document.cookie'), 'no script reads the session').toBe('');

  await post(`${here}/api/sign-out-everywhere`, {});
  const answer = await page.evaluate(`fetch('/api/jobs').then((answer) => answer.status)`);
  expect(answer).toBe(401);
  await phone.close();
});

it('lets a device that may look see all and start no change, and says why', async () => {
  const device = await browser('looking');
  const context = await device.newContext({
    viewport: { width: 1440, height: 900 },
    ignoreHTTPSErrors: true,
    extraHTTPHeaders: { 'x-forwarded-for': '192.168.1.31' },
  });
  const page = await context.newPage();
  await page.goto(`${there}/pair`);
  const shown = await post(`${here}/api/sharing/code`, { role: 'view' });
  await page.getByLabel('Code').fill(String(shown['code']));
  await page.getByLabel('Name of this device').fill('Customer’s tablet');
  await page.getByRole('button', { name: 'Pair this device' }).click();
  await page.getByRole('heading', { level: 1, name: 'Jobs' }).waitFor();

  const { id } = await post(`${here}/api/jobs`, { from: 'demo' });
  await page.goto(`${there}/job/${String(id)}/fit?room=living&view=hearth&at=item:tv`);
  await page.getByText('This device may look, not change. Nothing drawn here can be moved from it.').waitFor();
  const television = page.locator('[data-body="item:tv"]');
  await television.waitFor();
  expect(await page.locator('.movable').count(), 'nothing offers to be dragged').toBe(0);
  expect(await page.getByRole('group', { name: /by a step$/ }).count()).toBe(0);
  expect(await page.locator('.body-fields').count(), 'facts are read, not typed').toBe(0);
  const box = await television.locator('.outline').boundingBox();
  if (!box) throw new Error('the television is drawn');
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x + 60, y, { steps: 5 });
  expect(await page.locator('.held').count()).toBe(0);
  await page.mouse.up();
  await television.focus();
  await page.keyboard.press('Enter');
  await page.keyboard.press('ArrowRight');
  expect(await page.locator('.held').count()).toBe(0);
  await page.locator('.finding').first().click();
  await page.locator('.mends .because').first().waitFor();
  expect(await page.locator('.mends .remedy:not([aria-disabled])').count()).toBe(0);
  await page.goto(`${there}/job/${String(id)}/walk`);
  await page.getByText('Press a wall of the plan to read it').waitFor();
  expect(await page.getByLabel('Length, corner to corner').isDisabled()).toBe(true);
  await page.getByRole('link', { name: 'On the walls' }).last().click();
  const walls = page.getByRole('group', { name: 'Wall', exact: true }).getByRole('button');
  await walls.nth(1).click();
  await expect.poll(() => walls.nth(1).getAttribute('aria-pressed')).toBe('true');
  await page.getByRole('group', { name: /^Elevation|seen from inside/ }).waitFor();
  expect(await page.getByText('Press the wall where something is').count()).toBe(0);
  await page.goto(`${there}/job/${String(id)}/load`);
  await page.locator('.tick input').first().waitFor();
  expect(await page.locator('.tick input:not([disabled])').count()).toBe(0);
  const { revision } = await ask(`${here}/api/jobs/${String(id)}`);
  expect(revision).toBe(1);
  await device.close();
});

/** A browser with a home of its own, which is where its trust is kept. */
function browser(home: string): Promise<Browser> {
  return chromium.launch({
    executablePath: process.env['CHROMIUM'] ?? '/usr/bin/chromium',
    args: ['--no-sandbox', '--disable-quic', '--no-first-run', `--host-resolver-rules=MAP ${NAME} 127.0.0.1`],
    env: { ...process.env, HOME: join(folder, home) },
  });
}

function certutil(...words: string[]): void {
  execFileSync('certutil', words, { stdio: ['ignore', 'ignore', 'inherit'] });
}

async function post(url: string, body: object): Promise<Record<string, unknown>> {
  const headers = { 'content-type': 'application/json' };
  const response = await fetch(url, { method: 'POST', headers, body: JSON.stringify(body) });
  expect(response.ok, url).toBe(true);
  const text = await response.text();
  const parsed: unknown = text === '' ? {} : JSON.parse(text);
  return typeof parsed === 'object' && parsed !== null ? Object.fromEntries(Object.entries(parsed)) : {};
}

async function ask(url: string): Promise<Record<string, unknown>> {
  const parsed: unknown = await (await fetch(url)).json();
  return typeof parsed === 'object' && parsed !== null ? Object.fromEntries(Object.entries(parsed)) : {};
}

function freePort(): Promise<number> {
  return new Promise((resolve, reject) => {
    const server = createServer();
    server.once('error', reject);
    server.listen(0, '127.0.0.1', () => {
      const address = server.address();
      const port = typeof address === 'object' && address ? address.port : 0;
      server.close(() => resolve(port));
    });
  });
}

async function answers(url: string): Promise<void> {
  for (let tries = 0; tries < 300; tries += 1) {
    const up = await fetch(url).then(
      (answer) => answer.ok,
      () => false,
    );
    if (up) return;
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
  throw new Error(`${url} does not answer`);
}
