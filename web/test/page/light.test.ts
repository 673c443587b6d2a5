// The panels that answer inverse questions and that show the light of a year, in a browser.

import { expect, test } from 'vitest';

import type { Light, ProjectorPlaces, LargestPictures, Scene } from '../../src/api/schema';
import { demoJob, expectAccessible, expectNoSideways, LOOKS, open, send, server, useBrowser } from './harness';

useBrowser();

async function ask<T>(path: string): Promise<T> {
  const response = await fetch(server() + path);
  if (!response.ok) throw new Error(`${path}: ${response.status} ${await response.text()}`);
  const body: unknown = await response.json();
  return body as T; // The route's own shape.
}

test('where the projector can hang is hatched in the plan, and its place is used at a press', async () => {
  const job = await demoJob();
  const answer = await ask<ProjectorPlaces>(`/api/jobs/${job}/spaces/loft/find/projector-place`);
  const [found] = answer.projectors;
  if (!found) throw new Error('the attic has a projector');
  const { page, close } = await open(`/job/${job}/fit?room=loft&view=ceiling`);
  await page.getByRole('button', { name: 'Find a place' }).click();
  const panel = page.getByRole('region', { name: 'Find', exact: true });
  await panel.getByText(found.says).waitFor();
  expect(new URL(page.url()).searchParams.get('find')).toBe('projector-place');
  await panel.getByText('As the sheet draws it').click();
  const drawing = panel.getByRole('img', { name: `Drawing: where ${found.label} can hang` });
  await expect
    .poll(() => drawing.evaluate((image: HTMLImageElement) => image.naturalWidth), { timeout: 40_000 })
    .toBeGreaterThan(100);
  if (found.place !== null && found.place !== undefined) {
    await panel.getByText(found.place.says).waitFor();
    await panel.getByRole('button', { name: 'Use this place' }).click();
    await expect.poll(async () => (await ask<{ revision: number }>(`/api/jobs/${job}`)).revision).toBe(2);
  }
  await panel.getByRole('button', { name: 'Close' }).click();
  await panel.waitFor({ state: 'detached' });
  await close();
});

test('how large a picture can be lists what stops it, nearest first', async () => {
  const job = await demoJob();
  const answer = await ask<LargestPictures>(`/api/jobs/${job}/spaces/loft/find/largest-picture`);
  const { page, close } = await open(`/job/${job}/fit?room=loft&find=largest-picture`);
  const panel = page.getByRole('region', { name: 'Find', exact: true });
  for (const { says, stops } of answer.pictures) {
    await panel.getByText(says).waitFor();
    for (const { size_text, label } of stops)
      expect(await panel.locator('li').allTextContents()).toContainEqual(
        expect.stringContaining(`${size_text}: ${label}`),
      );
  }
  await panel.getByRole('button', { name: 'How high the display hangs' }).click();
  await panel.getByText('There is no display in this room.').waitFor();
  await close();
});

test('how high a display hangs is answered where there is one', async () => {
  const job = await demoJob();
  const { page, close } = await open(`/job/${job}/fit?room=living&find=display-place`);
  const panel = page.getByRole('region', { name: 'Find', exact: true });
  await panel.getByText(/^The middle of .* can hang|can hang at no height/).waitFor();
  await panel.getByRole('button', { name: 'Where the projector can hang' }).click();
  await panel.getByText('There is no projector in this room.').waitFor();
  await close();
});

test('the year has a map of hours, and a blind that is tried makes it darker without saving', async () => {
  const job = await demoJob();
  const { page, close } = await open(`/job/${job}/fit?room=loft`);
  await page.getByRole('button', { name: 'Light through the year' }).click();
  const panel = page.getByRole('region', { name: 'Light through the year' });
  const map = panel.getByRole('table', { name: 'Contrast by month and hour' });
  await map.waitFor();
  expect(await map.locator('tbody tr').count()).toBe(12);
  expect(await map.locator('tbody td').count()).toBe(12 * 24);
  const year = (await ask<Light>(`/api/jobs/${job}/spaces/loft/light`)).pictures[0]?.year;
  if (!year) throw new Error('all is known of the attic');
  const noon = map.locator('tbody tr').nth(5).locator('td').nth(12);
  expect(await noon.textContent()).toContain(year.months[5]?.hours[12]?.contrast_text);
  const chart = panel.getByRole('img', { name: /^Gain by seat/ });
  expect(await chart.locator('circle').count()).toBe(year.seats.length);
  const before = Number((await noon.textContent())?.replace(/[^\d.]/g, ''));
  await panel.getByLabel('Try blinds, without saving').selectOption({ index: 3 });
  await expect
    .poll(async () => Number((await noon.textContent())?.replace(/[^\d.]/g, '')))
    .toBeGreaterThan(before);
  expect((await ask<{ revision: number }>(`/api/jobs/${job}`)).revision).toBe(1);
  await panel.getByRole('button', { name: 'Close' }).click();
  await panel.waitFor({ state: 'detached' });
  await close();
});

test('the map follows a seat that is dragged, and goes back with it', async () => {
  const job = await demoJob();
  const { page, close } = await open(`/job/${job}/fit?room=loft&view=plan&light=open`);
  const panel = page.getByRole('region', { name: 'Light through the year' });
  const chart = panel.getByRole('img', { name: /^Gain by seat/ });
  await chart.waitFor();
  const before = await chart.getAttribute('aria-label');
  const box = await page.locator('[data-body="seat:front-left"]').boundingBox();
  if (!box) throw new Error('the seat is drawn');
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x - 25, y, { steps: 5 });
  await expect.poll(() => chart.getAttribute('aria-label')).not.toBe(before);
  await panel.getByText('As it is where the thing in the hand is now.').waitFor();
  await page.keyboard.press('Escape');
  await page.mouse.up();
  await expect.poll(() => chart.getAttribute('aria-label')).toBe(before);
  await close();
});

test('the shadow of a head in the beam stands on the picture', async () => {
  const job = await demoJob();
  // Low enough that whoever stands up in the front row reaches into the beam.
  await send('POST', `/api/jobs/${job}/edits`, {
    op: crypto.randomUUID(),
    base: 1,
    edits: [
      { at: 'item.projector.hung.drop', set: '40"' },
      { at: 'item.projector.hung.from.1', set: `12' 6"` },
    ],
    summary: 'Hang the projector low',
  });
  const scene = await ask<Scene>(`/api/jobs/${job}/spaces/loft/scene`);
  const shadows = scene.overlays.beams.flatMap(({ shadows }) => shadows);
  expect(shadows.some(({ says }) => says.includes('standing'))).toBe(true);
  const { page, close } = await open(`/job/${job}/fit?room=loft&view=screen-wall`);
  await page.getByText(/standing at seat .*: shadow on .* % of the picture/).waitFor();
  // Over the screen, not under it.
  const last = page.locator('.board > g.lines').last();
  expect(await last.locator('path').count()).toBe(shadows.length);
  await close();
});

for (const look of LOOKS) {
  test(`the panels are accessible and keep to their screen, ${look.size} ${look.theme}`, async () => {
    const job = await demoJob();
    for (const query of ['room=loft&find=projector-place', 'room=loft&find=largest-picture', 'room=loft&light=open']) {
      const { page, close } = await open(`/job/${job}/fit?${query}`, look);
      await page.getByRole('region', { name: /^(Find|Light through the year)$/ }).waitFor();
      await page.waitForLoadState('networkidle');
      await expectNoSideways(page);
      await expectAccessible(page);
      await close();
    }
  });
}
