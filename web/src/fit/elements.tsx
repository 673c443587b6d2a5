// How lines, bodies and the names of walls are drawn.

import type { Verdict } from '../api/schema';
import { VerdictShape } from '../parts/Verdict';
import { box, pixel, type Camera, type Flat } from './camera';
import type { Drawn, Line, WallName } from './figure';
import { chainOffset } from './marks';
import { textWidth } from './useLabels';
import { at, degrees } from './write';

const COARSE = matchMedia('(pointer: coarse)');

export function LineMark({ line, camera }: { line: Line; camera: Camera }) {
  return (
    <path
      class={`line ${line.kind}`}
      d={path(line.points, camera, line.closed)}
      fill={line.hatch ? `url(#hatch-${line.hatch})` : 'none'}
    />
  );
}

type DrawnProps = {
  drawn: Drawn;
  camera: Camera;
  verdict: Verdict | undefined;
  selected: boolean;
  ringed: boolean;
  tabStop: boolean;
  onFocus: () => void;
};

export function DrawnMark({ drawn, camera, verdict, selected, ringed, tabStop, onFocus }: DrawnProps) {
  const { body, outline, lines } = drawn;
  const around = box(outline.map((point) => pixel(camera, point)));
  const [left, top, right, bottom] = [...around.min, ...around.max];
  const hit = COARSE.matches ? 44 : 28;
  const grow = { x: Math.max(0, hit - (right - left)) / 2, y: Math.max(0, hit - (bottom - top)) / 2 };
  const words = verdict === undefined ? body.says : `${body.says}, ${verdict}`;
  const classes = ['element', body.kind, body.existing ? 'existing' : 'added', drawn.rail ? 'movable' : ''];
  if (body.is === 'soffit') classes.push('overhead');
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
      {verdict === undefined || verdict === 'fits' ? null : (
        <svg
          class={`mark ${verdict}`}
          x={right - 4}
          y={top - 14}
          width="18"
          height="18"
          viewBox="-1 -1 18 18"
        >
          <circle class="ground" cx="8" cy="8" r="9" />
          <VerdictShape verdict={verdict} />
        </svg>
      )}
    </g>
  );
}

/** Around a subject of the open finding, as a pencil would mark it. */
function Ring({ left, top, right, bottom }: { left: number; top: number; right: number; bottom: number }) {
  const [x, y] = [(left + right) / 2, (top + bottom) / 2];
  const [rx, ry] = [((right - left) / 2) * 1.2 + 14, ((bottom - top) / 2) * 1.2 + 14];
  return <ellipse class="ring" cx={x} cy={y} rx={rx} ry={ry} />;
}

type WallProps = { name: WallName; camera: Camera; rank: number; tabStop: boolean; onFocus: () => void };

export function WallMark({ name, camera, rank, tabStop, onFocus }: WallProps) {
  const [x, y] = pixel(camera, name.at);
  const off = chainOffset(rank, camera) + (rank < 0 ? 16 : 4);
  const wide = textWidth(name.name) + 16;
  const hit = COARSE.matches ? 44 : 28;
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

function path(points: readonly Flat[], camera: Camera, closed = false): string {
  const steps = points.map((point, i) => `${i === 0 ? 'M' : 'L'}${at(pixel(camera, point))}`);
  return steps.join('') + (closed ? 'Z' : '');
}
