import { expect, test } from 'vitest';

import type { Camera } from '../../src/fit/camera';
import { pick } from '../../src/fit/pick';
import { elevation } from '../../src/fit/wall';
import { onWall, room } from './fit-scene';

const CAMERA: Camera = { scale: 100, x: 0, y: 240 };
const DISPLAY = { ...onWall('item:display', 'north', 2, 1.2, 1.2, 0.8), is: 'display' };
const MOUNT = { ...onWall('item:mount', 'north', 2, 1.2, 0.5, 0.4), is: 'mount' };
const PLATE = onWall('item:plate', 'north', 2, 0.6, 0.08, 0.1);
const SCENE = room([DISPLAY, MOUNT, PLATE]);
const [north] = SCENE.walls;
if (!north) throw new Error('the room has walls');
const { elements } = elevation(SCENE, north);

/** By along and height, m. */
const at = (along: number, height: number, target = 44) =>
  pick(elements, CAMERA, [along * 100, 240 - height * 100], target)?.body.id ?? null;

test('a mount behind a display leaves it the press, but for the mount’s own line', () => {
  expect(at(2, 1.2)).toBe('item:display');
  expect(at(1.75, 1.2)).toBe('item:mount');
  expect(at(1.5, 1.2)).toBe('item:display');
});

test('a small thing is pressed near by, but never through another one’s face', () => {
  expect(at(2, 0.6)).toBe('item:plate');
  expect(at(2.2, 0.6)).toBe('item:plate');
  expect(at(2.2, 0.6, 28)).toBeNull();
  expect(at(2, 0.81)).toBe('item:display');
  expect(at(2, 0.79)).toBe('item:plate');
});

test('there is nothing on a bare wall', () => {
  expect(at(3.5, 2)).toBeNull();
});
