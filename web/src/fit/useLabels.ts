// Which names stand on a drawing as it is seen now, and where.

import { useMemo } from 'preact/hooks';

import type { Verdict } from '../api/schema';
import { box, pixel, type Camera, type Flat, type Size } from './camera';
import type { Figure, Layer } from './figure';
import { place as placeLabels, rectangle, type Label } from './labels';
import { BLOCK_PX } from './marks';

const LINE_PX = 17;
/** What the reader points at is named whatever it covers. */
const ALWAYS = 20;
const FACE = '14px system-ui';

type Focus = {
  selected: string | null;
  ringed: readonly string[];
  pointed: string | null;
  focused: string | null;
  verdicts: ReadonlyMap<string, Verdict>;
};

export function useLabels(
  figure: Figure,
  camera: Camera,
  size: Size,
  layers: ReadonlySet<Layer>,
  focus: Focus,
  /** The dimensions that are shown, and their figures. */
  dimensions: readonly { from: Flat; to: Flat; text: string }[],
  shown: (note: Figure['notes'][number]) => boolean,
) {
  const { selected, ringed, pointed, focused, verdicts } = focus;
  return useMemo(() => {
    const named = figure.elements.filter(
      ({ body }) =>
        !(figure.plan && body.kind === 'opening') ||
        [selected, pointed, focused, ...ringed].includes(body.id),
    );
    const bodies = named.map(({ body, outline }): Label => {
      const { min, max } = box(outline.map((point) => pixel(camera, point)));
      const near = [selected, pointed, focused].includes(body.id)
        ? ALWAYS
        : ringed.includes(body.id)
          ? 10
          : 0;
      const verdict = verdicts.get(body.id);
      const worse = verdict === undefined || verdict === 'fits' ? 0 : 2;
      return {
        id: body.id,
        text: body.label,
        lead_px: isMarked(verdict) ? MARK_LEAD_PX : 0,
        priority: near + (body.kind === 'item' ? 4 : body.kind === 'seat' ? 2 : 1) + worse,
        around: { left: min[0], top: min[1], right: max[0], bottom: max[1] },
      };
    });
    const notes = figure.notes.filter(shown).map((note, i): Label => {
      const [x, y] = pixel(camera, note.at);
      return {
        id: `note:${i}`,
        text: note.text,
        priority: note.priority,
        around: { left: x, right: x, top: y, bottom: y },
      };
    });
    // Outside of the room is where dimensions and the title block stand.
    const room = { min: pixel(camera, figure.bounds.min), max: pixel(camera, figure.bounds.max) };
    const edge = 4000;
    const taken = [
      { left: -edge, right: edge, top: Math.min(size.height - BLOCK_PX, room.max[1]), bottom: edge },
      { left: -edge, right: edge, top: -edge, bottom: Math.max(0, room.min[1]) },
      { left: -edge, right: Math.max(2, room.min[0]), top: -edge, bottom: edge },
      { left: Math.min(size.width - 2, room.max[0]), right: edge, top: -edge, bottom: edge },
    ];
    // Names stay off other things, but for boxes overhead, which are only outlines.
    const shapes = figure.elements
      .filter(({ body }) => body.is !== 'soffit')
      .map(({ body, outline }) => {
        const { min, max } = box(outline.map((point) => pixel(camera, point)));
        return { left: min[0], right: max[0], top: min[1], bottom: max[1], of: body.id };
      });
    const figures = dimensions.map(({ from, to, text }) => {
      const [a, b] = [pixel(camera, from), pixel(camera, to)];
      const [x, y] = [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
      const [long, high] = [textWidth(text) + 8, LINE_PX];
      // Along an upright line the figure is turned, and stands on its left.
      return Math.abs(b[1] - a[1]) > Math.abs(b[0] - a[0])
        ? rectangle([x - 5 - high / 3, y], { width: high, height: long })
        : rectangle([x, y - 5 - high / 3], { width: long, height: high });
    });
    const kept = [...taken, ...shapes, ...figures];
    const written = placeLabels([...bodies, ...notes], textWidth, LINE_PX, kept, ALWAYS);
    // What found no room for its name shows its mark, which no name may cover either.
    const marks = figure.elements
      .filter(({ body }) => isMarked(verdicts.get(body.id)) && !written.some(({ id }) => id === body.id))
      .map(({ outline }) => {
        const { min, max } = box(outline.map((point) => pixel(camera, point)));
        return rectangle([max[0] + 6, min[1] - 6], { width: LINE_PX, height: LINE_PX });
      });
    if (marks.length === 0) return written;
    const again = new Set(written.map(({ id }) => id));
    const labels = [...bodies, ...notes].filter(({ id }) => again.has(id));
    return placeLabels(labels, textWidth, LINE_PX, [...kept, ...marks], ALWAYS);
  }, [figure, camera, size, layers, selected, ringed, pointed, focused, verdicts, dimensions]);
}

const NO_VERDICTS: ReadonlyMap<string, Verdict> = new Map();

/** The names of a drawing in which nothing is judged. */
export function useNames(figure: Figure, camera: Camera, size: Size, selected: string | null) {
  const focus = { selected, ringed: NONE, pointed: null, focused: null, verdicts: NO_VERDICTS };
  return useLabels(figure, camera, size, NO_LAYERS, focus, NONE, () => false);
}

const NONE: readonly never[] = [];
const NO_LAYERS: ReadonlySet<Layer> = new Set();

/** A mark and its gap before a name, px. */
export const MARK_LEAD_PX = 18;

/** Verdicts that a drawing shows: what fits needs no look. */
export function isMarked(verdict: Verdict | undefined): verdict is Exclude<Verdict, 'fits'> {
  return verdict !== undefined && verdict !== 'fits';
}

const widths = new Map<string, number>();
let pen: CanvasRenderingContext2D | null | undefined;

/** How wide a label is written, px. */
export function textWidth(text: string): number {
  const known = widths.get(text);
  if (known !== undefined) return known;
  if (pen === undefined) {
    pen = document.createElement('canvas').getContext('2d');
    if (pen) pen.font = FACE;
  }
  const wide = pen ? pen.measureText(text).width : text.length * 7.5;
  widths.set(text, wide);
  return wide;
}
