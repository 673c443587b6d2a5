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
  await cables.getByLabel('From').selectOption('amp');
  await cables.getByLabel('To').selectOption('left');
  await cables.getByRole('button', { name: 'Add this cable' }).click();
  await cables.getByText('W01', { exact: true }).waitFor();
  const response = await fetch(`${server()}/api/jobs/${job}/findings`);
  const { findings } = (await response.json()) as Findings; // The route's own shape.
  expect(findings.map(({ check }) => check)).toContain('wire-loss');

  const site = part('Where the house is');
  await site.getByLabel('Mains: voltage').fill('120 V');
  await site.getByLabel('Mains: voltage').press('Enter');
  await expect.poll(() => fileOf(job)).toContain('120 V');
  await site.getByLabel('Mains: frequency').fill('60 Hz');
  await site.getByLabel('Mains: frequency').press('Enter');
  await expect.poll(() => fileOf(job)).toContain('60 Hz');
  await cables.getByText('W01', { exact: true }).click();
  await cables.getByRole('button', { name: 'Take away: W01' }).click();
  await cables.getByText('No cable yet').waitFor();
  await page.reload();
  await page.getByRole('heading', { level: 1, name: 'House' }).waitFor();
  await close();
});

it('enters legs, a conduit and a limit of the house, and takes them away again', async () => {
  const lengths = ["12'", "10'", "12'", "10'"];
  const job = await newJob({ from: 'blank', name: 'Quay Row 9', room: 'Den', lengths, height: "8'", units: 'imperial' });
  await send('POST', `/api/jobs/${job}/edits`, {
    op: 'kit-9',
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
      { at: 'cable', set: [{ id: 'W01', kind: 'pair-16', from: 'amp', to: 'left' }] },
    ],
  });
  const { page, close } = await open(`/job/${job}/house`);
  const part = (name: string) => page.getByRole('region', { name, exact: true });

  const cables = part('Cables');
  await cables.getByText('W01', { exact: true }).click();
  const legs = cables.getByRole('group', { name: 'Legs' });
  await legs.getByText('None yet.').waitFor();
  for (const [along, length] of [
    ['up the wall', "7' 6\""],
    ['joist bay', "11'"],
  ] as const) {
    await legs.getByRole('button', { name: 'Add to legs' }).click();
    await legs.getByLabel('Along').last().fill(along);
    await legs.getByText('Length is blank.').waitFor();
    await legs.getByLabel('Length').last().fill(length);
    await legs.getByRole('button', { name: 'Add it' }).click();
    await expect.poll(() => fileOf(job)).toContain(along);
  }
  await legs.getByLabel('Length').first().fill('far');
  await legs.getByLabel('Length').first().press('Enter');
  await expect.poll(() => legs.getByLabel('Length').first().getAttribute('aria-invalid')).toBe('true');
  expect(await legs.getByLabel('Length').first().inputValue(), 'what was typed stays').toBe('far');
  await legs.getByLabel('Length').first().fill("8'");
  await legs.getByLabel('Length').first().press('Enter');
  await expect.poll(() => fileOf(job)).toContain("8'");
  await legs.getByRole('button', { name: 'Take away 2' }).click();
  await expect.poll(() => fileOf(job)).not.toContain('joist bay');

  const pathways = part('Conduits, chases and closets');
  await pathways.getByRole('button', { name: 'Add a pathway' }).click();
  await pathways.getByLabel('Name').fill('P1');
  await pathways.getByLabel('Kind').selectOption({ label: 'conduit' });
  await pathways.getByLabel('Ends 1: space').selectOption({ label: 'Den' });
  await pathways.getByLabel('Ends 2: space').selectOption({ label: 'Den' });
  for (const [end, wall] of [
    [1, 'front'],
    [2, 'back'],
  ] as const) {
    await pathways.getByLabel(`Ends ${end}: in a wall: wall`).fill(wall);
    await pathways.getByLabel(`Ends ${end}: in a wall: from left`).fill("2'");
    await pathways.getByLabel(`Ends ${end}: in a wall: height`).fill("1'");
  }
  await pathways.getByRole('button', { name: 'Add this pathway' }).click();
  await pathways.getByText('P1', { exact: true }).waitFor();
  expect(await fileOf(job)).toContain('pathway = [{ id = "P1"');

  const limits = part('Limits that this house changes');
  await limits.getByText('All are as is customary.').waitFor();
  await limits.getByRole('button', { name: 'Change a limit' }).click();
  await limits.getByLabel('Limit', { exact: true }).selectOption('picture_angle_min');
  await limits.getByText('Customary:').waitFor();
  await limits.getByLabel('In this house').fill('wide');
  await limits.getByLabel('Because').fill('the owner sits close');
  await limits.getByRole('button', { name: 'Change this limit' }).click();
  await page.getByRole('alert').waitFor();
  await limits.getByLabel('In this house').fill('28 deg');
  await limits.getByRole('button', { name: 'Change this limit' }).click();
  await limits.getByRole('heading', { name: 'picture angle min' }).waitFor();
  await expect.poll(() => fileOf(job)).toContain('the owner sits close');
  await limits.getByRole('button', { name: 'Back to what is customary' }).click();
  await limits.getByText('All are as is customary.').waitFor();
  expect(await fileOf(job)).not.toContain('28 deg');
  await close();
});

it('enters ports, names them at a cable’s ends by choice, and refuses a taken one', async () => {
  const lengths = ["12'", "10'", "12'", "10'"];
  const job = await newJob({ from: 'blank', name: 'Quay Row 11', room: 'Den', lengths, height: "8'", units: 'imperial' });
  await send('POST', `/api/jobs/${job}/edits`, {
    op: 'kit-11',
    base: 1,
    summary: 'Kit',
    edits: [
      { at: 'kit.cable', set: [{ id: 'lead-v1', name: 'Lead V1', carries: 'video' }] },
      { at: 'kit.device', set: [{ id: 'player-v2', name: 'Player V2' }, { id: 'box-b1', name: 'Box B1' }] },
      {
        at: 'item',
        set: [
          { id: 'player', is: 'player-v2', name: 'Player' },
          { id: 'box', is: 'box-b1', name: 'Box' },
        ],
      },
    ],
  });
  const { page, close } = await open(`/job/${job}/house`);
  const part = (name: string) => page.getByRole('region', { name, exact: true });
  const ports = part('Ports');
  await ports.getByText('Player V2').click();
  await ports.getByText('Box B1').click();
  for (const [thing, id, direction, count] of [
    ['Player V2', 'out', 'out', ''],
    ['Box B1', 'in', 'in', '2'],
  ] as const) {
    const one = ports.locator('details', { hasText: thing });
    await one.getByRole('button', { name: 'Add to ports' }).click();
    await one.getByText('Id is blank.').waitFor();
    await one.getByLabel('Id').fill(id);
    // What only a video or a network port has is asked of that kind alone.
    expect(await one.getByLabel('Feeds').count()).toBe(0);
    await one.getByLabel('Kind').selectOption('video');
    await one.getByLabel('Returns').waitFor();
    await one.getByLabel('Direction').selectOption(direction);
    if (count !== '') await one.getByLabel('Count').fill(count);
    await one.getByRole('button', { name: 'Add it' }).click();
    await expect.poll(() => fileOf(job)).toContain(`{ id = "${id}", kind = "video"`);
  }
  const cables = part('Cables');
  const form = cables.getByRole('form', { name: 'A further cable' });
  const add = async (name: string, from: string, to: string) => {
    const button = cables.getByRole('button', { name: 'Add a cable' });
    if (await button.isVisible()) await button.click();
    await form.getByLabel('Name').fill(name);
    await form.getByLabel('Kind').selectOption({ label: 'Lead V1' });
    await form.getByLabel('From').selectOption(from);
    await form.getByLabel('To').selectOption(to);
    await form.getByRole('button', { name: 'Add this cable' }).click();
  };
  await add('V1', 'player.out', 'box.in-1');
  await cables.getByText('V1', { exact: true }).waitFor();
  await add('V2', 'player', 'box.in-1');
  const alert = page.getByRole('alert');
  await alert.waitFor();
  expect(await alert.textContent()).toContain('is taken by cable');
  expect(await form.getByLabel('To').inputValue(), 'what was chosen stays').toBe('box.in-1');
  await form.getByLabel('To').selectOption('box.in-2');
  await form.getByRole('button', { name: 'Add this cable' }).click();
  await expect.poll(() => fileOf(job)).toContain('to = "box.in-2"');
  await close();
});

it('draws conduits cut across', async () => {
  const lengths = ['5 m', '4 m', '5 m', '4 m'];
  const job = await newJob({ from: 'blank', name: 'Quay Row 13', room: 'Den', lengths, height: '2.4 m', units: 'metric' });
  const wires = ['W1', 'W2', 'W3'];
  await send('POST', `/api/jobs/${job}/edits`, {
    op: 'kit-13',
    base: 1,
    summary: 'Kit',
    edits: [
      { at: 'kit.cable', set: [{ id: 'net-c6', name: 'Network C6', carries: 'network', diameter: '6.5 mm' }] },
      { at: 'kit.device', set: [{ id: 'box-b1', name: 'Box B1' }] },
      {
        at: 'item',
        set: [
          { id: 'here', is: 'box-b1', space: 'den' },
          { id: 'there', is: 'box-b1', space: 'den' },
        ],
      },
      {
        at: 'cable',
        set: wires.map((id) => ({ id, kind: 'net-c6', from: 'here', to: 'there', length: '9 m' })),
      },
      {
        at: 'pathway',
        set: [
          {
            id: 'P1',
            kind: 'conduit',
            inside: '20 mm',
            holds: wires,
            ends: ['front', 'back'].map((wall) => ({
              space: 'den',
              on: { wall, from_left: '1 m', height: '0.3 m' },
            })),
          },
        ],
      },
    ],
  });
  const { page, close } = await open(`/job/${job}/house`);
  const conduits = page.getByRole('region', { name: 'Conduits, cut across' });
  await conduits.getByRole('img', { name: 'P1 with W1, W2, W3' }).waitFor();
  expect(await conduits.locator('svg circle').count()).toBe(4);
  // 3 × 6.5² / 20² = 31.7 %; 20 / 6.5 = 3.08.
  await conduits.getByText(/31\.7.% full/).waitFor();
  await conduits.getByText(/jam ratio 3\.08/).waitFor();
  await close();
});
