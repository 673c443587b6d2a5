// What a press means: which body of a drawing lies under a pixel.

import { box, pixel, type Camera, type Flat, type Pixel } from './camera';
import { span, type Drawn } from './figure';

/** An outline of something hidden is pressed on its line, px. */
const LINE_PX = 6;
/** Hidden things smaller than this leave the press to what is before them, px. */
const SMALL_PX = 24;

/**
 * The smallest body whose outline holds the pixel; then the nearest one whose area to press, at least `target_px` wide and high,
 * holds it. Hidden outlines (a mount behind its display, a beam overhead) are hollow: only their line counts.
 */
export function pick(elements: readonly Drawn[], camera: Camera, at: Pixel, target_px: number): Drawn | null {
  const all = elements.map((drawn) => {
    const outline = drawn.outline.map((point) => pixel(camera, point));
    const around = box(outline);
    const [wide, tall] = [around.max[0] - around.min[0], around.max[1] - around.min[1]];
    return { drawn, outline, around, wide, tall, area: wide * tall };
  });
  const bySize = [...all].sort((a, b) => a.area - b.area);
  const onLine = bySize.find(
    ({ drawn, outline, wide, tall }) =>
      isHollow(drawn) && Math.min(wide, tall) >= SMALL_PX && edgeDistance(outline, at) <= LINE_PX,
  );
  if (onLine) return onLine.drawn;
  const inside = bySize.find(({ drawn, outline }) => !isHollow(drawn) && holds(outline, at));
  if (inside) return inside.drawn;
  const near = all
    .map(({ drawn, around, wide, tall }) => {
      const middle: Pixel = [(around.min[0] + around.max[0]) / 2, (around.min[1] + around.max[1]) / 2];
      const [x, y] = [Math.abs(at[0] - middle[0]), Math.abs(at[1] - middle[1])];
      const reached = x <= Math.max(wide, target_px) / 2 && y <= Math.max(tall, target_px) / 2;
      return {
        drawn,
        reached: reached && !(isHollow(drawn) && wide * tall > target_px ** 2),
        far: Math.hypot(x, y),
      };
    })
    .filter(({ reached }) => reached)
    .sort((a, b) => a.far - b.far);
  return near[0]?.drawn ?? null;
}

/** Behind or above something else that is pressed through it. */
export function isHollow({ body, hidden }: Drawn): boolean {
  return hidden && (body.is === 'mount' || body.is === 'soffit');
}

/** Whether a polygon holds a point. */
function holds(outline: readonly Flat[], [x, y]: Pixel): boolean {
  let inside = false;
  outline.forEach((a, i) => {
    const b = outline[(i + 1) % outline.length] ?? a;
    if (a[1] > y !== b[1] > y && x < ((b[0] - a[0]) * (y - a[1])) / (b[1] - a[1]) + a[0]) inside = !inside;
  });
  return inside;
}

function edgeDistance(outline: readonly Flat[], at: Pixel): number {
  const each = outline.map((a, i) => {
    const b = outline[(i + 1) % outline.length] ?? a;
    const long = span(a, b) || 1;
    const share = ((at[0] - a[0]) * (b[0] - a[0]) + (at[1] - a[1]) * (b[1] - a[1])) / long ** 2;
    const on = Math.min(Math.max(share, 0), 1);
    return Math.hypot(at[0] - a[0] - on * (b[0] - a[0]), at[1] - a[1] - on * (b[1] - a[1]));
  });
  return Math.min(...each);
}
