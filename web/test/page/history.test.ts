// Revisions: named, compared, and facts that two people set differently.

import { randomUUID } from 'node:crypto';

import { expect, it } from 'vitest';

import { demoJob, expectAccessible, expectNoSideways, open, picture, send, useBrowser } from './harness';

useBrowser();

const ARM = 'item.tv-arm.on.from_left';

it('names a revision and compares it with the last', async () => {
  const id = await demoJob();
  await edit(id, 1, 'item.tv.on.height', `6' 8 3/8"`);
  const { page, close } = await open(`/job/${id}/history`);
  await page.getByRole('button', { name: 'Give it a name: revision 1' }).click();
  await page.getByLabel('Name of revision 1').fill('as surveyed');
  await page.keyboard.press('Enter');
  await page.getByText('as surveyed').first().waitFor();
  const facts = page.getByRole('table', { name: 'Facts that differ' });
  await facts.waitFor();
  expect(await facts.textContent()).toContain('6');
  await page.getByLabel('Earlier').selectOption({ index: 0 });
  await page.getByText('Choose two different revisions').waitFor();
  expect(page.url()).toContain('from=2');
  await page.goBack();
  await facts.waitFor();
  await close();
});

it('shows facts that two people set differently side by side, and keeps the chosen one', async () => {
  const id = await demoJob();
  await edit(id, 1, ARM, `8' 0"`);
  await edit(id, 1, ARM, `9' 0"`);
  const { page, close } = await open(`/job/${id}/load`);
  await page.getByRole('link', { name: 'See both accounts' }).click();
  await page.getByRole('heading', { name: 'Set differently by two people' }).waitFor();
  await picture(page, 'contested');
  await expectAccessible(page);
  await page.getByRole('button', { name: /^Keep 8/ }).click();
  await page.getByRole('heading', { name: 'Set differently by two people' }).waitFor({ state: 'detached' });
  expect(await page.getByRole('link', { name: 'See both accounts' }).count()).toBe(0);
  await close();
});

it('tells in words a thing that two people added under one name, within a phone’s width', async () => {
  const id = await demoJob();
  const at = 'space.living.fixture.thermostat';
  const thing = (from_left: string) => ({ id: 'thermostat', kind: 'thermostat', on: { wall: 'hearth', from_left, height: '5 ft' } });
  for (const from_left of ['3 ft', '4 ft']) {
    await send('POST', `/api/jobs/${id}/edits`, { op: randomUUID(), base: 1, edits: [{ at, set: thing(from_left) }] });
  }
  const { page, close } = await open(`/job/${id}/history`, { size: 'phone' });
  const keep = page.getByRole('button', { name: /^Keep thermostat, wall hearth, from left 4 ft, height 5 ft/ });
  await keep.waitFor();
  expect(await page.locator('#contested').textContent()).not.toMatch(/[{}]/);
  const box = await keep.boundingBox();
  expect((box?.x ?? 0) + (box?.width ?? 0)).toBeLessThanOrEqual(390);
  await expectNoSideways(page);
  await picture(page, 'contested-thing', { size: 'phone' });
  await close();
});

it('shows then and now on the return', async () => {
  const id = await demoJob();
  await edit(id, 1, 'item.tv.on.height', `6' 8 3/8"`);
  const { page, close } = await open(`/job/${id}/return`);
  await page.getByRole('table', { name: 'Facts that differ' }).waitFor();
  expect(await page.getByLabel('Then').inputValue()).toBe('1');
  await close();
});

it('hands out the job file and the bundle', async () => {
  const id = await demoJob();
  const { page, close } = await open(`/job/${id}/history`);
  for (const name of ['Download the job file', 'Download the bundle']) {
    const coming = page.waitForEvent('download');
    await page.getByRole('link', { name }).click();
    const file = await coming;
    expect(await file.failure()).toBeNull();
    expect(file.suggestedFilename()).toContain(id);
  }
  await close();
});

async function edit(id: string, base: number, at: string, set: string): Promise<void> {
  await send('POST', `/api/jobs/${id}/edits`, { op: `${id} ${set}`, base, edits: [{ at, set }] });
}
