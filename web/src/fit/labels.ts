// Which labels of a drawing can be written without covering each other.

import type { Pixel } from './camera';

export interface Label {
  id: string;
  text: string;
  /** Higher is written first; the ones that find no room are hidden. */
  priority: number;
  /** The shape that it names, px: a label stands in it or beside it. */
  around: { left: number; right: number; top: number; bottom: number };
}

export interface Placed {
  id: string;
  text: string;
  /** The middle of the text. */
  at: Pixel;
}

interface Rectangle {
  left: number;
  right: number;
  top: number;
  bottom: number;
}

const GAP_PX = 4;

/**
 * Greedy, by priority then reading order: each label takes the first free place of inside, below, above, right, left of its
 * shape. `taken` are rectangles that no label may cover (figures of dimensions, the names of walls).
 */
export function place(
  labels: readonly Label[],
  width: (text: string) => number,
  line_px: number,
  taken: readonly Rectangle[] = [],
): Placed[] {
  const covered: Rectangle[] = [...taken];
  const placed: Placed[] = [];
  const order = [...labels].sort(
    (a, b) => b.priority - a.priority || a.around.top - b.around.top || a.around.left - b.around.left,
  );
  for (const label of order) {
    const size = { width: width(label.text), height: line_px };
    const at = candidates(label, size).find((at) => {
      const own = rectangle(at, size);
      return !covered.some((other) => overlaps(own, other));
    });
    if (at === undefined) continue;
    covered.push(rectangle(at, size));
    placed.push({ id: label.id, text: label.text, at });
  }
  return placed;
}

function candidates({ around }: Label, size: { width: number; height: number }): Pixel[] {
  const x = (around.left + around.right) / 2;
  const y = (around.top + around.bottom) / 2;
  const fits =
    around.right - around.left >= size.width + GAP_PX && around.bottom - around.top >= size.height + GAP_PX;
  const beside: Pixel[] = [
    [x, around.bottom + GAP_PX + size.height / 2],
    [x, around.top - GAP_PX - size.height / 2],
    [around.right + GAP_PX + size.width / 2, y],
    [around.left - GAP_PX - size.width / 2, y],
  ];
  return fits ? [[x, y], ...beside] : beside;
}

export function rectangle([x, y]: Pixel, size: { width: number; height: number }): Rectangle {
  return {
    left: x - size.width / 2,
    right: x + size.width / 2,
    top: y - size.height / 2,
    bottom: y + size.height / 2,
  };
}

export function overlaps(a: Rectangle, b: Rectangle): boolean {
  return a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
}
