// The Fit page in a browser: findings and their remedies, the drawing and what can be done in it.

import type { Page } from 'playwright-core';
import { expect, test } from 'vitest';

import type { Body, Finding, Findings, JobView, Remedy, Scene } from '../../src/api/schema';
import {
  demoJob,
  expectAccessible,
  expectNoSideways,
  jobWithCircuit,
  LOOKS,
  newJob,
  open,
  picture,
  send,
  server,
  useBrowser,
} from './harness';

useBrowser();

const INCH_M = 0.0254;

test('findings stand worst first, and can be narrowed by verdict, trade and words', async () => {
  const job = await demoJob();
  const { page, close } = await open(`/job/${job}/fit?room=living`);
  const rows = page.locator('.finding');
  await rows.first().waitFor();
  expect(await rows.first().textContent()).toContain('fails');
  expect(await rows.allTextContents()).not.toContainEqual(expect.stringContaining('fits'));
  await page.getByRole('button', { name: /^Show the \d+ that fit$/ }).click();
  expect(await rows.last().textContent()).toContain('fits');
  const all = await rows.count();

  await page.getByRole('button', { name: /\d+ fails/ }).click();
  const failing = await rows.count();
  expect(failing).toBeLessThan(all);
  for (const text of await rows.allTextContents()) expect(text).toContain('fails');

  await page.getByLabel('Words').fill('sconce');
  await expect.poll(() => rows.count()).toBeLessThan(failing);
  for (const text of await rows.allTextContents()) expect(text).toMatch(/sconce/i);
  expect(page.url()).toContain('q=sconce');
  await close();
});

test('a room that fits does not hide what is unknown of the house', async () => {
  const job = await jobWithCircuit();
  const { page, close } = await open(`/job/${job}/fit`, { size: 'phone' });
  const { findings } = await ask<Findings>(`/api/jobs/${job}/findings`);
  const outside = findings.filter(({ space, verdict }) => space === null && verdict === 'unknown');
  expect(outside.length).toBe(1);
  expect(findings.some(({ space, verdict }) => space !== null && verdict !== 'fits')).toBe(false);
  await page.getByText('All that is shown fits.').waitFor();
  expect(await page.getByText('All of it fits.').count()).toBe(0);
  await picture(page, 'fit-hidden', { size: 'phone' });
  await page.getByRole('button', { name: '1 unknown outside this room: show' }).tap();
  await page.locator('.finding').filter({ hasText: 'unknown' }).waitFor();
  expect(await page.getByText('outside this room').count()).toBe(0);
  await close();
});

test('pressing a finding rings what it speaks of in a drawing that shows it, and Back undoes the selection', async () => {
  const job = await demoJob();
  const finding = await findingOf(
    job,
    (one) => one.space === 'living' && one.verdict === 'fails' && one.about.length === 2,
  );
  const { page, close } = await open(`/job/${job}/fit?room=living&view=ceiling`);
  await row(page, finding).click();
  await page.locator('.finding-detail').waitFor();
  await expect.poll(() => page.locator('.ring').count()).toBe(2);
  for (const body of finding.about) expect(await element(page, body).locator('.ring').count()).toBe(1);
  expect(new URL(page.url()).searchParams.get('finding')).toBe(finding.key);
  expect(page.url()).not.toContain('view=ceiling');
  await page.goBack();
  await expect.poll(() => page.locator('.ring').count()).toBe(0);
  expect(page.url()).toContain('view=ceiling');
  await close();
});

test('a finding that is pressed before its room is drawn is ringed once it is', async () => {
  const job = await demoJob();
  const finding = await findingOf(
    job,
    (one) => one.space === 'living' && one.verdict === 'fails' && one.about.length === 2,
  );
  const { page, close } = await open(`/job/${job}`);
  let drawn = () => {};
  const waits = new Promise<void>((resolve) => (drawn = resolve));
  await page.route('**/spaces/*/scene', async (route) => {
    await waits;
    await route.continue();
  });
  await page.goto(new URL(`/job/${job}/fit?room=living&view=ceiling`, page.url()).href);
  await row(page, finding).click();
  await page.locator('.finding-detail').waitFor();
  drawn();
  await expect.poll(() => page.locator('.ring').count()).toBe(2);
  await close();
});

test('a link restores room, drawing, selection and finding', async () => {
  const job = await demoJob();
  const finding = await findingOf(
    job,
    (one) => one.space === 'loft' && one.about.some((id) => id.startsWith('item:')),
  );
  const at = finding.about.find((id) => id.startsWith('item:')) ?? '';
  const query = new URLSearchParams({ room: 'loft', view: 'screen-wall', at, finding: finding.key });
  const { page, close } = await open(`/job/${job}/fit?${query}`);
  await page.locator('.finding-detail').waitFor();
  expect(await page.locator('.finding[aria-expanded="true"]').textContent()).toContain(finding.subject.label);
  expect(await page.getByRole('application').getAttribute('aria-label')).toContain('Screen wall');
  expect(await page.locator('.body-panel').count()).toBe(1);
  await close();
});

test('each kind of remedy is applied by one press and taken back by one', async () => {
  const job = await demoJob();
  const { findings } = await ask<Findings>(`/api/jobs/${job}/findings`);
  for (const [kind, { finding, remedy }] of kindsOf(findings)) {
    const before = await fileOf(job);
    const query = new URLSearchParams({ where: 'all', finding: finding.key });
    const { page, close } = await open(`/job/${job}/fit?${query}`);
    const detail = page.locator('.finding-detail');
    await detail.getByText('Then it').first().waitFor();
    const full = await ask<Finding>(`/api/jobs/${job}/findings/${encodeURIComponent(finding.key)}`);
    const effect = full.remedies.find(({ id }) => id === remedy.id)?.effect;
    const revision = (await view(job)).revision;
    await detail.getByRole('button', { name: remedy.says, exact: true }).click();
    await expect.poll(async () => (await view(job)).revision, { message: kind }).toBeGreaterThan(revision);
    const mended = (await ask<Findings>(`/api/jobs/${job}/findings`)).findings.find(
      ({ key }) => key === finding.key,
    );
    // What is no longer asked has nothing left to fail.
    expect(mended?.verdict ?? 'fits', kind).toBe(effect?.verdict);
    await page.getByRole('button', { name: /^Undo: / }).click();
    await expect.poll(() => fileOf(job), { message: kind }).toBe(before);
    await close();
  }
}, 600_000);

test('a thing is dragged by mouse, its findings change on the way, and the release saves once', async () => {
  const job = await demoJob();
  const { page, close } = await open(`/job/${job}/fit?room=living&view=hearth`);
  const before = await bodyOf(job, 'living', 'item:tv');
  const [x, y] = await middle(page, 'item:tv');
  const perMetre = await scaleOf(page, before);
  await page.mouse.move(x, y);
  await page.mouse.down();
  for (let i = 1; i <= 20; i++) await page.mouse.move(x + i * 4, y - i);
  await page.getByRole('heading', { name: 'If it is put down here' }).waitFor();
  expect(await page.locator('.distances .dimension').count()).toBe(4);
  const revision = (await view(job)).revision;
  await page.keyboard.down('Alt');
  await page.mouse.move(x + 84, y - 20);
  await page.mouse.up();
  await page.keyboard.up('Alt');
  await expect.poll(async () => (await view(job)).revision).toBe(revision + 1);
  const after = await bodyOf(job, 'living', 'item:tv');
  expect(left(after) - left(before)).toBeCloseTo(84 / perMetre, 2);
  await page.getByRole('button', { name: /^Undo: / }).click();
  await expect.poll(async () => left(await bodyOf(job, 'living', 'item:tv'))).toBeCloseTo(left(before), 6);
  await close();
});

test('Escape puts a dragged thing back and saves nothing', async () => {
  const job = await demoJob();
  const { page, close } = await open(`/job/${job}/fit?room=living&view=hearth`);
  const revision = (await view(job)).revision;
  const [x, y] = await middle(page, 'item:tv');
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x + 60, y + 10, { steps: 5 });
  await element(page, 'item:tv').and(page.locator('[transform]')).waitFor();
  await page.keyboard.press('Escape');
  await page.mouse.up();
  expect(await element(page, 'item:tv').getAttribute('transform')).toBeNull();
  expect((await view(job)).revision).toBe(revision);
  await close();
});

test('a finger drags on a phone', async () => {
  const job = await demoJob();
  const { page, close } = await open(`/job/${job}/fit?room=living&view=hearth`, { size: 'phone' });
  await page.getByRole('button', { name: 'Open the drawing' }).click();
  await element(page, 'item:tv').waitFor();
  const before = await bodyOf(job, 'living', 'item:tv');
  const [x, y] = await middle(page, 'item:tv');
  const touch = await page.context().newCDPSession(page);
  const finger = (type: 'touchStart' | 'touchMove' | 'touchEnd', dx: number) =>
    touch.send('Input.dispatchTouchEvent', {
      type,
      touchPoints: type === 'touchEnd' ? [] : [{ x: x + dx, y }],
    });
  await finger('touchStart', 0);
  for (let dx = 5; dx <= 40; dx += 5) await finger('touchMove', dx);
  await finger('touchEnd', 40);
  await expect
    .poll(async () => left(await bodyOf(job, 'living', 'item:tv')))
    .toBeGreaterThan(left(before) + 0.1);
  await page.getByRole('button', { name: 'To the findings' }).click();
  expect(await page.locator('dialog').count()).toBe(0);
  await close();
});

test('two fingers zoom the drawing and move nothing in it', async () => {
  const job = await demoJob();
  const { page, close } = await open(`/job/${job}/fit?room=living&view=hearth&drawing=open`, {
    size: 'phone',
  });
  const [x, y] = await middle(page, 'item:tv');
  const wide = async () => (await element(page, 'item:tv').locator('.outline').boundingBox())?.width ?? 0;
  const before = await wide();
  const touch = await page.context().newCDPSession(page);
  const fingers = (type: 'touchStart' | 'touchMove' | 'touchEnd', apart: number) =>
    touch.send('Input.dispatchTouchEvent', {
      type,
      touchPoints: type === 'touchEnd' ? [] : [-apart, apart].map((off, id) => ({ x: x + off, y, id })),
    });
  await fingers('touchStart', 30);
  for (let apart = 35; apart <= 90; apart += 5) await fingers('touchMove', apart);
  await fingers('touchEnd', 90);
  await expect.poll(wide).toBeGreaterThan(before * 2);
  expect((await view(job)).undo).toBeNull();
  await close();
});

test('keys alone walk the drawing, pick a thing up, move it by steps and put it down', async () => {
  const job = await demoJob();
  const { page, close } = await open(`/job/${job}/fit?room=living&view=hearth`);
  const before = await bodyOf(job, 'living', 'item:tv');
  await element(page, 'item:tv').waitFor();
  await page.locator('[data-stop][tabindex="0"]').focus();
  for (let i = 0; i < 30 && (await focused(page)) !== 'item:tv'; i++) await page.keyboard.press('ArrowRight');
  expect(await focused(page)).toBe('item:tv');
  await page.keyboard.press('Enter');
  await expect.poll(() => status(page)).toContain('picked up');
  for (let i = 0; i < 3; i++) await page.keyboard.press('ArrowRight');
  await page.keyboard.press('Shift+ArrowLeft');
  await page.keyboard.press('ArrowUp');
  await expect.poll(() => page.locator('.move-changes').count()).toBe(1);
  await page.keyboard.press('Enter');
  const moved = (3 - 1 / 8) * INCH_M;
  await expect
    .poll(async () => left(await bodyOf(job, 'living', 'item:tv')))
    .toBeCloseTo(left(before) + moved, 3);
  expect(bottom(await bodyOf(job, 'living', 'item:tv')) - bottom(before)).toBeCloseTo(INCH_M, 3);
  expect(await focused(page)).toBe('item:tv');

  const revision = (await view(job)).revision;
  await page.keyboard.press('Enter');
  await page.keyboard.press('PageDown');
  await page.keyboard.press('Escape');
  expect((await view(job)).revision).toBe(revision);
  await close();
});

test('whatever a drag does can be typed or stepped', async () => {
  const job = await demoJob();
  const { page, close } = await open(`/job/${job}/fit?room=living&view=hearth&at=item:tv`);
  const before = await bodyOf(job, 'living', 'item:tv');
  await page.getByRole('button', { name: /right$/ }).click();
  await expect
    .poll(async () => left(await bodyOf(job, 'living', 'item:tv')))
    .toBeCloseTo(left(before) + INCH_M, 3);
  const field = page.getByLabel('From the left corner');
  const written = await field.inputValue();
  await field.fill('no length at all');
  await field.press('Enter');
  await page.locator('.body-fields .field-error').waitFor();
  expect(await field.inputValue()).toBe('no length at all');
  await field.fill(`9' 1"`);
  await field.press('Enter');
  await expect.poll(() => page.locator('.body-fields .field-error').count()).toBe(0);
  await expect.poll(async () => fileOf(job)).toMatch(/9' 1"|9′ 1″/);
  expect(written).not.toBe('');
  await close();
});

test('what arrives while a field is marked leaves the mark, and is shown when the field is left', async () => {
  const job = await demoJob();
  const { page, close } = await open(`/job/${job}/fit?room=living&view=hearth&at=item:tv`);
  const field = page.getByLabel('From the left corner');
  const drawn = () => element(page, 'item:tv').innerHTML();
  const stepWhileMarked = async (way: RegExp) => {
    const before = await drawn();
    // The save takes its time: the field is marked before its answer is here.
    let answer = () => {};
    const marked = new Promise<void>((resolve) => (answer = resolve));
    await page.route('**/edits', (route) => marked.then(() => route.continue()), { times: 1 });
    await page.getByRole('button', { name: way }).click();
    await field.selectText();
    answer();
    // Drawing and fields are of one answer.
    await expect.poll(drawn).not.toBe(before);
  };
  const written = await field.inputValue();
  await stepWhileMarked(/right$/);
  expect(await field.inputValue()).toBe(written);
  await field.blur();
  await expect.poll(() => field.inputValue()).not.toBe(written);

  await stepWhileMarked(/left$/);
  await page.keyboard.type('7');
  expect(await field.inputValue()).toBe('7');
  await close();
});

test('kit is put into a room that has none, moved into place, and taken out', async () => {
  await send('PUT', '/api/catalogue/loudspeaker/on-wall-t2', {
    facts: { name: 'On-wall T2', form: 'on-wall', size: ['8"', '12"', '5"'], mass: '9 lb' },
  });
  const lengths = ["12'", "10'", "12'", "10'"];
  const job = await newJob({ from: 'blank', name: 'Quay Row 6', room: 'Den', lengths, height: "8'", units: 'imperial' });
  const { page, close } = await open(`/job/${job}/load`);
  await page.getByRole('link', { name: 'Put kit into a room' }).click();
  const dialog = page.getByRole('dialog', { name: 'Add to Den' });
  await dialog.getByLabel('What', { exact: true }).selectOption({ label: 'On-wall T2, loudspeaker, from the catalogue' });
  await dialog.getByLabel('Name').fill('Left speaker');
  await dialog.getByLabel('Where').selectOption({ label: 'on Front' });
  await expectAccessible(page);
  await picture(page, 'fit-add');
  await dialog.getByRole('button', { name: 'Add Left speaker' }).click();
  await page.getByRole('heading', { name: 'Left speaker' }).waitFor();
  const body = await bodyOf(job, 'den', 'item:left-speaker');
  expect(left(body) + 0.1016).toBeCloseTo(6 * 12 * INCH_M, 3);
  await page.getByRole('button', { name: /right$/ }).click();
  await expect
    .poll(async () => left(await bodyOf(job, 'den', 'item:left-speaker')) - left(body))
    .toBeCloseTo(INCH_M, 3);
  // A second one, of kit that the job has by now, on the floor of the room's middle.
  await page.getByRole('button', { name: 'Add to the room' }).click();
  await dialog.getByLabel('What', { exact: true }).selectOption({ label: 'On-wall T2, loudspeaker' });
  await dialog.getByLabel('Where').selectOption({ label: 'on the floor' });
  await dialog.getByRole('button', { name: 'Add On-wall T2' }).click();
  await page.getByRole('heading', { name: 'On-wall T2' }).waitFor();
  const [x, y] = (await bodyOf(job, 'den', 'item:on-wall-t2')).centre ?? [0, 0];
  expect([x, Math.abs(y)]).toEqual([expect.closeTo(72 * INCH_M, 2), expect.closeTo(60 * INCH_M, 2)]);
  await page.getByRole('button', { name: 'Take it out of the job: On-wall T2' }).click();
  await expect.poll(async () => (await fileOf(job)).includes('on-wall-t2"\nname')).toBe(false);
  await page.getByRole('heading', { name: 'On-wall T2' }).waitFor({ state: 'detached' });
  await close();
});

test('a thing in plan keeps to its floor, and snaps to a line that says why', async () => {
  const job = await demoJob();
  const { page, close } = await open(`/job/${job}/fit?room=living&view=plan`);
  const before = await bodyOf(job, 'living', 'seat:sofa-left');
  const [x, y] = await middle(page, 'seat:sofa-left');
  await page.mouse.move(x, y);
  await page.mouse.down();
  const seen = new Set<string>();
  for (let i = 1; i <= 60; i++) {
    await page.mouse.move(x + i * 2, y + 1);
    for (const why of await page.locator('.snap text').allTextContents()) seen.add(why);
  }
  await page.mouse.up();
  expect(seen.size).toBeGreaterThan(0);
  expect([...seen].every((why) => why.length > 3)).toBe(true);
  await expect
    .poll(async () => centre(await bodyOf(job, 'living', 'seat:sofa-left'))[0])
    .toBeGreaterThan(centre(before)[0] + 0.2);
  await close();
});

test('a window is dragged along its wall with its dimensions, and a door by keys keeps to the floor', async () => {
  const job = await demoJob();
  const window = await openingOf(job, 'window');
  const { page, close } = await open(`/job/${job}/fit?room=${window.space}&view=${window.wall}`);
  const before = await bodyOf(job, window.space, window.id);
  const [x, y] = await openPlace(page, window.id);
  const perMetre = await scaleOf(page, before);
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.keyboard.down('Alt');
  await page.mouse.move(x + 24, y, { steps: 6 });
  await page.getByRole('heading', { name: 'If it is put down here' }).waitFor();
  expect(await page.locator('.distances .dimension').count()).toBe(4);
  const revision = (await view(job)).revision;
  await page.mouse.up();
  await page.keyboard.up('Alt');
  await expect.poll(async () => (await view(job)).revision).toBe(revision + 1);
  const after = await bodyOf(job, window.space, window.id);
  expect(left(after) - left(before)).toBeCloseTo(24 / perMetre, 2);
  expect(bottom(after)).toBe(bottom(before));
  await page.getByRole('button', { name: /^Undo: / }).click();
  await expect.poll(async () => left(await bodyOf(job, window.space, window.id))).toBe(left(before));

  const door = await openingOf(job, 'door');
  await page.goto(`/job/${job}/fit?room=${door.space}&view=${door.wall}&at=${door.id}`);
  const stood = await bodyOf(job, door.space, door.id);
  await page.getByRole('group', { name: /^Move .* by a step$/ }).waitFor();
  expect(await page.getByRole('button', { name: /up$/ }).count()).toBe(0);
  await page.locator(`[data-stop="${door.id}"]`).focus();
  await page.keyboard.press('Enter');
  await expect.poll(() => status(page)).toContain('picked up');
  await page.keyboard.press('ArrowUp');
  await page.keyboard.press('ArrowRight');
  await page.keyboard.press('Enter');
  await expect
    .poll(async () => left(await bodyOf(job, door.space, door.id)) - left(stood))
    .toBeCloseTo(INCH_M, 3);
  expect(bottom(await bodyOf(job, door.space, door.id))).toBe(bottom(stood));
  await close();
});

test('in the plan an opening runs along its wall', async () => {
  const job = await demoJob();
  const window = await openingOf(job, 'window');
  const { page, close } = await open(`/job/${job}/fit?room=${window.space}&view=plan&at=${window.id}`);
  const before = await bodyOf(job, window.space, window.id);
  const [x, y] = await openPlace(page, window.id);
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.keyboard.down('Alt');
  // Along whichever way its wall runs.
  await page.mouse.move(x + 20, y + 20, { steps: 6 });
  await page.locator('.distances .dimension').nth(1).waitFor();
  await page.mouse.up();
  await page.keyboard.up('Alt');
  await expect
    .poll(async () => Math.abs(left(await bodyOf(job, window.space, window.id)) - left(before)))
    .toBeGreaterThan(0.05);
  expect((await bodyOf(job, window.space, window.id)).wall).toBe(window.wall);
  await close();
});

test('the margins of listed findings move with the thing that is dragged', async () => {
  const job = await demoJob();
  const finding = await findingOf(
    job,
    (one) => one.check === 'cutout-framing' && one.about.includes('item:front-r') && one.margin !== null,
  );
  const { page, close } = await open(
    `/job/${job}/fit?room=loft&view=screen-wall&finding=${encodeURIComponent(finding.key)}`,
  );
  const listed = page.locator('.finding[aria-expanded="true"] .finding-by');
  await listed.waitFor();
  expect(await listed.textContent()).toBe(finding.margin_text);
  const drawnMargin = page.locator('.margin-bar svg');
  const before = await drawnMargin.getAttribute('aria-label');
  const [x, y] = await middle(page, 'item:front-r');
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.keyboard.down('Alt');
  await page.mouse.move(x - 30, y, { steps: 6 });
  await expect.poll(() => listed.textContent()).not.toBe(finding.margin_text);
  expect(await drawnMargin.getAttribute('aria-label')).not.toBe(before);
  await page.keyboard.press('Escape');
  await expect.poll(() => listed.textContent()).toBe(finding.margin_text);
  await close();
});

test('the line between drawing and findings moves by pointer and by keys, and stays', async () => {
  const job = await demoJob();
  const { page, close } = await open(`/job/${job}/fit`);
  const line = page.getByRole('separator', { name: 'Width of the drawing' });
  const share = async () => Number(await line.getAttribute('aria-valuenow'));
  const usual = await share();
  await line.focus();
  await page.keyboard.press('ArrowLeft');
  expect(await share()).toBe(usual - 2);
  const box = await line.boundingBox();
  if (!box) throw new Error('the line is drawn');
  await page.mouse.move(box.x + 4, box.y + 200);
  await page.mouse.down();
  await page.mouse.move(box.x - 140, box.y + 200, { steps: 4 });
  await page.mouse.up();
  const moved = await share();
  expect(moved).toBeLessThan(usual - 6);
  await page.reload();
  await line.waitFor();
  expect(await share()).toBe(moved);
  await close();
});

test('a wall is opened from the plan, and the sheet zooms and fits', async () => {
  const job = await demoJob();
  const { page, close } = await open(`/job/${job}/fit?room=living&view=plan`);
  const wide = async () => (await element(page, 'seat:sofa-left').boundingBox())?.width ?? 0;
  const fitted = await wide();
  await page.mouse.move(...(await middle(page, 'seat:sofa-left')));
  await page.mouse.wheel(0, -400);
  await expect.poll(wide).toBeGreaterThan(fitted * 1.5);
  await page.locator('[data-stop][tabindex="0"]').focus();
  await page.keyboard.press('0');
  await expect.poll(wide).toBeCloseTo(fitted, 0);
  await page.getByRole('button', { name: 'Open the wall garden', exact: false }).click();
  await expect.poll(() => page.url()).toContain('view=garden');
  await close();
});

test('no name in any drawing of the house covers another', async () => {
  const job = await demoJob();
  const { page, close } = await open(`/job/${job}/fit`);
  for (const { id: room } of (await view(job)).spaces) {
    const { walls } = await ask<Scene>(`/api/jobs/${job}/spaces/${room}/scene`);
    for (const drawing of ['plan', 'ceiling', ...walls.filter((wall) => !wall.open).map((wall) => wall.id)]) {
      await page.goto(`/job/${job}/fit?room=${room}&view=${drawing}`);
      await page.locator('.sheet-block').waitFor();
      const names: { text: string; left: number; right: number; top: number; bottom: number }[] =
        await page.evaluate(`[...document.querySelectorAll('.labels text')].map((name) => {
          const { left, right, top, bottom } = name.getBoundingClientRect();
          return { text: name.textContent, left, right, top: top + 3, bottom: bottom - 3 };
        })`);
      for (const a of names) {
        const under = names.filter(
          (b) => a !== b && a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom,
        );
        expect(
          under.map(({ text }) => text),
          `${room}, ${drawing}: under ${a.text}`,
        ).toEqual([]);
      }
    }
  }
  await close();
});

test('the room in three dimensions opens when asked for, with its words below', async () => {
  const job = await demoJob();
  const { page, close } = await open(`/job/${job}/fit?room=loft`);
  expect(await page.locator('canvas').count()).toBe(0);
  await page.getByRole('button', { name: '3-D' }).click();
  await page.locator('.space-3d canvas').waitFor();
  await page.getByText('In words').click();
  await page.locator('.space-3d li').first().waitFor();
  await picture(page, 'fit-3d');
  await close();
});

test('without WebGL the page says so and goes on', async () => {
  const job = await demoJob();
  const { page } = await open(`/job/${job}/fit?room=loft`);
  await page.evaluate('HTMLCanvasElement.prototype.getContext = () => null');
  await page.getByRole('button', { name: '3-D' }).click();
  await page.getByText('draws nothing in three dimensions').waitFor();
  await page.getByRole('button', { name: 'Plan', exact: true }).click();
  await element(page, 'seat:front-middle').waitFor();
  // The three-dimensional library logs the failure as an error, which `close` would count.
  await page.context().close();
});

test('the manual of a finding has formula, limits, source and the numbers of this job', async () => {
  const job = await demoJob();
  const finding = await findingOf(job, (one) => one.check === 'throw-ratio');
  const { page, close } = await open(`/job/${job}/fit?where=all&finding=${encodeURIComponent(finding.key)}`);
  await page.getByRole('link', { name: /^Why/ }).click();
  await page.getByRole('heading', { name: 'How it is computed' }).waitFor();
  await page.getByText(finding.because).waitFor();
  expect((await page.locator('.formula').textContent())?.length).toBeGreaterThan(5);
  await picture(page, 'fit-why');
  await page.getByRole('link', { name: 'Back to the drawing' }).click();
  await page.locator('.finding-detail').waitFor();
  await close();
});

for (const look of LOOKS) {
  test(`the page is accessible and keeps to its screen, ${look.size} ${look.theme}`, async () => {
    const job = await demoJob();
    const finding = await findingOf(
      job,
      (one) => one.space === 'living' && one.verdict === 'fails' && one.remedies.length > 1,
    );
    const queries = {
      plan: 'room=loft',
      wall: `room=living&view=hearth&at=item:tv&finding=${encodeURIComponent(finding.key)}`,
      ceiling: 'room=loft&view=ceiling',
    };
    for (const [name, query] of Object.entries(queries)) {
      const { page, close } = await open(`/job/${job}/fit?${query}`, look);
      await page.locator('.finding').first().waitFor();
      await page.waitForLoadState('networkidle');
      await expectNoSideways(page);
      await expectAccessible(page);
      await picture(page, `fit-${name}`, look);
      if (look.size === 'phone') {
        await page.getByRole('button', { name: 'Open the drawing' }).click();
        await page.locator('.board [data-body]').first().waitFor();
        await expectAccessible(page);
        await picture(page, `fit-${name}-drawing`, look);
      }
      await close();
    }
    const why = await open(`/job/${job}/why/${encodeURIComponent(finding.key)}`, look);
    await why.page.getByRole('heading', { name: 'What it proves' }).waitFor();
    await expectNoSideways(why.page);
    await expectAccessible(why.page);
    await why.close();
  });
}

test('nothing is cut off at 320 px or at twice the size', async () => {
  const job = await demoJob();
  const { page, close } = await open(`/job/${job}/fit?room=living&view=hearth&at=item:tv`);
  for (const viewport of [
    { width: 320, height: 640 },
    { width: 720, height: 450 },
  ]) {
    await page.setViewportSize(viewport);
    await page.locator('.finding').first().waitFor();
    await expectNoSideways(page);
  }
  await close();
});

// -------------------------------------------------------------------------------------- helpers

test('what a finding waits for is typed beside it, or its place in the walk is a press away', async () => {
  const job = await demoJob();
  const waits = (at: string) => findingOf(job, ({ needs }) => needs[0]?.at === at);
  const noise = await waits('kit.projector.projector-p3.noise_octaves');
  const { page, close } = await open(`/job/${job}/fit?room=loft&finding=${encodeURIComponent(noise.key)}`);
  const field = page.locator('.needs input');
  await field.fill('40, 36, 33, 30, 27, 24, 20, 18');
  await field.press('Enter');
  await expect.poll(async () => (await findingOf(job, ({ key }) => key === noise.key)).verdict).not.toBe('unknown');

  const heat = await waits('kit.mount.arm-a2.rated_to');
  await page.goto(`${server()}/job/${job}/fit?room=living&finding=${encodeURIComponent(heat.key)}`);
  await field.fill('warm');
  await field.press('Enter');
  await page.getByText('is not a number').waitFor();
  expect(await field.inputValue()).toBe('warm');

  const burnt = await waits('space.living.fixture.firebox.reading');
  await page.goto(`${server()}/job/${job}/fit?room=living&finding=${encodeURIComponent(burnt.key)}`);
  await page.getByRole('link', { name: 'Type it in Walk' }).click();
  await expect.poll(() => page.evaluate(() => document.activeElement?.getAttribute('data-at'))).toContain('firebox');
  await close();
});

async function ask<T>(path: string): Promise<T> {
  const response = await fetch(server() + path);
  if (!response.ok) throw new Error(`${path}: ${response.status} ${await response.text()}`);
  const body: unknown = await response.json();
  return body as T; // The route's own shape.
}

const view = (job: string) => ask<JobView>(`/api/jobs/${job}`);

async function fileOf(job: string): Promise<string> {
  return (await fetch(`${server()}/api/jobs/${job}/file`)).text();
}

async function findingOf(job: string, wanted: (finding: Finding) => boolean): Promise<Finding> {
  const { findings } = await ask<Findings>(`/api/jobs/${job}/findings`);
  const found = findings.find(wanted);
  if (!found) throw new Error('the demo house has no such finding');
  return found;
}

/** One remedy of each kind: by what part of the job it edits, and whether it sets or takes away. */
function kindsOf(findings: readonly Finding[]): Map<string, { finding: Finding; remedy: Remedy }> {
  const kinds = new Map<string, { finding: Finding; remedy: Remedy }>();
  for (const finding of findings) {
    for (const remedy of finding.remedies) {
      const parts = remedy.edits.map(
        ({ at, set }) => `${at.split('.')[0]} ${set === null ? 'taken away' : typeof set}`,
      );
      const kind = [...new Set(parts)].sort().join(', ');
      if (remedy.edits.length > 0 && !kinds.has(kind)) kinds.set(kind, { finding, remedy });
    }
  }
  expect(kinds.size).toBeGreaterThan(4);
  return kinds;
}

async function bodyOf(job: string, space: string, id: string): Promise<Body> {
  const { bodies } = await ask<Scene>(`/api/jobs/${job}/spaces/${space}/scene`);
  const found = bodies.find((body) => body.id === id);
  if (!found) throw new Error(`${space} has no ${id}`);
  return found;
}

/** An opening of a kind in the demo house that has room beside it, and where it is. */
async function openingOf(job: string, is: string): Promise<{ space: string; wall: string; id: string }> {
  for (const { id: space } of (await view(job)).spaces) {
    const { bodies, walls } = await ask<Scene>(`/api/jobs/${job}/spaces/${space}/scene`);
    for (const { id, kind, is: one, wall, on_wall } of bodies) {
      const long = walls.find((each) => each.id === wall)?.length_m ?? 0;
      if (kind === 'opening' && one === is && wall !== null && on_wall !== null && on_wall.right < long - 0.4)
        return { space, wall, id };
    }
  }
  throw new Error(`the demo house has no ${is} that can be moved`);
}

/** A place of an opening that nothing stands before. */
async function openPlace(page: Page, body: string): Promise<[number, number]> {
  const outline = element(page, body).locator('.outline');
  await outline.waitFor();
  const box = await outline.boundingBox();
  if (!box) throw new Error(`${body} is not drawn`);
  for (const [across, up] of [
    [0.5, 0.5],
    [0.2, 0.3],
    [0.8, 0.7],
    [0.1, 0.9],
  ] as const) {
    const at: [number, number] = [box.x + box.width * across, box.y + box.height * up];
    const found: string | null = await page.evaluate(
      `document.elementFromPoint(${at.join(',')})?.closest('[data-body]')?.getAttribute('data-body') ?? null`,
    );
    if (found === body) return at;
  }
  throw new Error(`${body} is covered`);
}

function left({ on_wall }: Body): number {
  if (!on_wall) throw new Error('it is on no wall');
  return on_wall.left;
}

function bottom({ on_wall }: Body): number {
  if (!on_wall) throw new Error('it is on no wall');
  return on_wall.bottom;
}

function centre({ outline }: Body): [number, number] {
  if (!outline) throw new Error('it has no outline');
  const sum = outline.reduce((all, [x, y]) => [(all[0] ?? 0) + x, (all[1] ?? 0) + y], [0, 0]);
  return [(sum[0] ?? 0) / outline.length, (sum[1] ?? 0) / outline.length];
}

function element(page: Page, body: string) {
  return page.locator(`[data-body="${body}"]`);
}

function row(page: Page, finding: Finding) {
  return page
    .locator('.finding')
    .filter({ hasText: finding.subject.label })
    .filter({ hasText: finding.title })
    .filter({ hasText: finding.because })
    .first();
}

async function middle(page: Page, body: string): Promise<[number, number]> {
  const outline = element(page, body).locator('.outline');
  await outline.waitFor();
  const box = await outline.boundingBox();
  if (!box) throw new Error(`${body} is not drawn`);
  return [box.x + box.width / 2, box.y + box.height / 2];
}

/** Pixels to a metre, from how wide a thing on a wall is drawn. */
async function scaleOf(page: Page, body: Body): Promise<number> {
  const wide: number = await page.evaluate(
    `document.querySelector('[data-body="${body.id}"] .outline').getBBox().width`,
  );
  if (!body.on_wall) throw new Error('it is on no wall');
  return wide / (body.on_wall.right - body.on_wall.left);
}

function focused(page: Page): Promise<string | null> {
  return page.evaluate('document.activeElement.getAttribute("data-body")');
}

async function status(page: Page): Promise<string> {
  return (await page.locator('.status').textContent()) ?? '';
}
