// A room as it is walked through: on a phone, by its keypad, by keys alone.

import { randomUUID } from 'node:crypto';

import { describe, expect, it } from 'vitest';
import type { Page } from 'playwright-core';

import {
  demoJob,
  expectAccessible,
  expectNoSideways,
  expectTouchable,
  LOOKS,
  newJob,
  open,
  picture,
  send,
  useBrowser,
} from './harness';

useBrowser();

const blank = (lengths: [string, string, string, string], units = 'imperial') =>
  newJob({ from: 'blank', name: 'Quay Row 3', room: 'Den', lengths, units });

/** What the program has saved of the first room. */
async function room(id: string): Promise<Record<string, unknown>> {
  const { document } = await send('GET', `/api/jobs/${id}`);
  const spaces: unknown = isTable(document) ? document['space'] : null;
  const first: unknown = Array.isArray(spaces) ? spaces[0] : null;
  if (!isTable(first)) throw new Error('the job has no room');
  return first;
}

function isTable(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null;
}

const press = async (page: Page, ...keys: string[]) => {
  const keypad = page.getByRole('group', { name: 'Keypad for lengths' });
  for (const key of keys) await keypad.getByRole('button', { name: key, exact: true }).tap();
};
const lengthField = (page: Page) => page.getByLabel('Length, corner to corner');

it('takes a room from nothing to a proved one, on a phone and its keypad', async () => {
  const id = await blank(['', '', '', '']);
  const { page, close } = await open(`/job/${id}/walk`, { size: 'phone' });
  await page.getByText('The plan begins with the first wall').waitFor();
  await lengthField(page).tap();
  await press(page, '1', '2', 'feet', '6', '1/2', 'inches');
  expect(await lengthField(page).inputValue()).toBe('12′6 1/2″');
  // The plan follows before anything is saved.
  await page.getByRole('group', { name: /^Plan of Den/ }).waitFor();
  await page.getByText('With what you are typing.').waitFor();
  expect(JSON.stringify((await room(id))['walls'])).not.toContain('12');
  await picture(page, 'walk-keypad', { size: 'phone' });
  await press(page, 'Next field');
  await page.getByRole('heading', { name: 'Right', exact: true }).waitFor();
  for (const [wall, ...keys] of [
    ['Right', '1', '0', 'feet'],
    ['Back', '1', '2', 'feet', '6', '1/2', 'inches'],
    ['Left', '9', 'feet', '1', '1', '7/8', 'inches'],
  ]) {
    await page.getByRole('heading', { name: wall ?? '', exact: true }).waitFor();
    await press(page, ...keys, 'Next field');
  }
  await page.getByRole('heading', { name: 'The walls close' }).waitFor();
  await page.getByRole('link', { name: 'Ceiling' }).click();
  await page.getByLabel('Ceiling height').tap();
  await press(page, '8', 'feet', 'Next field');
  await expect.poll(async () => JSON.stringify(await room(id))).toContain('8′');
  await expect.poll(async () => JSON.stringify((await room(id))['walls'])).toContain('9′11 7/8″');
  await page.getByText('1 fits').or(page.getByText(/\d+ fit/)).first().waitFor();
  await close();
});

it('erases a fraction at once, and hands over to the device’s keyboard', async () => {
  const id = await blank(['', '', '', '']);
  const { page, close } = await open(`/job/${id}/walk`, { size: 'phone' });
  await lengthField(page).tap();
  expect(await lengthField(page).getAttribute('inputmode')).toBe('none');
  await press(page, '3', 'feet', '2', '3/8', 'Erase');
  expect(await lengthField(page).inputValue()).toBe('3′2');
  await press(page, 'Keyboard of the device');
  await expect.poll(() => lengthField(page).getAttribute('inputmode')).toBe('text');
  await page.getByRole('button', { name: 'Keypad', exact: true }).tap();
  await page.getByRole('group', { name: 'Keypad for lengths' }).waitFor();
  await close();
});

it('says below the field what it can’t read, marks the letter, and keeps what was typed', async () => {
  const id = await blank(["12'", "10'", "12'", "10'"]);
  const { page, close } = await open(`/job/${id}/walk`);
  await lengthField(page).fill('11 ft 6 x');
  await lengthField(page).press('Enter');
  await expect.poll(() => lengthField(page).getAttribute('aria-invalid')).toBe('true');
  expect(await lengthField(page).inputValue()).toBe('11 ft 6 x');
  expect(await page.locator('.refusal mark').textContent()).toBe('x');
  expect(await lengthField(page).evaluate((one) => one === document.activeElement)).toBe(true);
  expect(JSON.stringify((await room(id))['walls'])).not.toContain('11');
  await close();
});

it('names a mistyped wall, takes the value it would need, and takes that back', async () => {
  const id = await blank([`12' 6"`, "10'", `11' 6"`, "10'"]);
  const { page, close } = await open(`/job/${id}/walk`, { size: 'phone' });
  await page.getByRole('heading', { name: 'The walls do not close' }).waitFor();
  await page.getByRole('button', { name: /^Back .* read again/ }).waitFor();
  await picture(page, 'walk-open', { size: 'phone' });
  await page.getByRole('button', { name: 'Set Back to 12′ 6″' }).tap();
  await page.getByRole('heading', { name: 'The walls close' }).waitFor();
  await page
    .getByRole('region', { name: 'Does it close?' })
    .getByRole('button', { name: /^Undo: Set Back/ })
    .tap();
  await page.getByRole('heading', { name: 'The walls do not close' }).waitFor();
  await close();
});

it('asks for the diagonal that tells the suspects apart', async () => {
  const id = await blank([`12' 6"`, "10'", `11' 6"`, "10'"]);
  const { page, close } = await open(`/job/${id}/walk`, { size: 'phone' });
  await page.getByRole('button', { name: 'Measure from the left end of Front to the left end of Back' }).tap();
  const diagonal = page.getByRole('textbox', { name: 'Diagonal from left end of front to left end of back' });
  await expect.poll(() => diagonal.evaluate((one) => one === document.activeElement)).toBe(true);
  // The hypotenuse of 12' 6" and 10': so it is the back wall that was misread.
  await diagonal.fill(`16' 0 1/8"`);
  await diagonal.press('Enter');
  await expect.poll(() => page.locator('.suspects button').first().textContent()).toBe('Set Back to 12′ 6″');
  await close();
});

it('adds a wall, turns a corner, notes how a length was taken, opens an edge', async () => {
  const id = await blank(["12'", "10'", "12'", "10'"]);
  const { page, close } = await open(`/job/${id}/walk`);
  await page.getByRole('button', { name: 'Add a wall after it' }).click();
  await page.getByRole('heading', { name: 'Front 2', exact: true }).waitFor();
  await lengthField(page).fill(`3'`);
  await lengthField(page).press('Enter');
  await page.getByRole('heading', { name: 'Right', exact: true }).waitFor();
  await page.getByRole('button', { name: /^Front 2 to measure|^Front 2 3/ }).click();
  await page.getByRole('button', { name: '45° in, 135°' }).click();
  await page.getByRole('group', { name: 'How it was taken' }).getByRole('button', { name: 'Laser' }).click();
  await page.getByLabel('An open edge').check();
  await expect
    .poll(async () => (await room(id))['walls'])
    .toContainEqual({ id: 'front-2', length: "3' laser", corner: '135 deg', open: true });
  await page.getByRole('button', { name: 'Take this wall away' }).click();
  await expect.poll(async () => JSON.stringify((await room(id))['walls'])).not.toContain('135');
  await close();
});

it('draws a gable as its heights come in, and asks for what the shape needs', async () => {
  const id = await blank(["12'", "16'", "12'", "16'"]);
  const { page, close } = await open(`/job/${id}/walk?step=ceiling`, { size: 'phone' });
  await page.getByRole('button', { name: 'Gable' }).tap();
  await page.getByRole('group', { name: 'Ridge runs from wall' }).getByRole('button', { name: 'Front' }).tap();
  // The wall opposite is taken for the other end.
  const other = page.getByRole('group', { name: 'Ridge runs to wall' }).getByRole('button', { name: 'Back' });
  await expect.poll(() => other.getAttribute('aria-pressed')).toBe('true');
  await page.getByLabel('Ceiling height where the slopes start').fill('6 ft');
  await page.getByLabel('Ceiling height at the ridge').fill('9 ft');
  await page.getByLabel('Ceiling height at the ridge').press('Enter');
  await expect.poll(async () => JSON.stringify((await room(id))['ceiling'])).toContain('9 ft');
  await expect
    .poll(async () => (await page.locator('.walk-board .line.cut').first().getAttribute('d'))?.split('L').length)
    .toBe(5);
  await close();
});

it('notes a fixture where a finger found it, as a guess until the tape has been there', async () => {
  const id = await blank(["12'", "10'", "12'", "10'"]);
  await send('POST', `/api/jobs/${id}/edits`, {
    op: randomUUID(),
    base: 1,
    edits: [{ at: 'space.den.ceiling.height', set: "8'" }],
  });
  const { page, close } = await open(`/job/${id}/walk?step=things`, { size: 'phone' });
  const wall = page.getByRole('group', { name: /^Front of Den/ });
  await wall.waitFor();
  await wall.tap({ position: { x: 180, y: 150 } });
  await page.getByRole('dialog').getByRole('button', { name: 'Socket' }).tap();
  const left = page.getByLabel('From the left corner').first();
  await left.waitFor();
  expect(await left.inputValue()).toMatch(/guess$/);
  await left.fill(`5' 2"`);
  await page.getByLabel('Height above the floor').first().fill('14"');
  await page.getByLabel('Width').first().fill('2 3/4"');
  await page.getByLabel('Width').first().press('Enter');
  await expect
    .poll(async () => (await room(id))['fixture'])
    .toEqual([
      { id: 'socket', kind: 'socket', on: { wall: 'front', from_left: `5' 2"`, height: '14"' }, size: ['2 3/4"', '?', '?'] },
    ]);
  await page.getByRole('button', { name: /^Socket, on wall front/ }).waitFor();
  await picture(page, 'walk-fixture', { size: 'phone' });
  await close();
});

it('lists what is blank, most useful first, and leads to the field', async () => {
  const id = await demoJob();
  const { page, close } = await open(`/job/${id}/walk?room=living&step=blanks`, { size: 'phone' });
  const blanks = page.getByRole('list').filter({ has: page.locator('.blank-what') });
  await blanks.first().waitFor();
  const decides = (await page.locator('.blank-says').allTextContents()).map((text) =>
    Number(/decides (\d+)/.exec(text)?.[1] ?? 0),
  );
  expect(decides).toEqual([...decides].sort((a, b) => b - a));
  await close();

  const den = await blank(['', "10'", "12'", "10'"]);
  const second = await open(`/job/${den}/walk?step=blanks`, { size: 'phone' });
  await second.page.getByRole('button', { name: /ceiling’s height|ceiling's height/i }).tap();
  await second.page.getByLabel('Ceiling height').waitFor();
  await expect
    .poll(() => second.page.getByLabel('Ceiling height').evaluate((one) => one === document.activeElement))
    .toBe(true);
  await second.close();
});

it('pins a photograph to a wall, shrunk, and deletes it', async () => {
  const id = await blank(["12'", "10'", "12'", "10'"]);
  const { page, close } = await open(`/job/${id}/walk?step=things`, { size: 'phone' });
  // A picture larger than it needs to be, made in the page.
  const data: string = await page.evaluate(`
    (() => {
      const canvas = document.createElement('canvas');
      canvas.width = 2400; canvas.height = 1800;
      const brush = canvas.getContext('2d');
      brush.fillStyle = '#777'; brush.fillRect(0, 0, 2400, 1800);
      return canvas.toDataURL('image/jpeg').split(',')[1];
    })()
  `);
  await page.getByLabel('What to see on the next one').fill('Socket beside the door');
  await page.getByLabel('Take a photograph of Front').setInputFiles({
    name: 'front.jpg',
    mimeType: 'image/jpeg',
    buffer: Buffer.from(data, 'base64'),
  });
  const shown = page.getByRole('img', { name: 'Socket beside the door' });
  await shown.waitFor();
  const [row] = Object.values(await send('GET', `/api/jobs/${id}/photographs`));
  expect(row).toMatchObject({ pinned: 'space.den.walls.front', width: 1600, height: 1200 });
  await page.getByRole('button', { name: 'Delete the photograph Socket beside the door' }).tap();
  await shown.waitFor({ state: 'detached' });
  await close();
});

it('adds a room that touches another at an opening', async () => {
  const id = await demoJob();
  const { page, close } = await open(`/job/${id}/walk?room=loft`);
  await page.getByRole('button', { name: 'Add a room' }).click();
  await page.getByLabel('Name', { exact: true }).fill('Landing');
  await page.getByLabel('Touches another room at').selectOption('loft.loft-door');
  await page.getByRole('button', { name: 'Add the room' }).click();
  await page.waitForURL(/room=landing/);
  const { document } = await send('GET', `/api/jobs/${id}`);
  expect(JSON.stringify(document)).toContain('"joined":{"opening":"to-loft","to":"loft.loft-door"}');
  await close();
});

it('is walked by keys alone', async () => {
  const id = await blank(['', '', '', '']);
  const { page, close } = await open(`/job/${id}/walk`);
  const chip = page.getByRole('button', { name: /^Front to measure/ });
  await chip.focus();
  await page.keyboard.press('Enter');
  for (let n = 0; n < 8; n += 1) {
    await page.keyboard.press('Tab');
    if (await lengthField(page).evaluate((one) => one === document.activeElement)) break;
  }
  for (const text of ["12'", "10'", "12'", "10'"]) {
    await page.keyboard.type(text);
    const name = await page.locator('.wall-editor h3').textContent();
    await page.keyboard.press('Enter');
    if (name !== 'Left') await expect.poll(() => page.locator('.wall-editor h3').textContent()).not.toBe(name);
  }
  await page.getByRole('heading', { name: 'The walls close' }).waitFor();
  await close();
});

const VIEWS = ['walls', 'ceiling', 'things', 'seats', 'inside', 'room', 'blanks'];
describe.each(LOOKS)('on a $size in $theme', (look) => {
  it.each(VIEWS)('%s', async (step) => {
    const id = await (job ??= demoJob());
    const { page, close } = await open(`/job/${id}/walk?room=loft&step=${step}`, look);
    await page.getByRole('heading', { level: 2 }).first().waitFor();
    await page.waitForLoadState('networkidle');
    await picture(page, `walk-${step}`, look);
    await expectNoSideways(page);
    if (look.size === 'phone') await expectTouchable(page);
    await expectAccessible(page);
    await close();
  });
});
let job: Promise<string> | null = null;

it('fits a narrow screen, keypad and all', async () => {
  const id = await blank(["12'", "10'", "12'", "10'"]);
  const { page, close } = await open(`/job/${id}/walk`, { size: 'phone' });
  await page.setViewportSize({ width: 320, height: 640 });
  await lengthField(page).tap();
  await page.getByRole('group', { name: 'Keypad for lengths' }).waitFor();
  await expectNoSideways(page);
  const narrow = await page.locator('.keys-fractions .key').first().boundingBox();
  expect(narrow?.height).toBeGreaterThanOrEqual(44);
  expect(narrow?.width).toBeGreaterThanOrEqual(40);
  // The field that is typed into stays above it.
  const field = await lengthField(page).boundingBox();
  const keypad = await page.locator('.keypad').boundingBox();
  await expect
    .poll(async () => ((await lengthField(page).boundingBox())?.y ?? 0) + (field?.height ?? 0))
    .toBeLessThanOrEqual(keypad?.y ?? 0);
  await close();
});

it('keeps the field in sight between the plan and the keypad, on a phone held sideways', async () => {
  const id = await blank(["12'", "10'", "12'", "10'"]);
  const { page, close } = await open(`/job/${id}/walk`, { size: 'phone' });
  await page.setViewportSize({ width: 844, height: 390 });
  for (const step of ['walls', 'ceiling', 'seats']) {
    await page.goto(`/job/${id}/walk?step=${step}`);
    if (step === 'seats') await page.getByRole('button', { name: 'Add a seat' }).tap();
    const field = page.locator('.walk-column input[inputmode=none]').last();
    await field.tap();
    await page.getByRole('group', { name: 'Keypad for lengths' }).waitFor();
    // Its middle and both its edges are what a finger would meet there.
    await expect
      .poll(() =>
        field.evaluate((one) => {
          const { left, top, bottom, width } = one.getBoundingClientRect();
          return [top + 2, (top + bottom) / 2, bottom - 2].every(
            (y) => document.elementFromPoint(left + width / 2, y) === one,
          );
        }),
      )
      .toBe(true);
    const [top, keys] = [(await field.boundingBox())?.y ?? 0, (await page.locator('.keypad').boundingBox())?.y ?? 0];
    // Room for the field with its label above and a message below, px.
    expect(top).toBeGreaterThan(24);
    expect(keys).toBeGreaterThan(150);
    await page.screenshot({ path: `test/out/walk-sideways-${step}.png` });
  }
  await expectNoSideways(page);
  await close();
});

it('gives a wall another name, and everything that names it follows', async () => {
  const id = await blank(['4 m', '3 m', '4 m', '3 m'], 'metric');
  const before = JSON.stringify(await room(id));
  const { page, close } = await open(`/job/${id}/walk`);
  const name = (await page.getByRole('heading', { level: 3 }).first().textContent()) ?? '';
  await page.getByRole('button', { name: `Rename ${name}` }).click();
  await page.getByLabel('Name of the wall').fill('Right');
  await page.getByText('“Right” is taken in this room.').first().waitFor();
  await page.getByLabel('Name of the wall').fill('Street side');
  await page.getByLabel('Name of the wall').press('Enter');
  await page.getByRole('heading', { name: 'Street side', exact: true }).waitFor();
  const walls = (await room(id))['walls'];
  expect(JSON.stringify(walls)).toContain('"street-side"');
  await picture(page, 'walk-renamed');
  await page.getByRole('button', { name: /^Undo: Call/ }).first().click();
  await page.getByRole('heading', { name, exact: true }).waitFor();
  expect(JSON.stringify(await room(id))).toBe(before);
  await close();
});

it('takes how long a room rings, octave by octave', async () => {
  const id = await blank(['4 m', '3 m', '4 m', '3 m'], 'metric');
  const { page, close } = await open(`/job/${id}/walk?step=room`, { size: 'phone' });
  await page.getByText('How long it rings, as measured').click();
  const field = page.getByLabel('Rings at 500\u202fHz');
  await field.fill('0,62 s');
  await field.press('Tab');
  await expect.poll(async () => JSON.stringify((await room(id))['reverberation'])).toBe('{"hz_500":"0,62 s"}');
  await expectNoSideways(page);
  await picture(page, 'walk-rings', { size: 'phone' });
  await close();
});

it('takes a rug and a sofa, with as much as is known of them', async () => {
  const id = await blank(['4 m', '3 m', '4 m', '3 m'], 'metric');
  const { page, close } = await open(`/job/${id}/walk?step=room`, { size: 'phone' });
  const list = page.getByRole('region', { name: 'What lies, hangs and stands there' });
  await list.getByLabel('Another one').selectOption('carpet_heavy_on_concrete');
  await list.getByRole('button', { name: 'Add it to the room' }).click();
  const area = list.getByLabel('Area', { exact: true });
  await area.fill('4,5 m2');
  await area.press('Tab');
  const coverings = async () => JSON.stringify((await room(id))['covering']);
  await expect.poll(coverings).toContain('"area":"4,5 m2"');
  await list.getByRole('button', { name: /^To come/ }).click();
  await expect.poll(coverings).toContain('"planned":"to-come"');
  await list.getByLabel('Along the first wall').fill('1.5 m');
  await list.getByLabel('Along the first wall').press('Tab');
  await expect.poll(coverings).toContain('"size":["1.5 m","?"]');

  await list.getByLabel('Another one').selectOption('person_standing');
  await list.getByLabel('It lies or hangs over').selectOption('Nothing: furniture, people');
  await list.getByRole('button', { name: 'Add it to the room' }).click();
  await list.getByLabel('How many').fill('3');
  await list.getByLabel('How many').press('Tab');
  await expect.poll(coverings).toContain('"count":3');
  await expectNoSideways(page);
  await picture(page, 'walk-coverings', { size: 'phone' });
  await list.getByRole('button', { name: /^Take away: Person/ }).click();
  await expect.poll(coverings).not.toContain('person');
  await close();
});

it('follows what another device saves, and keeps what is being typed', async () => {
  const id = await blank(['4 m', '3 m', '4 m', '3 m'], 'metric');
  const one = await open(`/job/${id}/walk`);
  const other = await open(`/job/${id}/walk`);
  await lengthField(one.page).fill('4.25 m');
  await other.page.getByLabel('An open edge: no wall stands on it').check();
  await other.page.getByText('Revision 2').waitFor();
  await one.page.evaluate(() => window.dispatchEvent(new Event('focus')));
  await one.page.getByText(/^Changed on .*no wall on it/).waitFor();
  await one.page.getByText('Revision 2').waitFor();
  await expect.poll(() => one.page.getByLabel('An open edge: no wall stands on it').isChecked()).toBe(true);
  expect(await lengthField(one.page).inputValue()).toBe('4.25 m');
  await other.close();
  await one.close();
});
