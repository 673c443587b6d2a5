// Ways of cables on the Fit page: drawn on plan and walls, and the other one taken by a press.

import { expect, it } from 'vitest';

import type { CableWay, JobView } from '../../src/api/schema';
import { demoJob, expectAccessible, expectNoSideways, open, server, useBrowser } from './harness';

useBrowser();

it('draws a cable’s way and the other one, and takes and gives back the other', async () => {
  const job = await demoJob();
  const { way, space } = await cableWithOther(job);
  const { page, close } = await open(`/job/${job}/fit?room=${space}`);
  await page.getByRole('button', { name: 'Ways of cables' }).click();
  const panel = page.getByRole('region', { name: 'Ways of cables' });
  await panel.getByLabel('Cable').selectOption(way.cable);
  await panel.getByRole('heading', { name: /^The other way/ }).waitFor();
  await panel.getByText('The dear step:').waitFor();
  const drawn = panel.getByRole('group', { name: 'Draw it on' }).getByRole('button');
  const names = await drawn.allTextContents();
  expect(names.length).toBeGreaterThan(1);
  for (const name of names) {
    await panel.getByRole('button', { name, exact: true }).click();
    await expect.poll(() => page.locator('.line.way, .line.other-way').count(), { message: name }).toBeGreaterThan(0);
  }
  await expectAccessible(page);
  await panel.getByRole('button', { name: 'Take this way' }).click();
  await panel.getByText(/^It keeps out of/).waitFor();
  const fileOf = async () => (await fetch(`${server()}/api/jobs/${job}/file`)).text();
  expect(await fileOf()).toContain('keeps_out_of');
  await panel.getByRole('button', { name: 'Back to the cheapest way' }).click();
  await expect.poll(fileOf).not.toContain('keeps_out_of');
  await close();
});

it('is found from the House page, in whichever room it runs', async () => {
  const job = await demoJob();
  const { way, space } = await cableWithOther(job);
  const { page, close } = await open(`/job/${job}/house`);
  const cables = page.getByRole('region', { name: 'Cables', exact: true });
  await cables.getByText(way.cable, { exact: true }).click();
  await cables.getByRole('link', { name: /^Its way/ }).last().waitFor();
  const links = cables.getByRole('link', { name: /^Its way/ });
  for (let at = 0; at < (await links.count()); at += 1)
    if (await links.nth(at).isVisible()) {
      await links.nth(at).click();
      break;
    }
  const panel = page.getByRole('region', { name: 'Ways of cables' });
  await panel.getByRole('heading', { name: /^The other way/ }).waitFor();
  const views = panel.getByRole('group', { name: 'Draw it on' });
  await views.getByRole('button', { name: /^To / }).first().click();
  await expect.poll(() => new URL(page.url()).searchParams.get('room')).toBe(space);
  await views.getByRole('button', { name: 'Plan' }).waitFor();
  await close();
});

it('reads on a phone', async () => {
  const job = await demoJob();
  const { way, space } = await cableWithOther(job);
  const { page, close } = await open(`/job/${job}/fit?room=${space}&cable=${way.cable}`, { size: 'phone' });
  await page.getByRole('heading', { name: /^The other way/ }).waitFor();
  await expectNoSideways(page);
  await close();
});

/** The first cable of the house with another way, and a space that it runs through. */
async function cableWithOther(job: string): Promise<{ way: CableWay; space: string }> {
  const get = async (path: string) => (await fetch(`${server()}/api/jobs/${job}${path}`)).json();
  const { document } = (await get('')) as JobView; // The route's own shape.
  const { cable } = document as { cable: { id: string }[] };
  for (const { id } of cable) {
    const way = (await get(`/cables/${id}/way`)) as CableWay;
    const space = way.other?.path[0]?.space;
    if (way.dear_text !== null && space !== undefined && way.path.some((piece) => piece.space === space))
      return { way, space };
  }
  throw new Error('no cable of the house has another way');
}

it('goes round the dear step alone by a press, and back', async () => {
  const job = await demoJob();
  const way = await cableWithRound(job);
  const { page, close } = await open(`/job/${job}/fit?room=${way.path[0]?.space ?? ''}&cable=${way.cable}`);
  const panel = page.getByRole('region', { name: 'Ways of cables' });
  await panel.getByRole('button', { name: 'Go round it' }).click();
  await panel.getByText(/^It goes round /).waitFor();
  const fileOf = async () => (await fetch(`${server()}/api/jobs/${job}/file`)).text();
  expect(await fileOf()).toContain('goes_round');
  await panel.getByRole('button', { name: 'Back to the cheapest way' }).click();
  await expect.poll(fileOf).not.toContain('goes_round');
  await close();
});

/** The first cable of the house with a way round its dearest hole that is not the other way. */
async function cableWithRound(job: string): Promise<CableWay> {
  const get = async (path: string) => (await fetch(`${server()}/api/jobs/${job}${path}`)).json();
  const { document } = (await get('')) as JobView; // The route's own shape.
  const { cable } = document as { cable: { id: string }[] };
  for (const { id } of cable) {
    const way = (await get(`/cables/${id}/way`)) as CableWay;
    if (way.round !== null) return way;
  }
  throw new Error('no cable of the house has a way round its dearest hole');
}
