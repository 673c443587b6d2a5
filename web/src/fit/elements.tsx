// How lines, bodies and the names of walls are drawn.

import type { Verdict } from '../api/schema';
import { VerdictShape } from '../parts/Verdict';
import { box, pixel, type Camera, type Flat, type Pixel } from './camera';
import type { Drawn, Line, WallName } from './figure';
import { chainOffset } from './marks';
import type { Placed } from './labels';
import { isMarked, MARK_LEAD_PX, textWidth } from './useLabels';
import { at, degrees } from './write';

const MARK_PX = 14;
const COARSE = matchMedia('(pointer: coarse)');

/** The least area to press of each element, px. */
export function targetSize(): number {
  return COARSE.matches ? 44 : 28;
}

export function LineMark({ line, camera }: { line: Line; camera: Camera }) {
  return (
    <path
      class={`line ${line.kind}`}
      d={path(line.points, camera, line.closed)}
      clip-path={line.within ? 'url(#room)' : undefined}
      fill={line.hatch ? `url(#hatch-${line.hatch})` : 'none'}
    />
  );
}

type DrawnProps = {
  drawn: Drawn;
  camera: Camera;
  verdict: Verdict | undefined;
  /** Its label carries the verdict's mark. */
  named: boolean;
  selected: boolean;
  ringed: boolean;
  tabStop: boolean;
  onFocus: () => void;
};

export function DrawnMark({ drawn, camera, verdict, named, selected, ringed, tabStop, onFocus }: DrawnProps) {
  const { body, outline, lines } = drawn;
  const around = box(outline.map((point) => pixel(camera, point)));
  const [left, top, right, bottom] = [...around.min, ...around.max];
  const hit = targetSize();
  const grow = { x: Math.max(0, hit - (right - left)) / 2, y: Math.max(0, hit - (bottom - top)) / 2 };
  const words = verdict === undefined ? body.says : `${body.says}, ${verdict}`;
  const classes = ['element', body.kind, body.existing ? 'existing' : 'added', drawn.rail ? 'movable' : ''];
  if (drawn.hidden) classes.push('hidden');
  if (selected) classes.push('selected');
  return (
    <g
      class={classes.join(' ')}
      role="button"
      tabIndex={tabStop ? 0 : -1}
      aria-label={words}
      aria-pressed={selected}
      data-body={body.id}
      data-stop={body.id}
      onFocus={onFocus}
    >
      <rect
        class="hit"
        x={left - grow.x}
        y={top - grow.y}
        width={right - left + 2 * grow.x}
        height={bottom - top + 2 * grow.y}
      />
      <path class="outline" d={path(outline, camera, true)} />
      {lines.map((line, i) => (
        <LineMark key={i} line={line} camera={camera} />
      ))}
      {ringed ? <Ring left={left} top={top} right={right} bottom={bottom} /> : null}
      <rect class="focus" x={left - 5} y={top - 5} width={right - left + 10} height={bottom - top + 10} />
      {named ? null : <Mark verdict={verdict} at={[right + 6, top - 6]} />}
    </g>
  );
}

/** The shape of a verdict that asks for a look. */
function Mark({ verdict, at: [x, y] }: { verdict: Verdict | undefined; at: Pixel }) {
  if (!isMarked(verdict)) return null;
  return (
    <svg class={`mark ${verdict}`} x={x - MARK_PX / 2} y={y - MARK_PX / 2} width={MARK_PX} height={MARK_PX}>
      <circle class="ground" cx={MARK_PX / 2} cy={MARK_PX / 2} r={MARK_PX / 2 + 2} />
      <VerdictShape verdict={verdict} />
    </svg>
  );
}

type LabelProps = { label: Placed; selected: boolean; verdict: Verdict | undefined };

/** A body's name, with its verdict's mark before it. */
export function LabelMark({ label, selected, verdict }: LabelProps) {
  const [x, y] = label.at;
  const lead = isMarked(verdict) ? MARK_LEAD_PX : 0;
  return (
    <g data-label={label.id}>
      {label.lead ? <path d={`M${at(label.lead[0])}L${at(label.lead[1])}`} /> : null}
      <text x={x + lead / 2} y={y + 5} class={selected ? 'selected' : undefined}>
        {label.text}
      </text>
      <Mark verdict={verdict} at={[x - textWidth(label.text) / 2, y]} />
    </g>
  );
}

/** Around a subject of the open finding, as a pencil would mark it. */
function Ring({ left, top, right, bottom }: { left: number; top: number; right: number; bottom: number }) {
  const off = 9;
  return (
    <rect
      class="ring"
      x={left - off}
      y={top - off}
      width={right - left + 2 * off}
      height={bottom - top + 2 * off}
      rx={off}
    />
  );
}

type WallProps = { name: WallName; camera: Camera; rank: number; tabStop: boolean; onFocus: () => void };

export function WallMark({ name, camera, rank, tabStop, onFocus }: WallProps) {
  const [x, y] = pixel(camera, name.at);
  const off = chainOffset(rank, camera) + (rank < 0 ? 0 : 26);
  const wide = textWidth(name.name) + 16;
  const hit = targetSize();
  return (
    <g
      class="wall-name"
      role="button"
      tabIndex={tabStop ? 0 : -1}
      aria-label={`Open the wall ${name.name}`}
      data-stop={`wall:${name.wall}`}
      data-wall={name.wall}
      onFocus={onFocus}
      transform={`translate(${at([x + name.out[0] * off, y + name.out[1] * off])}) rotate(${degrees(name.turn_rad)})`}
    >
      <rect class="hit" x={-wide / 2} y={-hit / 2} width={wide} height={hit} />
      <rect class="focus" x={-wide / 2} y={-13} width={wide} height={26} />
      <text y="5">{name.name}</text>
    </g>
  );
}

export function Hatches() {
  return (
    <>
      <pattern
        id="hatch-wall"
        width="7"
        height="7"
        patternUnits="userSpaceOnUse"
        patternTransform="rotate(45)"
      >
        <path d="M0 0V7" />
      </pattern>
      <pattern id="hatch-ground" width="1" height="1" patternUnits="userSpaceOnUse">
        <rect width="1" height="1" />
      </pattern>
      <pattern
        id="hatch-beam"
        width="10"
        height="10"
        patternUnits="userSpaceOnUse"
        patternTransform="rotate(-45)"
      >
        <path d="M0 0V10M3 0V10" />
      </pattern>
    </>
  );
}

export function path(points: readonly Flat[], camera: Camera, closed = false): string {
  const steps = points.map((point, i) => `${i === 0 ? 'M' : 'L'}${at(pixel(camera, point))}`);
  return steps.join('') + (closed ? 'Z' : '');
}
