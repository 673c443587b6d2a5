// What the server refuses stays in its field, marked, with the reason beside it, and counts as not measured.

import { randomUUID } from 'node:crypto';

import { expect, it } from 'vitest';
import type { Locator, Page } from 'playwright-core';

import { demoJob, expectAccessible, newJob, open, picture, send, useBrowser } from './harness';

useBrowser();

/** A room with a door on its front wall, of which nothing is measured yet. */
async function withDoor(): Promise<string> {
  const id = await newJob({
    from: 'blank',
    name: 'Quay Row 7',
    room: 'Den',
    lengths: [`12' 7"`, "10'", `12' 7"`, "10'"],
    units: 'imperial',
  });
  const set = { id: 'door', kind: 'door', on: { wall: 'front', from_left: '?', height: '?' }, size: ['?', '?'] };
  await send('POST', `/api/jobs/${id}/edits`, {
    op: randomUUID(),
    base: 1,
    edits: [
      { at: 'space.den.ceiling.height', set: "8'" },
      { at: 'space.den.opening.door', set },
    ],
  });
  return id;
}

const field = (page: Page, name: string) => page.locator('.thing[open]').getByLabel(name, { exact: true });
const hasFocus = (one: Locator) => one.evaluate((field) => field === document.activeElement);
const isInvalid = (one: Locator) => one.getAttribute('aria-invalid');
const fileOf = async (id: string) => JSON.stringify(await send('GET', `/api/jobs/${id}`));

/** The message that belongs to a field. */
async function messageOf(one: Locator): Promise<string> {
  const said = await one.evaluate((field) =>
    (field.getAttribute('aria-describedby') ?? '')
      .split(' ')
      .map((id) => document.getElementById(id)?.textContent ?? '')
      .join(' '),
  );
  // Figures and their units are kept together by a narrow space.
  return said.replaceAll('\u202f', ' ');
}

it('marks a width that does not fit its wall, keeps it blank elsewhere, and takes it once the place is right', async () => {
  const id = await withDoor();
  const { page, close } = await open(`/job/${id}/walk?step=things&thing=space.den.opening.door`, { size: 'phone' });
  const [left, width, height] = ['From the left corner', 'Width', 'Height'].map((name) => field(page, name));
  if (!left || !width || !height) throw new Error('a door has three figures');
  await left.fill('11 ft');
  await left.press('Enter');
  await expect.poll(() => fileOf(id)).toContain('11 ft');
  // Its height above the floor, its width and its height.
  const isBlank = () => expect.poll(() => page.locator('.thing[open] .thing-blanks').textContent()).toBe('3 facts to measure');
  await isBlank();
  await width.fill(`2'8"`);
  await width.press('Enter');
  await expect.poll(() => isInvalid(width)).toBe('true');
  expect(await messageOf(width)).toMatch(/reaches from 11′ 0″ to 13′ 8″/);
  await expect.poll(() => hasFocus(width)).toBe(true);
  const [box, screen] = [await width.boundingBox(), page.viewportSize()];
  expect(box?.y).toBeGreaterThan(0);
  expect((box?.y ?? 0) + (box?.height ?? 0)).toBeLessThan(screen?.height ?? 0);
  expect(await width.inputValue()).toBe(`2'8"`);
  // Neither drawn nor counted.
  await isBlank();
  await picture(page, 'refused-width', { size: 'phone' });

  // Another fact of the door is saved: the message stays.
  await height.fill(`6' 8"`);
  await height.press('Tab');
  await expect.poll(() => fileOf(id)).toContain(`6' 8\\"`);
  expect(await isInvalid(width)).toBe('true');
  expect(await messageOf(width)).toMatch(/reaches from 11′ 0″/);
  await expectAccessible(page);

  // What is wrong lies in the place: once that is right, the width is taken as it stands.
  await left.fill('1 ft');
  await left.press('Tab');
  await expect.poll(() => isInvalid(width)).toBe(null);
  await expect.poll(() => fileOf(id)).toContain(`2'8\\"`);
  await close();
});

it('marks a width that the laptop’s page refuses', async () => {
  const id = await withDoor();
  const { page, close } = await open(`/job/${id}/walk?step=things&thing=space.den.opening.door`);
  const width = field(page, 'Width');
  const left = field(page, 'From the left corner');
  await left.fill('1 ft');
  await left.press('Enter');
  await expect.poll(() => fileOf(id)).toContain('1 ft');
  await width.fill('20 ft');
  await width.press('Enter');
  await expect.poll(() => isInvalid(width)).toBe('true');
  await expect.poll(() => hasFocus(width)).toBe(true);
  expect(await page.getByRole('alert').count()).toBe(0);
  await width.fill('2 ft 8 in');
  expect(await isInvalid(width)).toBe(null);
  await width.press('Enter');
  await expect.poll(() => fileOf(id)).toContain('2 ft 8 in');
  await close();
});

it('marks a fact of the house that is refused, and keeps the message while others are saved', async () => {
  const id = await demoJob();
  const { page, close } = await open(`/job/${id}/house`);
  const first = page.getByLabel('Network: first', { exact: true });
  await first.fill('999.1.1.1');
  await first.press('Tab');
  await expect.poll(() => isInvalid(first)).toBe('true');
  expect((await messageOf(first)).length).toBeGreaterThan(20);
  expect(await first.inputValue()).toBe('999.1.1.1');
  await picture(page, 'refused-house');
  await close();
});
