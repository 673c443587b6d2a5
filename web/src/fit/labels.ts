// Which labels of a drawing can be written without covering each other.

import type { Pixel } from './camera';

export interface Label {
  id: string;
  text: string;
  /** Room before the text, px. */
  lead_px?: number;
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
  /** From a label that stands apart to its shape. */
  lead: [Pixel, Pixel] | null;
}

/** A rectangle that no label may cover, but the label of the same id. */
interface Taken extends Rectangle {
  of?: string;
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
 * shape, then a line or two further off with a leader. `taken` is what no label may cover. From `always` on a label that finds
 * no room is written all the same.
 */
export function place(
  labels: readonly Label[],
  width: (text: string) => number,
  line_px: number,
  taken: readonly Taken[] = [],
  always = Infinity,
): Placed[] {
  const covered: Taken[] = [...taken];
  const placed: Placed[] = [];
  const order = [...labels].sort(
    (a, b) => b.priority - a.priority || a.around.top - b.around.top || a.around.left - b.around.left,
  );
  for (const label of order) {
    const size = { width: width(label.text) + (label.lead_px ?? 0), height: line_px };
    const places = candidates(label, size);
    const free = places.find(({ at }) => {
      const own = rectangle(at, size);
      return !covered.some((other) => other.of !== label.id && overlaps(own, other));
    });
    const chosen = free ?? (label.priority >= always ? places[0] : undefined);
    if (chosen === undefined) continue;
    covered.push(rectangle(chosen.at, size));
    placed.push({ id: label.id, text: label.text, ...chosen });
  }
  return placed;
}

type Candidate = Pick<Placed, 'at' | 'lead'>;

function candidates({ around }: Label, size: { width: number; height: number }): Candidate[] {
  const x = (around.left + around.right) / 2;
  const y = (around.top + around.bottom) / 2;
  const half = { x: size.width / 2, y: size.height / 2 };
  const beside = (off: number, far: boolean): Candidate[] => [
    {
      at: [x, around.bottom + off + half.y],
      lead: far
        ? [
            [x, around.bottom + off],
            [x, around.bottom],
          ]
        : null,
    },
    {
      at: [x, around.top - off - half.y],
      lead: far
        ? [
            [x, around.top - off],
            [x, around.top],
          ]
        : null,
    },
    {
      at: [around.right + off + half.x, y],
      lead: far
        ? [
            [around.right + off, y],
            [around.right, y],
          ]
        : null,
    },
    {
      at: [around.left - off - half.x, y],
      lead: far
        ? [
            [around.left - off, y],
            [around.left, y],
          ]
        : null,
    },
  ];
  const fits =
    around.right - around.left >= size.width + GAP_PX && around.bottom - around.top >= size.height + GAP_PX;
  return [
    ...(fits ? [{ at: [x, y] as const, lead: null }] : []),
    ...beside(GAP_PX, false),
    ...[1, 2, 3].flatMap((lines) => beside(GAP_PX + lines * size.height, true)),
  ];
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
