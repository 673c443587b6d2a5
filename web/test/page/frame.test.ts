// What holds on every page: titles, focus, keys, undo, the find box, colours.

import { describe, expect, it } from 'vitest';

import { demoJob, expectAccessible, open, send, server, useBrowser } from './harness';

useBrowser();

const HEIGHT = 'space.living.ceiling.height';

describe('moving about', () => {
  it('names each page, moves the focus to its heading, and goes back', async () => {
    const id = await demoJob();
    const { page, close } = await open(`/job/${id}/load`);
    await expect.poll(() => page.title()).toBe('Load · Harbour Lane 9 · dryfit');
    await page.getByRole('navigation', { name: 'Moments' }).getByRole('link', { name: 'Tune' }).click();
    await expect.poll(() => page.title()).toBe('Tune · Harbour Lane 9 · dryfit');
    const heading = page.getByRole('heading', { level: 1 });
    expect(await heading.textContent()).toBe('Tune');
    await expect.poll(() => heading.evaluate((one) => one === document.activeElement)).toBe(true);
    await page.goBack();
    await expect.poll(() => page.title()).toContain('Load');
    await close();
  });

  it('chooses a moment from a select on a phone', async () => {
    const id = await demoJob();
    const { page, close } = await open(`/job/${id}/load`, { size: 'phone' });
    await page.getByRole('combobox', { name: 'Moment' }).selectOption({ label: 'Hand over' });
    await page.waitForURL(/handover/);
    await close();
  });

  it('skips to the page', async () => {
    const { page, close } = await open('/');
    await page.keyboard.press('Tab');
    await page.keyboard.press('Enter');
    await expect.poll(() => page.evaluate('document.activeElement.id')).toBe('main');
    await close();
  });

  it('says that there is no such page, and no such job', async () => {
    const nowhere = await open('/nowhere');
    await nowhere.page.getByRole('heading', { name: 'No such page' }).waitFor();
    await nowhere.close();
    const { page, close } = await open('/');
    await page.goto('/job/none/load');
    await page.getByRole('alert').waitFor();
    await page.getByRole('link', { name: 'To all jobs' }).waitFor();
    await close();
  });
});

describe('undo', () => {
  it('takes a change back by key, makes it again, and says so', async () => {
    const id = await demoJob();
    await send('POST', `/api/jobs/${id}/edits`, {
      op: 'first',
      base: 1,
      edits: [{ at: HEIGHT, set: `8' 6"` }],
      summary: 'raise the ceiling',
    });
    const { page, close } = await open(`/job/${id}/history`);
    await page.getByRole('button', { name: 'Undo: raise the ceiling' }).first().waitFor();
    await page.keyboard.press('Control+z');
    await page.getByRole('button', { name: 'Redo: raise the ceiling' }).first().waitFor();
    expect(await heightOf(id)).toContain(`8' 5`);
    await expect.poll(() => page.locator('.status').textContent()).toContain('raise the ceiling');
    await page.keyboard.press('Control+Shift+z');
    await page.getByRole('button', { name: 'Undo: raise the ceiling' }).first().waitFor();
    expect(await heightOf(id)).toContain(`8' 6`);
    await close();
  });
});

async function heightOf(id: string): Promise<string> {
  const response = await fetch(`${server()}/api/jobs/${id}/file`);
  const text = await response.text();
  return /ceiling = \{[^}]*\}/.exec(text)?.[0] ?? '';
}

describe('keys', () => {
  it('list themselves, and single ones can be turned off', async () => {
    const id = await demoJob();
    const { page, close } = await open(`/job/${id}/load`);
    await page.keyboard.press('?');
    const dialog = page.getByRole('dialog', { name: 'Keys' });
    await dialog.waitFor();
    expect(await dialog.textContent()).toContain('undo the last change');
    await expectAccessible(page);
    await dialog.getByLabel('Keys without Ctrl').uncheck();
    await page.keyboard.press('Escape');
    await dialog.waitFor({ state: 'detached' });
    await page.keyboard.press('?');
    expect(await page.getByRole('dialog').count()).toBe(0);
    await close();
  });

  it('find a finding, a sheet or a room by a part of its name', async () => {
    const id = await demoJob();
    const { page, close } = await open(`/job/${id}/load`);
    await page.keyboard.press('/');
    const dialog = page.getByRole('dialog', { name: 'Find in this job' });
    await dialog.getByRole('searchbox').fill('cable');
    await dialog.getByRole('link').first().waitFor();
    await expectAccessible(page);
    await dialog.getByRole('searchbox').fill('parts sheet');
    await page.keyboard.press('Enter');
    await page.waitForURL(/sheets\?sheet=parts/);
    expect(await page.getByRole('dialog').count()).toBe(0);
    await close();
  });
});

it('keeps the colours that were chosen', async () => {
  const { page, close } = await open('/', { theme: 'light' });
  const ground = () => page.evaluate('getComputedStyle(document.body).backgroundColor');
  expect(await ground()).toBe('rgb(251, 250, 247)');
  await page.getByLabel('Colours').selectOption('dark');
  expect(await ground()).toBe('rgb(23, 22, 18)');
  await page.reload();
  await page.getByRole('heading', { level: 1 }).waitFor();
  expect(await ground()).toBe('rgb(23, 22, 18)');
  await close();
});

it('prints a sheet in light, without the frame', async () => {
  const id = await demoJob();
  const { page, close } = await open(`/job/${id}/sheets`, { theme: 'dark' });
  await page.emulateMedia({ media: 'print', colorScheme: 'dark' });
  expect(await page.evaluate('getComputedStyle(document.body).backgroundColor')).toBe('rgb(251, 250, 247)');
  expect(await page.getByRole('navigation', { name: 'Moments' }).isVisible()).toBe(false);
  await close();
});
