// Racks, circuits, the signal diagram, buttons and cut-outs: drawn on the page, after each change anew.

import { readFileSync } from 'node:fs';
import { join } from 'node:path';

import { expect, it } from 'vitest';

import type { JobView, Wiring } from '../../src/api/schema';
import {
  expectAccessible,
  expectNoSideways,
  expectTouchable,
  LOOKS,
  newJob,
  open,
  picture,
  send,
  server,
  useBrowser,
} from './harness';

useBrowser();

const HOUSE = readFileSync(join(import.meta.dirname, '../../../jobs/harbour-lane-settled.toml'), 'utf8');

function house(): Promise<string> {
  return newJob({ from: 'text', text: HOUSE });
}

async function ask<T>(path: string): Promise<T> {
  return (await (await fetch(`${server()}/api/jobs/${path}`)).json()) as T; // The route's own shape.
}

it('draws circuits and racks, follows a change, and leads to the thing that is pressed', async () => {
  const job = await house();
  const { page, close } = await open(`/job/${job}/house`);
  const wired = await ask<Wiring>(`${job}/wiring`);
  const circuits = page.getByRole('region', { name: 'Load of each circuit' });
  for (const { load_text } of wired.circuits) await circuits.getByText(load_text).waitFor();
  const racks = page.getByRole('region', { name: 'Racks by units' });
  const [rack] = wired.racks;
  const [top] = rack?.things ?? [];
  if (!rack || !top) throw new Error('the house has a rack with something in it');
  const front = racks.getByRole('list', { name: new RegExp(`^${rack.rack.label}`) });
  await front.getByText(`${1 + top.slot + top.units - 1}–${rack.slots} free`).waitFor();
  // One unit higher, as somebody else saves it.
  const { revision } = await ask<JobView>(job);
  await send('POST', `/api/jobs/${job}/edits`, {
    op: 'higher',
    base: revision,
    edits: [{ at: `item.${top.thing.id}.slot`, set: top.slot + 1 }],
  });
  await page.reload();
  await front.getByText(`${1 + top.slot + top.units}–${rack.slots} free`).waitFor();
  await front.getByRole('link', { name: new RegExp(top.thing.label) }).click();
  await page.waitForURL(/\/fit\?/);
  expect(new URL(page.url()).searchParams.get('at')).toBe(`item:${top.thing.id}`);
  await page.getByRole('region', { name: top.thing.label, exact: true }).waitFor();
  await page.goBack();
  const [circuit] = wired.circuits;
  await circuits.getByRole('link', { name: new RegExp(`^${circuit?.circuit.label}`) }).click();
  await page.waitForURL(/finding=/);
  await page.getByText(/and for hours it may carry/).first().waitFor();
  await close();
});

it('follows an edit on the page itself', async () => {
  const job = await house();
  const { page, close } = await open(`/job/${job}/house`);
  const wired = await ask<Wiring>(`${job}/wiring`);
  const [circuit] = wired.circuits;
  if (!circuit) throw new Error('the house has circuits');
  const facts = page.getByRole('region', { name: 'Mains circuits' });
  await facts.getByText(circuit.circuit.id, { exact: true }).click();
  const breaker = facts.getByLabel('Breaker').first();
  await breaker.fill('30 A');
  await breaker.press('Enter');
  const bars = page.getByRole('region', { name: 'Load of each circuit' });
  await bars.getByText(/of 2880\sW/).first().waitFor();
  await close();
});

it('walks the signal diagram by keys, and a press leads to the thing or the cable’s way', async () => {
  const job = await house();
  const { page, close } = await open(`/job/${job}/house`);
  const diagram = page.getByRole('region', { name: 'Picture, sound, network and control' });
  const drawn = diagram.getByRole('group');
  const first = drawn.getByRole('link').first();
  await first.focus();
  const focused = () => page.evaluate<string>(`document.activeElement.getAttribute('aria-label')`);
  const names = await drawn.getByRole('link').evaluateAll((links) => links.map((link) => link.getAttribute('aria-label')));
  await page.keyboard.press('ArrowRight');
  expect(await focused()).toBe(names[1]);
  await page.keyboard.press('End');
  expect(await focused()).toBe(names.at(-1));
  await page.keyboard.press('Enter');
  await page.waitForURL(/cable=/);
  await page.getByRole('region', { name: 'Ways of cables' }).waitFor();
  await page.goBack();
  const wired = await ask<Wiring>(`${job}/wiring`);
  const box = wired.diagram?.boxes.find(({ things }) => things.length === 1);
  await drawn.getByRole('link', { name: box?.label ?? '', exact: true }).click();
  await page.waitForURL(/at=item/);
  await close();
});

it('says what each button does on Hand over, and shows holes and racks on the day', async () => {
  const job = await house();
  const wired = await ask<Wiring>(`${job}/wiring`);
  const over = await open(`/job/${job}/handover`);
  for (const { activity, steps } of wired.buttons) {
    const button = over.page.getByRole('region', { name: activity.label, exact: true });
    for (const { thing } of steps) await button.getByRole('link', { name: thing.label, exact: true }).waitFor();
  }
  await over.close();
  const day = await open(`/job/${job}/day`, { size: 'phone' });
  for (const { name, size_text } of wired.cut_outs) {
    await day.page.getByRole('img', { name: `Cut-out of ${name}: ${size_text}` }).waitFor();
  }
  await day.page.getByRole('region', { name: 'Racks by units' }).waitFor();
  await expectNoSideways(day.page);
  await day.close();
});

it('reads in every look', async () => {
  const job = await house();
  for (const look of LOOKS) {
    const { page, close } = await open(`/job/${job}/house`, look);
    await page.getByRole('region', { name: 'Cut-outs' }).waitFor();
    await page.getByText('The same as a list').click();
    await expectAccessible(page);
    await expectNoSideways(page);
    if (look.size === 'phone') await expectTouchable(page);
    await picture(page, 'wiring', look);
    await close();
  }
});
