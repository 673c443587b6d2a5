import { expect, test } from 'vitest';

import { fitted, flat, pinched, pixel, scaleBarLength, zoomed, type Camera } from '../../src/fit/camera';

const CAMERA: Camera = { scale: 100, x: 30, y: -20 };

test('a point of the drawing comes back from its pixel', () => {
  const [x, y] = flat(CAMERA, pixel(CAMERA, [1.25, -2.5]));
  expect(x).toBeCloseTo(1.25, 12);
  expect(y).toBeCloseTo(-2.5, 12);
});

test('zooming leaves the point under the pointer where it is', () => {
  const about = [200, 150] as const;
  const nearer = zoomed(CAMERA, 2, about);
  expect(nearer.scale).toBe(200);
  expect(pixel(nearer, flat(CAMERA, about))).toEqual([200, 150]);
});

test('zoom stops at both ends', () => {
  expect(zoomed(CAMERA, 1e9, [0, 0]).scale).toBe(4000);
  expect(zoomed(CAMERA, 1e-9, [0, 0]).scale).toBe(4);
});

test('what is between two fingers goes with them and grows with their distance', () => {
  const pinch = pinched(
    CAMERA,
    [
      [100, 100],
      [200, 100],
    ],
    [
      [120, 140],
      [320, 140],
    ],
  );
  expect(pinch.scale).toBe(200);
  const [x, y] = pixel(pinch, flat(CAMERA, [150, 100]));
  expect(x).toBeCloseTo(220, 9);
  expect(y).toBeCloseTo(140, 9);
});

test('a fitted drawing keeps its margins and stands in the middle of what they leave', () => {
  const margins = { left: 50, right: 30, top: 20, bottom: 80 };
  const camera = fitted({ min: [0, -2], max: [4, 0] }, { width: 480, height: 400 }, margins);
  expect(camera.scale).toBe(100);
  expect(pixel(camera, [0, -2])).toEqual([50, 70]);
  expect(pixel(camera, [4, 0])).toEqual([450, 270]);
});

test('the scale bar is round in its own units', () => {
  expect(scaleBarLength({ scale: 100, x: 0, y: 0 }, 'metric')).toBe(1);
  expect(scaleBarLength({ scale: 100, x: 0, y: 0 }, 'imperial')).toBeCloseTo(5 * 0.3048, 12);
  expect(scaleBarLength({ scale: 300, x: 0, y: 0 }, 'imperial')).toBeCloseTo(0.3048, 12);
});
