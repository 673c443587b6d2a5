// Sharing and pairing, as the machine that runs dryfit sees them.

import { expect, it } from 'vitest';

import { expectAccessible, open, useBrowser } from './harness';

useBrowser();

it('says how to share while only this machine reaches it', async () => {
  const { page, close } = await open('/sharing');
  await page.getByText('Only this machine reaches dryfit').waitFor();
  await close();
});

it('refuses a code that is not shown, in words', async () => {
  const { page, close } = await open('/pair');
  await page.getByText('runs dryfit and needs no pairing').waitFor();
  await page.getByLabel('Code').fill('000 000');
  await page.getByLabel('Name of this device').fill('Phone');
  await page.getByRole('button', { name: 'Pair this device' }).click();
  const strip = page.getByRole('alert');
  await strip.waitFor();
  expect((await strip.textContent())?.length).toBeGreaterThan(10);
  await expectAccessible(page);
  await close();
});
