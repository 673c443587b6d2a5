// The harness itself: its checks can fail.

import { expect, it } from 'vitest';

import { expectAccessible, expectNoSideways, expectTouchable, open, useBrowser } from './harness';

useBrowser();

it('finds a picture without words, a page too wide, a button too small', async () => {
  const { page, close } = await open('/nowhere', { size: 'phone' });
  // Through the style object: the page's policy refuses style attributes.
  await page.evaluate(`
    const put = (tag, style) => Object.assign(document.querySelector('main').appendChild(document.createElement(tag)).style, style);
    put('img', {});
    put('div', { width: '4000px', height: '20px' });
    put('button', { minHeight: '0', height: '20px', display: 'block', width: '80px' });
  `);
  await expect(expectAccessible(page)).rejects.toThrow('image-alt');
  await expect(expectNoSideways(page)).rejects.toThrow('wider');
  await expect(expectTouchable(page)).rejects.toThrow('20 px high');
  await close();
});

it('fails a page that throws', async () => {
  const { page, close } = await open('/nowhere');
  await page.evaluate(
    `new Promise((resolve) => { setTimeout(() => { resolve(); throw new Error('thrown on purpose'); }) })`,
  );
  await expect(close()).rejects.toThrow('thrown on purpose');
});
