// Bass on the Fit page: solved with progress, tried by keys and by hand, put there.

import { expect, test } from 'vitest';

import { demoJob, expectAccessible, expectNoSideways, LOOKS, open, picture, useBrowser } from './harness';

useBrowser();

const PATH = (job: string) => `/job/${job}/fit?room=loft&bass=open`;

test('a solve shows its progress, and its answers follow the subs that are tried', { timeout: 240_000 }, async () => {
  const job = await demoJob();
  const { page, close } = await open(PATH(job));
  const part = page.getByRole('region', { name: 'Bass' });
  await part.getByRole('button', { name: 'Solve the bass' }).click();
  await part.getByRole('progressbar').waitFor();
  await part.getByRole('button', { name: 'Stop' }).waitFor();
  await part.getByRole('heading', { name: 'Best places' }).waitFor({ timeout: 180_000 });
  expect(await part.textContent()).toContain('Holds up to 200');

  // A tried sub is moved by keys, and what it comes to follows.
  const says = part.locator('.bass-says');
  await expect.poll(() => says.textContent()).toContain('seats differ by');
  const before = await says.textContent();
  const sub = part.getByRole('button', { name: /^Sub 1,/ });
  await sub.focus();
  for (let step = 0; step < 12; step += 1) await page.keyboard.press('ArrowRight');
  await expect.poll(() => says.textContent()).not.toBe(before);

  // The field follows the frequency, in each plane.
  await part.getByLabel(/^Frequency/).fill('55');
  await expect.poll(() => part.locator('.bass-map svg').getAttribute('aria-label')).toContain('55');
  await part.getByLabel('Seen', { exact: true }).selectOption('along');
  await expect.poll(() => part.locator('.bass-map svg').getAttribute('aria-label')).toContain('upright');
  await part.getByLabel('Seen', { exact: true }).selectOption('plan');

  // Put there: the plan is the best place now, and the sub on the map stands there.
  await part.getByRole('button', { name: 'Put it there' }).first().click();
  await page.getByRole('button', { name: /^Undo/ }).first().waitFor();
  await expect.poll(() => part.textContent(), { timeout: 60_000 }).toContain('Compare places again');
  await close();

  for (const look of LOOKS) {
    const { page, close } = await open(PATH(job), look);
    const part = page.getByRole('region', { name: 'Bass' });
    await part.getByRole('heading', { name: 'Best places' }).waitFor();
    await expect.poll(() => part.locator('.bass-map image').count()).toBe(1);
    await expectAccessible(page);
    await expectNoSideways(page);
    await picture(page, 'bass', look);
    await close();
  }
});
