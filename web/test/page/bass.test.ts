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

  // A place is typed in feet and inches, as the job is measured.
  const along = part.getByLabel('Along the first wall', { exact: true }).first();
  expect(await along.inputValue()).toContain('″');
  const moved = await says.textContent();
  await along.fill(`6' 2"`);
  await along.press('Enter');
  await expect.poll(() => says.textContent()).not.toBe(moved);
  expect(await along.inputValue()).toContain('2″');
  await along.fill('over there');
  await along.press('Enter');
  await part.locator('.field-error').waitFor();
  await along.fill(`6' 2"`);
  await along.press('Enter');

  // Each place has its reason, by keys and under the pointer: what it does, and what it takes.
  const reason = part.locator('.bass-reason');
  await part.locator('.bass-place[tabindex="0"]').focus();
  await expect.poll(() => reason.textContent()).toContain('seats differ by');
  const first = await reason.textContent();
  expect(first).toContain('of wire');
  await page.keyboard.press('ArrowRight');
  await expect.poll(() => reason.textContent()).not.toBe(first);
  await page.keyboard.press('Home');
  await expect.poll(() => reason.textContent()).toBe(first);
  await part.locator('[data-place="3"]').hover();
  await expect.poll(() => reason.textContent()).not.toBe(first);

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

  // A device that may only look reads what was found and asks the program to work out nothing.
  const asked: string[] = [];
  page.on('request', (request) => {
    if (request.method() === 'POST') asked.push(request.url());
  });
  await page.route('**/api/me', async (route) => {
    const me: unknown = await (await route.fetch()).json();
    await route.fulfill({ json: { ...Object(me), role: 'view' } });
  });
  await page.reload();
  await part.getByRole('heading', { name: 'Best places' }).waitFor();
  await expect.poll(() => part.locator('.bass-curves polyline').count()).toBeGreaterThan(1);
  expect(await part.getByRole('button', { name: /^Sub 1,/ }).count()).toBe(0);
  expect(asked.filter((url) => url.includes('/bass/'))).toEqual([]);
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
