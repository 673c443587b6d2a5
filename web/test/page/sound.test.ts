// The panels of loudspeakers' places and of levels and directions at the seats, in a browser.

import { expect, test } from 'vitest';

import type { LoudspeakerPlaces, Sound } from '../../src/api/schema';
import { figure } from '../../src/units';
import { demoJob, expectAccessible, expectNoSideways, LOOKS, open, server, useBrowser } from './harness';

useBrowser();

async function ask<T>(path: string): Promise<T> {
  const response = await fetch(server() + path);
  if (!response.ok) throw new Error(`${path}: ${response.status} ${await response.text()}`);
  const body: unknown = await response.json();
  return body as T; // The route's own shape.
}

test('a point of a wall or ceiling says what stops a loudspeaker, by keys too, and puts it there', async () => {
  const job = await demoJob();
  const { loudspeakers } = await ask<LoudspeakerPlaces>(`/api/jobs/${job}/spaces/loft/find/loudspeaker-place`);
  const found = loudspeakers.find(({ spot }) => spot?.is_allowed === true);
  if (!found?.spot) throw new Error('the attic has a loudspeaker that can go somewhere');
  const { page, close } = await open(
    `/job/${job}/fit?room=loft&find=loudspeaker-place&for=${found.item}&view=${found.spot.surface}`,
  );
  const panel = page.getByRole('region', { name: 'Find', exact: true });
  await panel.getByRole('heading', { name: 'Caution' }).waitFor();
  const chart = panel.getByRole('application');
  await chart.focus();
  await panel.getByText(/^Here .* serves every seat/).waitFor();
  // Far off along the surface something stops it.
  for (let step = 0; step < 60; step += 1) await chart.press('ArrowLeft');
  await panel.getByText(/^Not here: /).waitFor();
  await panel.getByText(/The nearest allowed place/).waitFor();
  const box = await chart.boundingBox();
  if (!box) throw new Error('the chart is shown');
  await page.mouse.click(box.x + box.width / 2, box.y + box.height / 2);
  await panel.getByText(/^(Here .* serves every seat|Not here: )/).waitFor();
  await panel.getByRole('button', { name: /^Put it (here|at the nearest place)$/ }).click();
  await expect.poll(async () => (await ask<{ revision: number }>(`/api/jobs/${job}`)).revision).toBe(2);
  await close();
});

test('levels are written at the seats in the octave that is chosen, and dials say who hears what', async () => {
  const job = await demoJob();
  const sound = await ask<Sound>(`/api/jobs/${job}/spaces/loft/sound`);
  const { page, close } = await open(`/job/${job}/fit?room=loft`);
  await page.getByRole('button', { name: 'Sound', exact: true }).click();
  const panel = page.getByRole('region', { name: 'Sound above the bass' });
  for (const { hz, text, seats } of sound.octaves.filter(({ hz }) => [250, 4000].includes(hz))) {
    await panel.getByRole('button', { name: text, exact: true }).click();
    const [number = ''] = text.split(/\s/);
    const plan = panel.getByRole('img', { name: new RegExp(`Level over the plan at ${number}`) });
    await plan.waitFor();
    for (const seat of seats) expect((await plan.locator('text').allTextContents()).join(' '), `${hz}`).toContain(figure(seat.level_db, 1));
  }
  for (const { says } of sound.dials) await panel.getByRole('img', { name: says }).waitFor();
  await close();
});

test('both panels can be read in every look', async () => {
  const job = await demoJob();
  for (const look of LOOKS) {
    const { page, close } = await open(`/job/${job}/fit?room=loft&sound=open&find=loudspeaker-place`, look);
    await page.getByRole('application', { name: /can go/ }).waitFor();
    await page.getByRole('region', { name: 'Sound above the bass' }).getByRole('img').first().waitFor();
    await expectAccessible(page);
    await expectNoSideways(page);
    await close();
  }
});
