// What belongs to no room, entered from nothing: a circuit, a zone, a cable and what they say.

import { expect, it } from 'vitest';

import type { Findings } from '../../src/api/schema';
import { newJob, open, send, server, useBrowser } from './harness';

useBrowser();

async function fileOf(job: string): Promise<string> {
  return (await fetch(`${server()}/api/jobs/${job}/file`)).text();
}

it('enters circuit, zone and cable without a file, and says what is refused', async () => {
  const lengths = ["12'", "10'", "12'", "10'"];
  const job = await newJob({ from: 'blank', name: 'Quay Row 7', room: 'Den', lengths, height: "8'", units: 'imperial' });
  await send('POST', `/api/jobs/${job}/edits`, {
    op: 'kit',
    base: 1,
    summary: 'Kit',
    edits: [
      { at: 'kit.cable', set: [{ id: 'pair-16', name: 'Pair 16', carries: 'loudspeaker', conductor: '16 AWG' }] },
      { at: 'kit.loudspeaker', set: [{ id: 'on-wall-t3', name: 'On-wall T3', impedance: 8 }] },
      { at: 'kit.amplifier', set: [{ id: 'amp-t3', name: 'Amplifier T3', channels: 2 }] },
      {
        at: 'item',
        set: [
          { id: 'left', is: 'on-wall-t3', space: 'den', on: { wall: 'front', from_left: "3'", height: "4'" } },
          { id: 'amp', is: 'amp-t3', space: 'den', at: { from: ['back', "1'"], and: ['left', "1'"] } },
        ],
      },
    ],
  });
  const { page, close } = await open(`/job/${job}/house`);
  const part = (name: string) => page.getByRole('region', { name, exact: true });
  const circuits = part('Mains circuits');
  await circuits.getByText('No circuit is noted').waitFor();
  await circuits.getByRole('button', { name: 'Add a circuit' }).click();
  await circuits.getByText('Name is blank.').waitFor();
  await circuits.getByLabel('Name').fill('c1');
  await circuits.getByRole('button', { name: 'Add this circuit' }).click();
  await circuits.getByText('c1', { exact: true }).click();
  await circuits.getByLabel('Breaker').fill('twenty');
  await circuits.getByLabel('Breaker').press('Enter');
  await circuits.locator('.field-error').waitFor();
  expect(await circuits.getByLabel('Breaker').inputValue()).toBe('twenty');
  await circuits.getByLabel('Breaker').fill('15 A');
  await circuits.getByLabel('Breaker').press('Enter');
  await expect.poll(() => fileOf(job)).toContain('15 A');

  const zones = part('Zones');
  await zones.getByRole('button', { name: 'Add a zone' }).click();
  await zones.getByLabel('Name').fill('film');
  await zones.getByLabel('Space').selectOption({ label: 'Den' });
  await zones.getByRole('button', { name: 'Add this zone' }).click();
  await zones.getByText('film', { exact: true }).click();
  await zones.getByLabel('Amplifiers').fill('amp');
  await zones.getByLabel('Amplifiers').press('Enter');
  await expect.poll(() => fileOf(job)).toContain('amplifiers = ["amp"]');

  const cables = part('Cables');
  await cables.getByRole('button', { name: 'Add a cable' }).click();
  await cables.getByLabel('Name').fill('W01');
  await cables.getByLabel('Kind').selectOption({ label: 'Pair 16' });
  await cables.getByLabel('From').fill('nobody');
  await cables.getByLabel('To').fill('left');
  await cables.getByRole('button', { name: 'Add this cable' }).click();
  await page.getByRole('alert').waitFor();
  expect(await cables.getByLabel('From').inputValue(), 'what was typed stays').toBe('nobody');
  await cables.getByLabel('From').fill('amp');
  await cables.getByRole('button', { name: 'Add this cable' }).click();
  await cables.getByText('W01', { exact: true }).waitFor();
  const response = await fetch(`${server()}/api/jobs/${job}/findings`);
  const { findings } = (await response.json()) as Findings; // The route's own shape.
  expect(findings.map(({ check }) => check)).toContain('wire-loss');

  const site = part('Where the house is');
  await site.getByLabel('Voltage').fill('120 V');
  await site.getByLabel('Voltage').press('Enter');
  await expect.poll(() => fileOf(job)).toContain('120 V');
  await site.getByLabel('Frequency').fill('60 Hz');
  await site.getByLabel('Frequency').press('Enter');
  await expect.poll(() => fileOf(job)).toContain('60 Hz');
  await cables.getByText('W01', { exact: true }).click();
  await cables.getByRole('button', { name: 'Take away: W01' }).click();
  await cables.getByText('No cable yet').waitFor();
  await page.reload();
  await page.getByRole('heading', { level: 1, name: 'House' }).waitFor();
  await close();
});
