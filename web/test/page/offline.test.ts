// Out of reach: what is typed, ticked and photographed waits, survives a reload, and arrives once.

import { readFileSync } from 'node:fs';

import { expect, it } from 'vitest';
import type { Page } from 'playwright-core';

import { demoJob, expectAccessible, newJob, open, picture, send, useBrowser } from './harness';

useBrowser();

const den = () =>
  newJob({
    from: 'blank',
    name: 'Quay Row 5',
    room: 'Den',
    lengths: ["12'", "10'", "12'", "10'"],
    units: 'imperial',
  });
const lengthField = (page: Page) => page.getByLabel('Length, corner to corner');
const cut = (page: Page, away: boolean) => page.context().setOffline(away);

/** The worker has taken the page over and kept its files. */
async function workerReady(page: Page): Promise<void> {
  await page.evaluate('navigator.serviceWorker.ready');
  await expect.poll(() => page.evaluate('navigator.serviceWorker.controller !== null')).toBe(true);
  await page.reload();
  await page.getByRole('heading', { level: 1 }).waitFor();
  await page.waitForLoadState('networkidle');
}

async function revisions(id: string): Promise<unknown[]> {
  return Object.values(await send('GET', `/api/jobs/${id}/history`));
}

it('keeps edits and ticks over a reload out of reach, and sends each once', async () => {
  const id = await demoJob();
  const { page, close } = await open(`/job/${id}/load`, { size: 'phone', worker: true });
  await workerReady(page);
  await page.locator('.tick input').first().waitFor();
  await page.getByRole('combobox', { name: 'Moment' }).selectOption({ index: 0 });
  await lengthField(page).waitFor();
  await page.waitForLoadState('networkidle');
  const before = (await revisions(id)).length;

  await cut(page, true);
  const typed = `18' 7"`;
  await lengthField(page).fill(typed);
  await lengthField(page).blur();
  await page.getByText('1 change kept on this phone').waitFor();
  expect(await lengthField(page).inputValue()).toBe(typed);
  await page.getByText('As it was last proved').waitFor();
  await page.goto(`/job/${id}/load`);
  await page.locator('.tick input').first().check();
  await page.getByText('1 change and 1 tick kept on this phone').waitFor();
  await picture(page, 'offline', { size: 'phone' });
  await expectAccessible(page);

  // As if the phone had been put away: the page opens again, with what waits.
  await page.reload();
  await page.getByText('1 change and 1 tick kept on this phone').waitFor();
  expect(await page.locator('.tick input').first().isChecked()).toBe(true);
  await page.getByText('Dryfit is out of reach.').waitFor();
  const coming = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Save what waits to a file' }).click();
  expect(readFileSync(await (await coming).path(), 'utf8')).toContain('18\' 7\\"');
  await page.goto(`/job/${id}/walk`);
  await expect.poll(() => lengthField(page).inputValue()).toBe(typed);

  await cut(page, false);
  await page.getByText('kept on this phone').waitFor({ state: 'detached' });
  await expect.poll(async () => (await revisions(id)).length).toBe(before + 1);
  const ticks = Object.values(await send('GET', `/api/jobs/${id}/ticks`));
  expect(ticks).toHaveLength(1);
  expect(JSON.stringify(await send('GET', `/api/jobs/${id}`))).toContain(`18' 7\\"`);
  await page.reload();
  await page.getByRole('heading', { level: 1 }).waitFor();
  expect((await revisions(id)).length).toBe(before + 1);
  await close();
});

it('reads what waited from a file on another device, and sends each operation once', async () => {
  const id = await den();
  const phone = await open(`/job/${id}/walk`, { size: 'phone' });
  await lengthField(phone.page).waitFor();
  await cut(phone.page, true);
  await lengthField(phone.page).fill(`12' 2"`);
  await lengthField(phone.page).blur();
  await phone.page.getByText('1 change kept on this phone').waitFor();
  // Nobody can read this one until it arrives.
  await lengthField(phone.page).fill('twelve or so');
  await lengthField(phone.page).blur();
  await phone.page.getByText('2 changes kept on this phone').waitFor();
  const coming = phone.page.waitForEvent('download');
  await phone.page.getByRole('button', { name: 'Save what waits to a file' }).click();
  const file = await (await coming).path();
  const before = (await revisions(id)).length;

  const laptop = await open('/');
  const choose = laptop.page.getByLabel('Read a file of what waited');
  await choose.setInputFiles(file);
  await laptop.page.getByText('1 arrived, 1 not taken').waitFor();
  const came = laptop.page.locator('.came li');
  expect(await came.nth(0).textContent()).toContain('Arrived: Front, length');
  expect(await came.nth(0).getByRole('link').textContent()).toBe('Quay Row 5');
  expect(await came.nth(1).textContent()).toContain('Not taken: Front, length: twelve or so');
  expect((await came.nth(1).locator('.because').textContent())?.length).toBeGreaterThan(20);
  await picture(laptop.page, 'outbox-read');
  await expectAccessible(laptop.page);
  // Read once more, and the phone comes back with the same: it is done once.
  await choose.setInputFiles(file);
  await laptop.page.getByText('1 arrived, 1 not taken').waitFor();
  await cut(phone.page, false);
  await phone.page.getByText('Not taken: Front, length: twelve or so').waitFor();
  expect((await revisions(id)).length).toBe(before + 1);
  expect(JSON.stringify(await send('GET', `/api/jobs/${id}`))).toContain(`12' 2\\"`);
  // What was refused waits in the job's own pages on the device that read it.
  await came.nth(0).getByRole('link').click();
  await laptop.page.getByText('Not taken: Front, length: twelve or so').waitFor();
  await laptop.page.getByRole('button', { name: 'Let it go' }).click();
  await laptop.page.getByText('Not taken').waitFor({ state: 'detached' });

  await laptop.page.goto('/');
  await laptop.page
    .getByLabel('Read a file of what waited')
    .setInputFiles({ name: 'job.toml', mimeType: 'text/plain', buffer: Buffer.from('format = 1') });
  await laptop.page.getByText('this is not a file of what waited').waitFor();
  await phone.close();
  await laptop.close();
});

it('keeps a photograph out of reach and sends it once', async () => {
  const id = await den();
  const { page, close } = await open(`/job/${id}/walk?step=things`, { size: 'phone' });
  await page.getByLabel('Take a photograph of Front').waitFor({ state: 'attached' });
  await cut(page, true);
  const data: string = await page.evaluate(`
    (() => { const c = document.createElement('canvas'); c.width = 40; c.height = 30;
      c.getContext('2d').fillRect(0, 0, 40, 30); return c.toDataURL('image/jpeg').split(',')[1]; })()
  `);
  await page.getByLabel('What to see on the next one').fill('Door frame');
  await page
    .getByLabel('Take a photograph of Front')
    .setInputFiles({ name: 'a.jpg', mimeType: 'image/jpeg', buffer: Buffer.from(data, 'base64') });
  await page.getByText('1 photograph kept on this phone').waitFor();
  await page.getByText('waits to be sent').waitFor();
  await cut(page, false);
  await page.getByText('waits to be sent').waitFor({ state: 'detached' });
  await page.getByRole('link').filter({ has: page.getByRole('img', { name: 'Door frame' }) }).waitFor();
  expect(Object.values(await send('GET', `/api/jobs/${id}/photographs`))).toHaveLength(1);
  await close();
});

it('says what was not taken when it arrives, keeps it, and lets it go when told', async () => {
  const id = await den();
  const { page, close } = await open(`/job/${id}/walk`, { size: 'phone' });
  await lengthField(page).waitFor();
  await cut(page, true);
  // Out of reach nobody can read it; that it is no length is found out when it arrives.
  await lengthField(page).fill('twelve or so');
  await lengthField(page).blur();
  await page.getByText('1 change kept on this phone').waitFor();
  await cut(page, false);
  await page.getByText('Not taken: Front, length: twelve or so').waitFor();
  expect(await lengthField(page).inputValue()).toBe('twelve or so');
  await page.getByText('It is kept on this phone').waitFor();
  await page.getByRole('button', { name: 'Let it go' }).click();
  await page.getByText('Not taken').waitFor({ state: 'detached' });
  await close();
});

it('merges what two phones measured, and asks about what both set', async () => {
  const id = await den();
  const one = await open(`/job/${id}/walk`, { size: 'phone' });
  const two = await open(`/job/${id}/walk?wall=right`, { size: 'phone' });
  await lengthField(one.page).waitFor();
  await lengthField(two.page).waitFor();
  await cut(two.page, true);
  await lengthField(two.page).fill(`10' 1"`);
  await lengthField(two.page).blur();
  await two.page.getByText('1 change kept on this phone').waitFor();
  // The first saves another wall: that merges.
  await lengthField(one.page).fill(`12' 1"`);
  await lengthField(one.page).press('Enter');
  await one.page.getByRole('heading', { name: 'Right', exact: true }).waitFor();
  await cut(two.page, false);
  await two.page.getByText('kept on this phone').waitFor({ state: 'detached' });
  const walls = JSON.stringify(await send('GET', `/api/jobs/${id}`));
  expect(walls).toContain(`12' 1\\"`);
  expect(walls).toContain(`10' 1\\"`);
  // Both set the same wall: neither is lost.
  await one.page.reload();
  await lengthField(one.page).waitFor();
  await cut(two.page, true);
  await lengthField(two.page).fill(`10' 2"`);
  await lengthField(two.page).blur();
  await two.page.getByText('1 change kept on this phone').waitFor();
  await lengthField(one.page).fill(`10' 3"`);
  await lengthField(one.page).press('Enter');
  await one.page.getByRole('heading', { name: 'Back', exact: true }).waitFor();
  await expect.poll(async () => JSON.stringify(await send('GET', `/api/jobs/${id}`))).toContain(`10' 3\\"`);
  await cut(two.page, false);
  await two.page.getByText('1 fact set differently by two people').waitFor();
  await two.page.getByRole('link', { name: 'See both accounts' }).click();
  await two.page.getByRole('button', { name: /^Keep 10' 3"/ }).waitFor();
  await one.close();
  await two.close();
});

it('shows what is added out of reach at once, and gives two of a kind two names', async () => {
  const id = await den();
  const { page, close } = await open(`/job/${id}/walk?step=things`, { size: 'phone' });
  const wall = page.getByRole('group', { name: /^Front of Den/ });
  await wall.waitFor();
  await page.waitForLoadState('networkidle');
  await cut(page, true);
  const list = page.getByRole('region', { name: 'On Front' });
  for (const count of [1, 2]) {
    await wall.tap({ position: { x: 120 + 60 * count, y: 150 } });
    await page.getByRole('dialog').getByRole('button', { name: 'Thermostat', exact: true }).tap();
    await page.getByRole('dialog').waitFor({ state: 'detached' });
    await expect.poll(() => list.getByText(/^Thermostat.*waits to be sent/).count()).toBe(count);
    await expect.poll(() => wall.getByRole('img', { name: /^Thermostat.*waits to be sent/ }).count()).toBe(count);
  }
  await picture(page, 'offline-added', { size: 'phone' });
  await expectAccessible(page);
  await cut(page, false);
  await page.getByText('kept on this phone').waitFor({ state: 'detached' });
  await expect.poll(() => list.getByText('waits to be sent').count()).toBe(0);
  await expect.poll(() => list.locator('details.thing').count()).toBe(2);
  expect(await page.getByText('set differently').count()).toBe(0);
  const job = await send('GET', `/api/jobs/${id}`);
  expect(JSON.stringify(job)).toMatch(/"id":"thermostat".*"id":"thermostat-2"/);
  await close();
});

it('counts in the header what it lists, after a reload out of reach', async () => {
  const id = await den();
  const { page, close } = await open(`/job/${id}/fit?where=all`, { worker: true });
  await workerReady(page);
  await page.locator('.finding').first().waitFor();
  const counts = page.getByRole('group', { name: /^Findings of Quay Row 5/ });
  const listed = await counts.textContent();
  // The job is asked for anew after this change, on a page that lists no findings.
  await page.goto(`/job/${id}/walk?step=ceiling`);
  await page.getByLabel('Ceiling height').fill("8'");
  await page.getByLabel('Ceiling height').press('Enter');
  await page.getByText('Revision 2').waitFor();
  await expect.poll(() => counts.textContent()).not.toBe(listed);
  await page.waitForLoadState('networkidle');
  await cut(page, true);
  await page.goto(`/job/${id}/fit?where=all`);
  await page.getByText('Dryfit is out of reach.').waitFor();
  await page.locator('.finding').first().waitFor();
  await expect.poll(() => counts.textContent()).toBe(listed);
  await close();
});
