// Where the focus goes when what had it is gone: on to the next thing, never to the page as a whole.

import { expect, it } from 'vitest';
import type { Page } from 'playwright-core';

import type { Findings } from '../../src/api/schema';
import { demoJob, jobWithCircuit, newJob, open, server, useBrowser } from './harness';

useBrowser();

const den = () =>
  newJob({ from: 'blank', name: 'Quay Row 8', room: 'Den', lengths: ["12'", "10'", "12'", "10'"], units: 'imperial' });

/** What has the focus, in few words. */
const focused = (page: Page): Promise<string> =>
  page.evaluate(() => {
    const one = document.activeElement;
    if (one === null || one === document.body) return 'nothing';
    return `${one.tagName.toLowerCase()} ${one.className} ${one.getAttribute('data-at') ?? ''} ${one.textContent ?? ''}`;
  });

async function findings(id: string): Promise<Findings['findings']> {
  const response = await fetch(`${server()}/api/jobs/${id}/findings`);
  return ((await response.json()) as Findings).findings; // The program's own answer.
}

it('stays at the finding when its remedy is applied', async () => {
  const id = await demoJob();
  const finding = (await findings(id)).find(
    ({ verdict, remedies, space }) => verdict === 'fails' && space !== null && remedies.some(({ edits }) => edits.length > 0),
  );
  if (!finding) throw new Error('the demo house has something to mend');
  const { page, close } = await open(`/job/${id}/fit?where=all&finding=${encodeURIComponent(finding.key)}`);
  const remedy = page.locator('.finding-detail .remedy:not([aria-disabled])').first();
  await remedy.focus();
  await page.keyboard.press('Enter');
  await page.getByText('Revision 2').waitFor();
  await expect.poll(() => focused(page)).toMatch(/^button finding |^h1 /);
  await page.waitForLoadState('networkidle');
  expect(await focused(page)).toMatch(/^button finding |^h1 /);
  await close();
});

it('stays at the finding when what it waits for is typed', async () => {
  const id = await jobWithCircuit();
  const finding = (await findings(id)).find(({ verdict }) => verdict === 'unknown');
  if (!finding) throw new Error('nothing is unknown');
  const { page, close } = await open(`/job/${id}/fit?where=all&finding=${encodeURIComponent(finding.key)}`);
  const field = page.locator('.finding-detail .needs input').first();
  await field.fill('40 W');
  await field.press('Enter');
  await page.getByText('Revision 3').waitFor();
  await page.waitForLoadState('networkidle');
  await expect.poll(() => focused(page)).toMatch(/^button finding |^h1 /);
  await close();
});

it('goes back to what opened the keys', async () => {
  const { page, close } = await open('/');
  const opener = page.getByRole('button', { name: 'Keys' });
  for (const how of ['Escape', 'button']) {
    await opener.focus();
    await page.keyboard.press('Enter');
    await page.getByRole('dialog').waitFor();
    if (how === 'Escape') await page.keyboard.press('Escape');
    else await page.getByRole('dialog').getByRole('button', { name: 'Close' }).press('Enter');
    await page.getByRole('dialog').waitFor({ state: 'detached' });
    await expect.poll(() => focused(page)).toContain('Keys');
  }
  // Opened by a key alone, from nowhere: the page itself is next.
  await page.evaluate(() => (document.activeElement as HTMLElement).blur());
  await page.keyboard.press('?');
  await page.getByRole('dialog').waitFor();
  await page.keyboard.press('Escape');
  await expect.poll(() => focused(page)).not.toBe('nothing');
  await close();
});

it('goes to the first field of what is added, and past the last field to its thing', async () => {
  const id = await den();
  const { page, close } = await open(`/job/${id}/walk?step=things`);
  await page.getByRole('button', { name: 'Add something on Front' }).press('Enter');
  await page.getByRole('dialog').getByRole('button', { name: 'Socket' }).press('Enter');
  await expect.poll(() => focused(page)).toContain('space.den.fixture.socket.');
  const last = page.locator('.thing[open] input[data-at]').last();
  await last.focus();
  await last.press('Enter');
  await expect.poll(() => focused(page)).toMatch(/^summary/);

  await page.goto(`/job/${id}/walk?step=seats`);
  await page.getByRole('button', { name: 'Add a seat' }).press('Enter');
  await expect.poll(() => focused(page)).toContain('space.den.seat.seat.');
  await page.goto(`/job/${id}/walk?step=ceiling`);
  const height = page.locator('.walk-step input[data-at]').last();
  await height.fill("8'");
  await height.press('Enter');
  await expect.poll(() => focused(page)).toMatch(/^h2 .*Ceiling/);
  await close();
});

it('goes to the first field of kit that is added to the room', async () => {
  const id = await demoJob();
  const { page, close } = await open(`/job/${id}/fit?room=living`);
  await page.getByRole('button', { name: 'Add to the room' }).press('Enter');
  const add = page.getByRole('dialog').locator('.button.main');
  await add.press('Enter');
  await page.getByText('Revision 2').waitFor();
  await expect
    .poll(() => page.evaluate(() => document.activeElement?.closest('.body-panel') !== null))
    .toBe(true);
  await close();
});

it('goes to the next task when one is done', async () => {
  const id = await demoJob();
  const { page, close } = await open(`/job/${id}/day`);
  const now = page.locator('.now h2');
  await now.waitFor({ timeout: 45_000 });
  const first = await now.textContent();
  await page.getByRole('button', { name: `Done: ${first}` }).press('Enter');
  await expect.poll(() => now.textContent()).not.toBe(first);
  await expect.poll(async () => focused(page)).toBe(`h2   ${await now.textContent()}`);
  await close();
});
