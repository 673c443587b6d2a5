import { expect, test } from 'vitest';

import type { LoudspeakerPlace } from '../../src/api/schema';
import type { Figure } from '../../src/fit/figure';
import { reasonsAt, withPatch } from '../../src/fit/loudspeakers';

const EMPTY: Figure = {
  plan: false,
  title: 'South',
  looking: '',
  remark: null,
  bounds: { min: [0, -2], max: [4, 0] },
  outline: [],
  lines: [],
  elements: [],
  chains: [],
  notes: [],
  wall_names: [],
  north_rad: null,
  distances: () => [],
};

/** A patch from 1 to 3 m along the south wall and 1 to 1.5 m up, with its best place in the middle. */
const FOUND: LoudspeakerPlace = {
  item: 'surround',
  label: 'Surround',
  channel: 'M+110',
  says: '',
  patches: [
    {
      surface: 'south',
      is_ceiling: false,
      is_floor: false,
      outline: [[0, 0], [4, 0], [4, 2], [0, 2]],
      half_m: [0.1, 0.2],
      area_m2: 1,
      parts: [
        {
          area_m2: 1,
          rings: [
            [
              { from: [1, 1], to: [3, 1], stop: 0 },
              { from: [3, 1], to: [3, 1.5], stop: 1 },
              { from: [3, 1.5], to: [1, 1.5], stop: 0 },
              { from: [1, 1.5], to: [1, 1], stop: null },
            ],
          ],
        },
      ],
    },
  ],
  stops: [
    { check: 'channel-elevation', label: 'seat sofa: 15° up' },
    { check: 'on-wall-clear', label: 'lamp' },
  ],
  stopped_by: [],
  cautions: [],
  spot: {
    surface: 'south',
    at: [2, 1.25],
    is_allowed: true,
    says: '',
    seats: [],
    verdict: 'fits',
    because: '',
    edits: [],
  },
  present_surface: null,
  present: null,
  needs: [],
};

test('a patch is hatched on the elevation of its own wall, with its stops and its place', () => {
  const drawn = withPatch(EMPTY, { kind: 'wall', wall: 'south' }, FOUND);
  expect(drawn.lines[0]?.points[0]).toEqual([1, -1]);
  expect(drawn.lines[0]?.hatch).toBe('beam');
  expect(drawn.lines[1]?.points).toEqual([[1.9, -1.05], [2.1, -1.05], [2.1, -1.45], [1.9, -1.45]]);
  expect(drawn.notes.map(({ text }) => text)).toEqual(['seat sofa: 15° up', 'lamp', 'Surround: best here']);
});

test('another wall, the plan and an empty answer are left as they are', () => {
  expect(withPatch(EMPTY, { kind: 'wall', wall: 'north' }, FOUND)).toBe(EMPTY);
  expect(withPatch(EMPTY, { kind: 'plan' }, FOUND)).toBe(EMPTY);
  expect(withPatch(EMPTY, { kind: 'wall', wall: 'south' }, null)).toBe(EMPTY);
});

test('the reasons at a place come nearest first', () => {
  expect(reasonsAt(FOUND, 'south', [2.9, 1.25])).toEqual(['lamp', 'seat sofa: 15° up']);
  expect(reasonsAt(FOUND, 'south', [1.5, 1.05])).toEqual(['seat sofa: 15° up', 'lamp']);
});

test('what stands on the floor has its patch on the plan, and on no wall', () => {
  const [south] = FOUND.patches;
  if (south === undefined || FOUND.spot === null) throw new Error('the patch is there');
  const standing: LoudspeakerPlace = {
    ...FOUND,
    patches: [{ ...south, surface: 'floor', is_floor: true }],
    spot: { ...FOUND.spot, surface: 'floor' },
  };
  const plan = { ...EMPTY, plan: true };
  expect(withPatch(plan, { kind: 'plan' }, standing).lines.length).toBeGreaterThan(0);
  expect(withPatch(plan, { kind: 'plan' }, standing).notes.map(({ text }) => text)).toContain('lamp');
  expect(withPatch(EMPTY, { kind: 'wall', wall: 'south' }, standing)).toBe(EMPTY);
  expect(withPatch(plan, { kind: 'plan' }, FOUND)).toBe(plan);
});
