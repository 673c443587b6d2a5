// Every page in each look: nothing cut off, no rule of WCAG 2.2 AA broken, a picture to look at.

import { describe, it } from 'vitest';

import {
  expectAccessible,
  expectNoSideways,
  expectTouchable,
  LOOKS,
  open,
  picture,
  useBrowser,
  demoJob,
} from './harness';

useBrowser();

let job: Promise<string> | null = null;
const theJob = () => (job ??= demoJob());

const PAGES: readonly { name: string; path: (id: string) => string }[] = [
  { name: 'jobs', path: () => '/' },
  { name: 'walk', path: (id) => `/job/${id}/walk` },
  { name: 'house', path: (id) => `/job/${id}/house` },
  { name: 'catalogue', path: () => '/catalogue' },
  { name: 'history', path: (id) => `/job/${id}/history` },
  { name: 'sheets', path: (id) => `/job/${id}/sheets` },
  { name: 'load', path: (id) => `/job/${id}/load` },
  { name: 'day', path: (id) => `/job/${id}/day` },
  { name: 'quote', path: (id) => `/job/${id}/quote` },
  { name: 'tune', path: (id) => `/job/${id}/tune` },
  { name: 'handover', path: (id) => `/job/${id}/handover` },
  { name: 'return', path: (id) => `/job/${id}/return` },
  { name: 'sharing', path: () => '/sharing' },
  { name: 'pair', path: () => '/pair' },
  { name: 'nowhere', path: () => '/nowhere' },
];

describe.each(PAGES)('$name', ({ name, path }) => {
  it.each(LOOKS)('on a $size in $theme', async (look) => {
    const { page, close } = await open(path(await theJob()), look);
    await page.waitForLoadState('networkidle');
    await picture(page, name, look);
    await expectNoSideways(page);
    if (look.size === 'phone') await expectTouchable(page);
    await expectAccessible(page);
    await close();
  });

  it('at 320 px', async () => {
    const { page, close } = await open(path(await theJob()), { size: 'narrow' });
    await page.waitForLoadState('networkidle');
    await expectNoSideways(page);
    await close();
  });
});
