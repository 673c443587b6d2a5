// Writes to the drawing by hand, past the view, what has to follow a dragged body in the same frame.

import { pixel, type Camera, type Flat, type Pixel, type Size } from './camera';
import type { Line } from './drag';
import { flatOf, readable, shift, span, type Distance, type Drawn, type Frame } from './figure';
import type { Place } from './drag';

const SVG = 'http://www.w3.org/2000/svg';

/** The group follows a body's middle from where the scene has it. */
export function writeShift(group: SVGGElement, camera: Camera, frame: Frame, from: Place, to: Place): void {
  const [x, y] = shift(frame, from, to);
  group.setAttribute(
    'transform',
    `translate(${(x * camera.scale).toFixed(2)} ${(y * camera.scale).toFixed(2)})`,
  );
}

/** Dimension lines with their figures, in as many groups as there are distances. */
export function writeDistances(
  into: SVGGElement,
  camera: Camera,
  distances: readonly Distance[],
  print: (metres: number) => string,
): void {
  fill(into, distances.length, () => group('dimension', ['path', 'path', 'text']));
  distances.forEach((distance, i) => {
    const [line, strokes, text] = into.children[i]?.children ?? [];
    const [a, b] = [pixel(camera, distance.from), pixel(camera, distance.to)];
    line?.setAttribute('d', `M${at(a)}L${at(b)}`);
    strokes?.setAttribute('d', slant(a) + slant(b));
    const turn = readable(Math.atan2(b[1] - a[1], b[0] - a[0]));
    const middle: Pixel = [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
    text?.setAttribute('transform', `translate(${at(middle)}) rotate(${degrees(turn)}) translate(0 -5)`);
    if (text) text.textContent = print(span(distance.from, distance.to));
  });
}

/** The lines that a body rests on, across the whole drawing, each with its reason. */
export function writeSnaps(
  into: SVGGElement,
  camera: Camera,
  frame: Frame,
  lines: readonly Line[],
  size: Size,
): void {
  fill(into, lines.length, () => group('snap', ['path', 'text']));
  const far = (size.width + size.height) / camera.scale;
  lines.forEach((line, i) => {
    const [path, text] = into.children[i]?.children ?? [];
    const on = flatOf(frame, line.axis === 'x' ? { x: line.at, y: 0 } : { x: 0, y: line.at });
    const way = line.axis === 'x' ? across(frame) : frame.right;
    const ends = [-far, far].map((times): Flat => [on[0] + way[0] * times, on[1] + way[1] * times]);
    path?.setAttribute('d', ends.map((end, j) => `${j === 0 ? 'M' : 'L'}${at(pixel(camera, end))}`).join(''));
    const upright = Math.abs(way[1]) > Math.abs(way[0]);
    const where = pixel(camera, on);
    text?.setAttribute(
      'transform',
      upright ? `translate(${(where[0] + 6).toFixed(1)} 20)` : `translate(10 ${(where[1] - 6).toFixed(1)})`,
    );
    if (text) text.textContent = line.why;
  });
}

/** Square to a frame's first axis: in the plan a wall's heights have no extent of their own. */
function across(frame: Frame): Flat {
  return frame.up[0] === 0 && frame.up[1] === 0 ? [-frame.right[1], frame.right[0]] : frame.up;
}

function fill(into: SVGGElement, count: number, make: () => SVGGElement): void {
  while (into.children.length > count) into.lastElementChild?.remove();
  while (into.children.length < count) into.append(make());
}

function group(name: string, parts: readonly string[]): SVGGElement {
  const made = document.createElementNS(SVG, 'g');
  made.setAttribute('class', name);
  for (const part of parts) made.append(document.createElementNS(SVG, part));
  return made;
}

/** A stroke through the end of a dimension line. */
export function slant([x, y]: Pixel): string {
  return `M${(x - 4).toFixed(1)} ${(y + 4).toFixed(1)}l8 -8`;
}

export function at([x, y]: Pixel): string {
  return `${x.toFixed(1)} ${y.toFixed(1)}`;
}

export function degrees(radians: number): string {
  return ((radians * 180) / Math.PI).toFixed(2);
}

/** A body's shape and its label. */
export function groupsOf(svg: SVGSVGElement | null, body: string): SVGGElement[] {
  const id = CSS.escape(body);
  return [...(svg?.querySelectorAll<SVGGElement>(`[data-body="${id}"], [data-label="${id}"]`) ?? [])];
}

/** Back to where the scene has it. */
export function rest(group: Element): void {
  group.removeAttribute('transform');
  group.classList.remove('held');
}

/** Where a body is drawn when nobody holds it. */
export function restOf(drawn: Drawn): Place {
  return drawn.rail?.start ?? { x: 0, y: 0 };
}
