// Where a point of the drawing (metres of a sheet, y down) stands on the screen, and back; pan, zoom and fit.

/** A point of a flat drawing, m, y down: plans have -y of the room, elevations minus the height. */
export type Flat = readonly [number, number];

/** Pixels, y down, from the drawing's upper left corner. */
export type Pixel = readonly [number, number];

export interface Box {
  min: Flat;
  max: Flat;
}

/** `pixel = flat × scale + offset`. */
export interface Camera {
  /** Pixels to a metre. */
  scale: number;
  x: number;
  y: number;
}

export interface Size {
  width: number;
  height: number;
}

/** Room in pixels that is kept free around a fitted drawing, for dimensions and the title block. */
export interface Margins {
  left: number;
  right: number;
  top: number;
  bottom: number;
}

/** Pixels to a metre: from a whole plot on a phone to an eighth of an inch a finger's width wide. */
const SCALE_MIN = 4;
const SCALE_MAX = 4000;

export function pixel(camera: Camera, [x, y]: Flat): Pixel {
  return [x * camera.scale + camera.x, y * camera.scale + camera.y];
}

export function flat(camera: Camera, [x, y]: Pixel): Flat {
  return [(x - camera.x) / camera.scale, (y - camera.y) / camera.scale];
}

export function box(points: readonly Flat[]): Box {
  const first = points[0] ?? [0, 0];
  let [left, top] = first;
  let [right, bottom] = first;
  for (const [x, y] of points) {
    left = Math.min(left, x);
    right = Math.max(right, x);
    top = Math.min(top, y);
    bottom = Math.max(bottom, y);
  }
  return { min: [left, top], max: [right, bottom] };
}

export function middle({ min, max }: Box): Flat {
  return [(min[0] + max[0]) / 2, (min[1] + max[1]) / 2];
}

/** The whole box in the middle of the screen, as large as its margins allow. */
export function fitted(bounds: Box, size: Size, margins: Margins): Camera {
  const width = Math.max(bounds.max[0] - bounds.min[0], 0.1);
  const height = Math.max(bounds.max[1] - bounds.min[1], 0.1);
  const free = {
    width: Math.max(size.width - margins.left - margins.right, 40),
    height: Math.max(size.height - margins.top - margins.bottom, 40),
  };
  const scale = clamp(Math.min(free.width / width, free.height / height));
  return {
    scale,
    x: margins.left + (free.width - width * scale) / 2 - bounds.min[0] * scale,
    y: margins.top + (free.height - height * scale) / 2 - bounds.min[1] * scale,
  };
}

/** Nearer by a factor, while the point under `about` stays where it is. */
export function zoomed(camera: Camera, factor: number, about: Pixel): Camera {
  const scale = clamp(camera.scale * factor);
  const [x, y] = flat(camera, about);
  return { scale, x: about[0] - x * scale, y: about[1] - y * scale };
}

export function panned(camera: Camera, dx: number, dy: number): Camera {
  return { scale: camera.scale, x: camera.x + dx, y: camera.y + dy };
}

/** Two fingers: what stood under their middle goes with it, and grows with their distance. */
export function pinched(camera: Camera, before: [Pixel, Pixel], after: [Pixel, Pixel]): Camera {
  const apart = ([a, b]: [Pixel, Pixel]): number => Math.hypot(a[0] - b[0], a[1] - b[1]);
  const between = ([a, b]: [Pixel, Pixel]): Pixel => [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
  const from = between(before);
  const to = between(after);
  const grown = zoomed(camera, apart(after) / Math.max(apart(before), 1), from);
  return panned(grown, to[0] - from[0], to[1] - from[1]);
}

function clamp(scale: number): number {
  return Math.min(Math.max(scale, SCALE_MIN), SCALE_MAX);
}

const STEPS_M = [0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 20];
const FOOT_M = 0.3048;
const STEPS_FT = [1 / 12, 2 / 12, 6 / 12, 1, 2, 5, 10, 20, 50].map((feet) => feet * FOOT_M);

/** The length of a scale bar, m: a round one that is at least 80 pixels long. */
export function scaleBarLength(camera: Camera, units: 'imperial' | 'metric'): number {
  const steps = units === 'metric' ? STEPS_M : STEPS_FT;
  return steps.find((step) => step * camera.scale >= 80) ?? steps[steps.length - 1] ?? 1;
}
