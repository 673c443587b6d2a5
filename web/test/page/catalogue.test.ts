// The catalogue: an entry typed, a table imported with its bad rows told, an entry copied into a job.

import { readFileSync } from 'node:fs';

import { describe, expect, it } from 'vitest';

import { workbook } from './workbook';
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

const TABLE = [
  'Model,Name,Weight (kg),Width,Sensitivity,Notes',
  'speaker-q1,Loudspeaker Q1,8.5,210,87 dB,good',
  'speaker-q2,Loudspeaker Q2,heavy,220,88 dB,',
  'speaker-q3,Loudspeaker Q3,9,230,89 dB,',
].join('\n');

it('takes an entry off its spec sheet, with where each fact was read, and mends what is refused', async () => {
  const { page, close } = await open('/catalogue?kind=projector', { size: 'phone' });
  await page.getByRole('button', { name: 'New projector' }).tap();
  await page.getByLabel('Name', { exact: true }).fill('Projector T7');
  await page.getByLabel('Mass', { exact: true }).fill('heavy');
  await page.getByRole('button', { name: 'Add to the catalogue' }).tap();
  const mass = page.getByLabel('Mass', { exact: true });
  await expect.poll(() => mass.getAttribute('aria-invalid')).toBe('true');
  expect(await mass.inputValue()).toBe('heavy');
  await mass.fill('24 lb');
  await page.getByLabel('Where mass was read').fill('data sheet, page 3');
  await page.getByLabel('Shift, of').selectOption('picture');
  await page.getByLabel('Shift, up').fill('60');
  await page.getByLabel('Shift, across').fill('20');
  await page.getByRole('button', { name: 'Add to the catalogue' }).tap();
  await page.getByRole('heading', { name: 'Projector T7' }).waitFor();
  const kinds = JSON.stringify(await send('GET', '/api/catalogue'));
  expect(kinds).toContain('"mass":"24 lb"');
  expect(kinds).toContain('"read_from":{"mass":"data sheet, page 3"}');
  await close();
});

it('leads to what is wrong in a long form, and says at the button how much it is', async () => {
  const { page, close } = await open('/catalogue?kind=display', { size: 'phone' });
  await page.getByRole('button', { name: 'New display' }).tap();
  const name = page.getByLabel('Name', { exact: true });
  await page.getByRole('button', { name: 'Add to the catalogue' }).tap();
  await expect.poll(() => name.evaluate((one) => one === document.activeElement)).toBe(true);
  const box = await name.boundingBox();
  expect(box?.y).toBeGreaterThan(0);
  expect(box?.y).toBeLessThan(844);
  expect(await name.getAttribute('aria-invalid')).toBe('true');
  await page.getByText('One field is wrong').waitFor();
  await expectAccessible(page);
  await picture(page, 'catalogue-nameless', { size: 'phone' });
  await name.fill('Display R5');
  await page.getByText('One field is wrong').waitFor({ state: 'detached' });
  await close();
});

it('keeps what is typed of an entry over Back and a reload, until it is added or thrown away', async () => {
  const { page, close } = await open('/catalogue?kind=display');
  const create = page.getByRole('button', { name: 'New display' });
  const mass = page.getByLabel('Mass', { exact: true });
  await create.click();
  await page.getByLabel('Name', { exact: true }).fill('Display R6');
  await mass.fill('18 kg');
  await page.goBack();
  await mass.waitFor({ state: 'detached' });
  await create.click();
  await page.getByText('What was typed here before and not saved is kept.').waitFor();
  await picture(page, 'catalogue-draft');
  await page.reload();
  await expect.poll(() => mass.inputValue()).toBe('18 kg');
  await page.getByRole('button', { name: 'Throw it away' }).click();
  await expect.poll(() => mass.inputValue()).toBe('');

  await page.getByLabel('Name', { exact: true }).fill('Display R6');
  await page.getByRole('button', { name: 'Add to the catalogue' }).click();
  await page.getByRole('heading', { name: 'Display R6' }).waitFor();
  await create.click();
  await page.getByRole('heading', { name: 'New display' }).waitFor();
  expect(await page.getByLabel('Name', { exact: true }).inputValue()).toBe('');
  expect(await page.getByText('not saved is kept').count()).toBe(0);
  await close();
});

it('keeps the lines of measured data', async () => {
  const { page, close } = await open('/catalogue?kind=loudspeaker');
  await page.getByRole('button', { name: 'New loudspeaker' }).click();
  await page.getByLabel('Name', { exact: true }).fill('Loudspeaker L2');
  const lines = 'frequency_hz, around_deg, off_deg, level_db\n1000, 0, 0, 0\n1000, 0, 90, -6\n1000, 0, 180, -12';
  const polar = page.getByLabel('Polar', { exact: true });
  await polar.fill(lines);
  expect(await polar.inputValue()).toBe(lines);
  await page.getByRole('button', { name: 'Add to the catalogue' }).click();
  await page.getByRole('heading', { name: 'Loudspeaker L2' }).waitFor();
  expect(JSON.stringify(await send('GET', '/api/catalogue'))).toContain(JSON.stringify(lines));
  await picture(page, 'catalogue-polar');
  await close();
});

it('imports a table: columns guessed and shown, units marked as guessed, bad rows told', async () => {
  const { page, close } = await open('/catalogue?kind=loudspeaker');
  await page.getByRole('button', { name: 'Import a table' }).click();
  await page
    .getByLabel('Choose a CSV or XLSX file')
    .setInputFiles({ name: 'prices.csv', mimeType: 'text/csv', buffer: Buffer.from(TABLE) });
  await page.getByText('3 rows, 6 columns').waitFor();
  const column = (head: string) => page.getByRole('listitem').filter({ has: page.getByText(head, { exact: true }) });
  expect(await column('Weight (kg)').getByRole('combobox').inputValue()).toBe('mass');
  expect(await column('Weight (kg)').getByRole('textbox').inputValue()).toBe('kg');
  expect(await column('Weight (kg)').getByText('Guessed').count()).toBe(0);
  await column('Width').getByText('Guessed').waitFor();
  await picture(page, 'catalogue-import');
  await expectAccessible(page);
  await column('Width').getByRole('textbox').fill('mm');
  expect(await column('Width').getByText('Guessed').count()).toBe(0);
  await page.getByRole('button', { name: 'Take 3 rows into the catalogue' }).click();
  await page.getByText('2 rows taken').waitFor();
  const bad = page.getByRole('table', { name: 'Rows that were left out' }).getByRole('row').nth(1);
  expect(await bad.textContent()).toContain('heavy');
  expect(await bad.getByRole('cell').first().textContent()).toBe('3');
  await page.getByRole('link', { name: /Loudspeaker Q1/ }).waitFor();
  expect(await page.getByRole('link', { name: /Loudspeaker Q2/ }).count()).toBe(0);

  const coming = page.waitForEvent('download');
  await page.getByRole('link', { name: 'Export as CSV' }).click();
  expect(readFileSync(await (await coming).path(), 'utf8')).toContain('Loudspeaker Q3');
  await close();
});

it('imports a sheet of a workbook, tells each row left out, and is undone', async () => {
  await send('PUT', '/api/catalogue/loudspeaker/speaker-w1', { facts: { name: 'Loudspeaker W1', mass: '9 lb' } });
  const { page, close } = await open('/catalogue?kind=loudspeaker&import=open');
  await page.getByLabel('Choose a CSV or XLSX file').setInputFiles({
    name: 'kit.xlsx',
    mimeType: 'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet',
    buffer: workbook([
      { name: 'Notes', rows: [['Prices of May']] },
      {
        name: 'Loudspeakers',
        rows: [
          ['Model', 'Name', 'How heavy', 'Width (mm)'],
          ['speaker-w1', 'Loudspeaker W1', 8.5, 210],
          ['speaker-w2', 'Loudspeaker W2', 'heavy', 220],
          ['speaker-w3', 'Loudspeaker W3', 9, 'wide'],
          ['speaker-w4', 'Loudspeaker W4', 9.25, 230],
        ],
      },
    ]),
  });
  await page.getByLabel('Sheet of the workbook').selectOption('Loudspeakers');
  await page.getByText('4 rows, 4 columns').waitFor();
  const column = (head: string) => page.getByRole('listitem').filter({ has: page.getByText(head, { exact: true }) });
  // Nothing tells what this column holds: the reader does.
  await column('How heavy').getByRole('combobox').selectOption('mass');
  await column('How heavy').getByRole('textbox').fill('kg');
  await page.getByRole('button', { name: 'Take 4 rows into the catalogue' }).click();
  await page.getByText('2 rows taken').waitFor();
  const bad = page.getByRole('table', { name: 'Rows that were left out' }).getByRole('row');
  expect(await bad.count()).toBe(3);
  for (const [at, row, text] of [
    [1, '3', 'heavy'],
    [2, '4', 'wide'],
  ] as const) {
    expect(await bad.nth(at).getByRole('cell').first().textContent()).toBe(row);
    expect(await bad.nth(at).textContent()).toContain(text);
    expect((await bad.nth(at).getByRole('cell').nth(3).textContent())?.length).toBeGreaterThan(10);
  }
  await picture(page, 'catalogue-import-xlsx');
  await expectAccessible(page);
  await page.getByRole('link', { name: /Loudspeaker W4/ }).waitFor();
  expect(JSON.stringify(await send('GET', '/api/catalogue'))).toContain('8.5 kg');

  await page.getByRole('button', { name: 'Undo the import of 2 entries' }).click();
  await page.getByText('The import is taken back: 2 entries as before.').waitFor();
  await page.getByRole('link', { name: /Loudspeaker W4/ }).waitFor({ state: 'detached' });
  const kinds = JSON.stringify(await send('GET', '/api/catalogue'));
  expect(kinds).toContain('"mass":"9 lb"');
  expect(kinds).not.toContain('speaker-w4');
  await close();
});

it('copies an entry into a job as a change that can be undone', async () => {
  await send('PUT', '/api/catalogue/mount/mount-t1', { facts: { name: 'Mount T1', carries: '40 lb' } });
  for (const id of [
    await demoJob(),
    await newJob({ from: 'blank', name: 'Quay Row 8', room: 'Den', lengths: ['', '', '', ''], units: 'metric' }),
  ]) {
    const { page, close } = await open(`/catalogue?kind=mount&entry=mount-t1&job=${id}`);
    await page.getByRole('button', { name: 'Add to this job' }).click();
    await page.getByText(/has it now/).waitFor();
    const { document, undo } = await send('GET', `/api/jobs/${id}`);
    expect(JSON.stringify(document)).toContain('"id":"mount-t1"');
    expect(undo).toContain('Add Mount T1 to the kit');
    await page.getByRole('button', { name: 'Add to this job' }).click();
    await page.getByText(/has it already/).waitFor();
    await close();
  }
});

it('takes an entry out', async () => {
  await send('PUT', '/api/catalogue/plate/plate-t1', { facts: { name: 'Plate T1' } });
  const { page, close } = await open('/catalogue?kind=plate&entry=plate-t1');
  await page.getByRole('button', { name: 'Take it out of the catalogue' }).click();
  await page.getByRole('heading', { name: 'No plate yet' }).waitFor();
  await close();
});

describe.each(LOOKS)('on a $size in $theme', (look) => {
  it('lists, and shows an entry', async () => {
    await send('PUT', '/api/catalogue/screen/screen-t1', { facts: { name: 'Screen T1', diagonal: '100"' } });
    const { page, close } = await open('/catalogue?kind=screen&entry=screen-t1', look);
    await page.getByRole('heading', { name: 'Screen T1' }).waitFor();
    await picture(page, 'catalogue-entry', look);
    await expectNoSideways(page);
    if (look.size === 'phone') await expectTouchable(page);
    await expectAccessible(page);
    await close();
  });
});
