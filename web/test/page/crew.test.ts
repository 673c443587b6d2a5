// What the crew does on the way and on site: sheets to print, things to tick.

import { expect, it } from 'vitest';

import { demoJob, open, picture, useBrowser } from './harness';

useBrowser();

it('shows each sheet and prints the set', async () => {
  const id = await demoJob();
  const { page, close } = await open(`/job/${id}/sheets`);
  const list = page.getByRole('navigation', { name: 'Sheets' });
  await list.getByRole('link', { name: /plan/ }).first().click();
  const drawing = page.getByRole('img', { name: /^Drawing/ }).first();
  await drawing.waitFor();
  await expect
    .poll(() => drawing.evaluate((one) => one instanceof HTMLImageElement && one.naturalWidth > 0))
    .toBe(true);
  await picture(page, 'sheets-plan');
  await page.getByLabel('Paper').selectOption('a4');
  await page.getByRole('button', { name: 'Make the PDF of all sheets' }).click();
  const link = page.getByRole('link', { name: 'Download the PDF' });
  await link.waitFor({ timeout: 50_000 });
  const coming = page.waitForEvent('download');
  await link.click();
  const file = await (await coming).createReadStream();
  const first = await new Promise<string>((resolve) =>
    file.once('data', (chunk) => resolve(String(chunk).slice(0, 5))),
  );
  expect(first).toBe('%PDF-');
  await close();
});

it('stops printing when told', async () => {
  const id = await demoJob();
  const { page, close } = await open(`/job/${id}/sheets`);
  // The answer is held, so that the set can't be ready before the press.
  await page.route('**/events', () => {});
  await page.getByRole('button', { name: 'Make the PDF of all sheets' }).click();
  await page.getByRole('button', { name: 'Stop' }).click();
  await page.getByRole('button', { name: 'Make the PDF of all sheets' }).waitFor();
  expect(await page.getByRole('alert').count()).toBe(0);
  await close();
});

it('keeps ticks of the van, filters, and counts what is left', async () => {
  const id = await demoJob();
  const { page, close } = await open(`/job/${id}/load`, { size: 'phone' });
  const boxes = page.locator('.tick input');
  // The set is drawn once, and waits for whatever is being printed.
  await boxes.first().waitFor({ timeout: 45_000 });
  const all = await boxes.count();
  const saved = page.waitForResponse(
    (response) => response.url().endsWith('/ticks') && response.request().method() === 'POST',
  );
  await boxes.first().check();
  expect((await saved).ok()).toBe(true);
  await page.getByText(`${all - 1} lines of ${all} left to load`).waitFor();
  await page.reload();
  await page.getByText(`${all - 1} lines of ${all} left to load`).waitFor();
  await page.getByLabel('Only what is left').check();
  await expect.poll(() => boxes.count()).toBe(all - 1);
  expect(page.url()).toContain('left=only');
  await page.getByLabel('Show what has these words').fill('no such thing');
  await expect.poll(() => boxes.count()).toBe(0);
  await close();
});

it('brings up one task after the other on the day', async () => {
  const id = await demoJob();
  const { page, close } = await open(`/job/${id}/day`, { size: 'phone' });
  const now = page.locator('.now h2');
  await now.waitFor({ timeout: 45_000 });
  const first = await now.textContent();
  await page.getByRole('button', { name: `Done: ${first}` }).click();
  await expect.poll(() => now.textContent()).not.toBe(first);
  await page.getByText(/^Done: 1/).click();
  await page.getByRole('button', { name: `Not done after all: ${first}` }).click();
  await expect.poll(() => now.textContent()).toBe(first);
  await page.getByText('The shortest order of the day is not computed yet').waitFor();
  await close();
});

it('ticks one task for a double tap, and shows the task that is pressed', async () => {
  const id = await demoJob();
  const { page, close } = await open(`/job/${id}/day`, { size: 'phone' });
  const now = page.locator('.now h2');
  await now.waitFor({ timeout: 45_000 });
  const done = page.locator('.now .button.main');
  await done.scrollIntoViewIfNeeded();
  const box = await done.boundingBox();
  if (!box) throw new Error('the button is not there');
  const tap = () => page.touchscreen.tap(box.x + 20, box.y + box.height / 2);
  await tap();
  await tap();
  await page.getByText(/^Done: \d/).waitFor();
  expect(await page.getByText(/^Done: \d/).textContent()).toBe('Done: 1');
  // Half a second later a press is meant.
  await page.waitForTimeout(600);
  await done.tap();
  await page.getByText('Done: 2').waitFor();

  const last = page.locator('.later a').last();
  await last.scrollIntoViewIfNeeded();
  const name = await last.locator('strong').textContent();
  await last.tap();
  await expect.poll(() => now.textContent()).toBe(name);
  await expect
    .poll(() => now.evaluate((one) => one.getBoundingClientRect().top >= 0 && one.getBoundingClientRect().bottom < innerHeight))
    .toBe(true);
  await page.screenshot({ path: 'test/out/day-pressed.png' });
  await close();
});

it('says what a tick waits for while dryfit is out of reach', async () => {
  const id = await demoJob();
  const { page, close } = await open(`/job/${id}/load`, { size: 'phone' });
  const boxes = page.locator('.tick input');
  // The set is drawn once, and waits for whatever is being printed.
  await boxes.first().waitFor({ timeout: 45_000 });
  await page.route('**/ticks', (route) => route.abort());
  await boxes.first().check();
  await page.getByText('1 tick kept on this phone').waitFor();
  await page.unroute('**/ticks');
  await page.getByRole('button', { name: 'Send now' }).click();
  await page.getByText('1 tick kept on this phone').waitFor({ state: 'detached' });
  await close();
});
