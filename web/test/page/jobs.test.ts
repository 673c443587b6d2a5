// The list of jobs, and the three ways to a new one.

import { expect, it } from 'vitest';

import { expectAccessible, newJob, open, picture, useBrowser } from './harness';

useBrowser();

it('starts from the demo house', async () => {
  const { page, close } = await open('/');
  await page.getByRole('button', { name: 'Start from the demo house' }).click();
  await page.waitForURL(/\/job\/[^/]+\/fit/);
  await page.getByText('Harbour Lane 9').first().waitFor();
  await close();
});

it('leads to the first name that a blank room lacks, and marks all that are blank', async () => {
  const { page, close } = await open('/', { size: 'phone' });
  await page.getByRole('button', { name: 'Start from a blank room' }).tap();
  const [job, room] = [page.getByLabel('Job', { exact: true }), page.getByLabel('Room', { exact: true })];
  await expect.poll(() => job.evaluate((one) => one === document.activeElement)).toBe(true);
  expect(await job.getAttribute('aria-invalid')).toBe('true');
  expect(await room.getAttribute('aria-invalid')).toBe('true');
  await page.getByText('2 fields are wrong; each says why.').waitFor();
  await picture(page, 'blank-room-nameless', { size: 'phone' });
  await job.fill('Quay Row 9');
  await page.getByText('One field is wrong').waitFor();
  await expectAccessible(page);
  await close();
});

it('starts from a blank room, and says at the field which length it can’t read', async () => {
  const { page, close } = await open('/');
  await page.getByLabel('Job', { exact: true }).fill('Test Street 1');
  await page.getByLabel('Room', { exact: true }).fill('Den');
  await page.getByLabel('Front wall').fill('18 2 3 x');
  await page.getByLabel('Right wall').fill(`14' 1 1/2"`);
  const back = page.getByLabel('Back wall');
  await back.fill('fourteen');
  await page.getByRole('button', { name: 'Start from a blank room' }).click();
  const front = page.getByLabel('Front wall');
  await expect.poll(() => front.getAttribute('aria-invalid')).toBe('true');
  expect(await back.getAttribute('aria-invalid')).toBe('true');
  await back.fill('');
  expect(await front.inputValue()).toBe('18 2 3 x');
  await front.fill(`18' 2"`);
  await page.getByRole('button', { name: 'Start from a blank room' }).click();
  await page.waitForURL(/\/job\/[^/]+\/walk/);
  await page.getByText('Test Street 1').first().waitFor();
  await close();
});

it('shows what is wrong in a file, at its line and column', async () => {
  const { page, close } = await open('/');
  await page.getByLabel('Open a job file').setInputFiles({
    name: 'job.toml',
    mimeType: 'text/plain',
    buffer: Buffer.from('format = 1\n[job]\nname = "x"\nnome = 3\n'),
  });
  await page.getByRole('alert').waitFor();
  const row = page.getByRole('row').nth(1);
  await row.waitFor();
  expect(await row.getByRole('cell').first().textContent()).toBe('4');
  expect(await row.textContent()).toContain('nome');
  await close();
});

it('opens a job file', async () => {
  const { page, close } = await open('/');
  const text = 'format = 1\n[job]\nname = "From a file"\nunits = "metric"\n';
  await page
    .getByLabel('Open a job file')
    .setInputFiles({ name: 'job.toml', mimeType: 'text/plain', buffer: Buffer.from(text) });
  await page.waitForURL(/\/job\/[^/]+\/fit/);
  await page.getByText('From a file').first().waitFor();
  await close();
});

it('takes a file that is dropped beside its place', async () => {
  const { page, close } = await open('/');
  await page.evaluate(`
    const data = new DataTransfer();
    data.items.add(new File(['format = 1\\n[job]\\nname = "Dropped"\\nunits = "metric"\\n'], 'job.toml'));
    document.body.dispatchEvent(new DragEvent('drop', { dataTransfer: data, bubbles: true, cancelable: true }));
  `);
  await page.waitForURL(/\/job\/[^/]+\/fit/);
  await page.getByText('Dropped').first().waitFor();
  await close();
});

it('removes a job with a way back, at once and later', async () => {
  await newJob({ from: 'text', text: 'format = 1\n[job]\nname = "In the way"\nunits = "metric"\n' });
  const { page, close } = await open('/');
  const listed = page.getByRole('list', { name: 'Jobs', exact: true }).getByText('In the way');
  const remove = page.getByRole('button', { name: 'Remove In the way' });
  await remove.click();
  await listed.waitFor({ state: 'detached' });
  const strip = page.getByRole('status').filter({ hasText: 'Removed In the way' });
  await strip.waitFor();
  expect(await strip.evaluate((one) => one === document.activeElement)).toBe(true);
  await expectAccessible(page);
  await page.getByRole('button', { name: 'Undo: put In the way back' }).click();
  await listed.waitFor();
  await strip.waitFor({ state: 'detached' });

  await remove.click();
  await listed.waitFor({ state: 'detached' });
  await page.reload();
  await page.getByText(/\d+ removed jobs?$/).click();
  await page.getByRole('button', { name: 'Put back In the way' }).click();
  await listed.waitFor();
  await close();
});

it('says what to do when dryfit does not answer', async () => {
  const { page, close } = await open('/');
  await page.route('**/api/jobs', (route) => route.abort());
  await page.getByRole('button', { name: 'Start from the demo house' }).click();
  const strip = page.getByRole('alert');
  await strip.waitFor();
  expect(await strip.textContent()).toContain('Dryfit does not answer');
  expect(await strip.evaluate((one) => one === document.activeElement)).toBe(true);
  await close();
});
