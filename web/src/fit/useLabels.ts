// Which names stand on a drawing as it is seen now, and where.

import { useMemo } from 'preact/hooks';

import type { Verdict } from '../api/schema';
import { box, pixel, type Camera, type Size } from './camera';
import type { Figure, Layer } from './figure';
import { place as placeLabels, rectangle, type Label } from './labels';
import { BLOCK_PX } from './marks';

const LINE_PX = 17;
const FACE = '14px system-ui';

type Focus = {
  selected: string | null;
  ringed: readonly string[];
  pointed: string | null;
  verdicts: ReadonlyMap<string, Verdict>;
};

export function useLabels(
  figure: Figure,
  camera: Camera,
  size: Size,
  layers: ReadonlySet<Layer>,
  focus: Focus,
  shown: (note: Figure['notes'][number]) => boolean,
) {
  const { selected, ringed, pointed, verdicts } = focus;
  return useMemo(() => {
    const bodies = figure.elements.map(({ body, outline }): Label => {
      const { min, max } = box(outline.map((point) => pixel(camera, point)));
      const near = body.id === selected || body.id === pointed ? 20 : ringed.includes(body.id) ? 10 : 0;
      const verdict = verdicts.get(body.id);
      const worse = verdict === undefined || verdict === 'fits' ? 0 : 2;
      return {
        id: body.id,
        text: body.label,
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
    // Nothing under the title block, and nothing across the edge of the sheet.
    const edge = 4000;
    const taken = [
      { left: -edge, right: size.width + edge, top: size.height - BLOCK_PX, bottom: size.height + edge },
      { left: -edge, right: 2, top: -edge, bottom: edge },
      { left: size.width - 2, right: size.width + edge, top: -edge, bottom: edge },
    ];
    const own = figure.elements
      .filter(({ body }) => body.id !== selected)
      .flatMap(({ body, outline }) => {
        const { min, max } = box(outline.map((point) => pixel(camera, point)));
        const small = (max[0] - min[0]) * (max[1] - min[1]) < 2500;
        return small && body.kind !== 'opening'
          ? [
              rectangle([(min[0] + max[0]) / 2, (min[1] + max[1]) / 2], {
                width: max[0] - min[0],
                height: max[1] - min[1],
              }),
            ]
          : [];
      });
    return placeLabels([...bodies, ...notes], textWidth, LINE_PX, [...taken, ...own]);
  }, [figure, camera, size, layers, selected, ringed, pointed, verdicts]);
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
