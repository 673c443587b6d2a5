// The field over the room at one frequency, the places where a sub may stand, and the subs that are
// tried: dragged by hand, moved by keys, or sent to a place by a press on it.

import { useMemo, useRef, useState } from 'preact/hooks';

import type { BassField, BassPlace, BassStudy, TriedSub, Units } from '../api/schema';
import { figure, length } from '../units';
import type { Scene } from './scene';

type Props = {
  scene: Scene;
  study: BassStudy;
  field: BassField | null;
  subs: readonly TriedSub[];
  chosen: number;
  units: Units;
  /** Whether subs may be moved: a device that only looks reads the places. */
  canMove: boolean;
  onChoose: (index: number) => void;
  onMove: (index: number, to: { x: number; y: number }) => void;
};

/** Around the room, m. */
const EDGE_M = 0.35;
const CASE_M = 0.4;
/** The drawing is in centimetres, since letters of less than a unit are not set well. */
const CM = 100;
const STEP_M = 0.05;
/** A place this near to the finger is the one that is asked about, m. */
const NEAR_M = 0.35;

export function BassMap({ scene, study, field, subs, chosen, units, canMove, onChoose, onMove }: Props) {
  const [reason, setReason] = useState<string | null>(null);
  const svg = useRef<SVGSVGElement>(null);
  const held = useRef<number | null>(null);
  /** Whether the reason is that of a place under the pointer. */
  const pointed = useRef(false);
  /** The place that the Tab key comes to; arrows go on from there. */
  const [at, setAt] = useState(0);
  const current = Math.min(at, study.places.length - 1);
  const isPlan = field === null || field.plane === 'plan';
  const bounds = useMemo(() => boundsOf(scene, field), [scene, field?.plane, field?.columns, field?.step_m]);
  const image = useMemo(() => (field ? pictureOf(field) : null), [field]);
  const wide = CM * (bounds.high[0] - bounds.low[0] + 2 * EDGE_M);
  const tall = CM * (bounds.high[1] - bounds.low[1] + 2 * EDGE_M);
  /** The room has its second direction up, the screen down. */
  const across = (x: number) => CM * (x - bounds.low[0] + EDGE_M);
  const down = (y: number) => CM * (bounds.high[1] - y + EDGE_M);
  const line = (points: readonly (readonly number[])[]) =>
    points.map(([x = 0, y = 0]) => `${across(x)},${down(y)}`).join(' ');

  function placeOf(event: PointerEvent): { x: number; y: number } | null {
    const matrix = svg.current?.getScreenCTM();
    if (!matrix) return null;
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(matrix.inverse());
    return { x: at.x / CM + bounds.low[0] - EDGE_M, y: bounds.high[1] - at.y / CM + EDGE_M };
  }

  /** The reason of the place under finger or pointer. What keys asked for stays until it moves: a page
   * that scrolls under a resting mouse tells of moves too. */
  function sayNear(event: PointerEvent) {
    const rests = event.type === 'pointermove' && event.movementX === 0 && event.movementY === 0;
    const to = isPlan && !rests ? placeOf(event) : null;
    if (to === null) return;
    const off = ({ at: [x, y] }: BassPlace) => Math.hypot(x - to.x, y - to.y);
    const near = study.places.filter((place) => off(place) < NEAR_M).sort((a, b) => off(a) - off(b))[0];
    if (near) setReason(near.says);
    else unsay(event);
    pointed.current = near !== undefined;
  }

  function unsay(event: PointerEvent) {
    if (event.pointerType === 'mouse' && pointed.current) setReason(null);
  }

  function go(to: number) {
    const next = Math.min(Math.max(to, 0), study.places.length - 1);
    setAt(next);
    svg.current?.querySelector<SVGGElement>(`[data-place="${next}"]`)?.focus();
  }

  return (
    <figure class="bass-map">
      <svg
        ref={svg}
        viewBox={`0 0 ${wide} ${tall}`}
        role="group"
        aria-label={field ? `Level at ${figure(field.hz, 0)} Hz, ${field.words}` : 'Places for subs'}
        onPointerDown={sayNear}
        onPointerMove={(event) => {
          if (held.current === null) {
            sayNear(event);
            return;
          }
          const to = placeOf(event);
          if (to !== null) onMove(held.current, inside(scene, to));
        }}
        onPointerLeave={unsay}
        onPointerUp={() => (held.current = null)}
        onPointerCancel={() => (held.current = null)}
      >
        {field && image ? (
          <image
            href={image}
            x={across(field.from[0] - field.step_m / 2)}
            y={down(field.from[1] + field.step_m * (rowsOf(field) - 0.5))}
            width={CM * field.columns * field.step_m}
            height={CM * rowsOf(field) * field.step_m}
            preserveAspectRatio="none"
          />
        ) : null}
        {field?.contours.map(({ over_mean_db, pieces }) => (
          <g key={over_mean_db} class="bass-contour" data-mean={over_mean_db === 0}>
            <path
              d={pieces.map(([x, y, u, v]) => `M${across(x)} ${down(y)}L${across(u)} ${down(v)}`).join('')}
            />
            {marksOf(pieces).map(([x, y]) => (
              <text key={`${x} ${y}`} x={across(x)} y={down(y)}>
                {over_mean_db > 0 ? '+' : ''}
                {figure(over_mean_db, 0)}
              </text>
            ))}
          </g>
        ))}
        {isPlan ? <polygon class="bass-room" points={line(scene.floor)} /> : null}
        {isPlan
          ? scene.bodies
              .filter(({ kind }) => kind === 'seat')
              .map((seat) =>
                seat.outline ? <polygon key={seat.id} class="bass-seat" points={line(seat.outline)} /> : null,
              )
          : null}
        {isPlan
          ? study.places.map((place, index) => (
              <Place
                key={place.words}
                place={place}
                index={index}
                isCurrent={index === current}
                at={[across(place.at[0]), down(place.at[1])]}
                onFocus={() => {
                  pointed.current = false;
                  setAt(index);
                  setReason(place.says);
                }}
                onGo={go}
                onPress={canMove ? () => onMove(chosen, { x: place.at[0], y: place.at[1] }) : null}
              />
            ))
          : null}
        {isPlan
          ? subs.map((sub, index) => (
              <g
                key={index}
                class="bass-tried"
                data-chosen={index === chosen}
                role={canMove ? 'button' : 'img'}
                tabIndex={canMove ? 0 : undefined}
                aria-label={`Sub ${index + 1}, ${length(sub.x, units)} along, ${length(sub.y, units)} square to the first wall${canMove ? '; arrows move it' : ''}`}
                transform={`translate(${across(sub.x)} ${down(sub.y)})`}
                onFocus={() => onChoose(index)}
                onPointerDown={(event) => {
                  if (!canMove) return;
                  held.current = index;
                  onChoose(index);
                  svg.current?.setPointerCapture(event.pointerId);
                  event.preventDefault();
                }}
                onKeyDown={(event) => {
                  const way = canMove ? WAYS[event.key] : undefined;
                  if (!way) return;
                  event.preventDefault();
                  const by = event.shiftKey ? STEP_M / 5 : STEP_M;
                  onMove(index, inside(scene, { x: sub.x + way[0] * by, y: sub.y + way[1] * by }));
                }}
              >
                <rect class="bass-hit" x={-35} y={-35} width={70} height={70} />
                <rect x={(-CM * CASE_M) / 2} y={(-CM * CASE_M) / 2} width={CM * CASE_M} height={CM * CASE_M} />
                <text>{index + 1}</text>
              </g>
            ))
          : null}
      </svg>
      <figcaption>
        <p role="status" class="bass-reason">
          {reason ??
            'Squares with figures are the subs that are tried; discs are places, the larger the better. Point at a place, or step through them with Tab and the arrow keys, for its reason.'}
        </p>
        {field ? (
          <p class="soft">
            {figure(field.hz, 0)} Hz, {field.words}: darker is louder. Lines at −12, −6, 0 and +6 dB from the mean
            of {figure(field.mean_db, 1)} dB (0 dB: one sub at 1 m in the open).
          </p>
        ) : null}
      </figcaption>
    </figure>
  );
}

const WAYS: { [key: string]: readonly [number, number] } = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, 1],
  ArrowDown: [0, -1],
};

/** Places follow each other along the walls. */
const STEPS: { [key: string]: number } = {
  ArrowRight: 1,
  ArrowDown: 1,
  ArrowLeft: -1,
  ArrowUp: -1,
  Home: -Infinity,
  End: Infinity,
};

/** The better, the larger and the fuller: colour is not needed to tell. */
function Place({
  place,
  index,
  isCurrent,
  at: [x, y],
  onFocus,
  onGo,
  onPress,
}: {
  place: BassPlace;
  index: number;
  isCurrent: boolean;
  at: readonly [number, number];
  onFocus: () => void;
  onGo: (to: number) => void;
  /** Null where nothing may be moved. */
  onPress: (() => void) | null;
}) {
  const good = 1 - place.rank;
  function keyed(event: KeyboardEvent) {
    const to = STEPS[event.key];
    if (to !== undefined) onGo(index + to);
    else if ((event.key === 'Enter' || event.key === ' ') && onPress) onPress();
    else return;
    event.preventDefault();
  }
  return (
    <g
      class="bass-place"
      role={onPress ? 'button' : 'img'}
      tabIndex={isCurrent ? 0 : -1}
      data-place={index}
      aria-label={place.says}
      transform={`translate(${x} ${y})`}
      onFocus={onFocus}
      onKeyDown={keyed}
      onClick={() => onPress?.()}
    >
      <circle class="bass-hit" r={20} />
      <circle r={5 + 10 * good} style={{ fillOpacity: 0.15 + 0.85 * good }} />
    </g>
  );
}

function rowsOf(field: BassField): number {
  return Math.round(field.levels_db.length / field.columns);
}

type Bounds = { low: readonly [number, number]; high: readonly [number, number] };

function boundsOf(scene: Scene, field: BassField | null): Bounds {
  if (field && field.plane !== 'plan') {
    const half = field.step_m / 2;
    const low = [field.from[0] - half, field.from[1] - half] as const;
    const high = [
      low[0] + field.columns * field.step_m,
      low[1] + rowsOf(field) * field.step_m,
    ] as const;
    return { low, high };
  }
  return { low: scene.bounds.min, high: scene.bounds.max };
}

/** Kept within the room's own bounds; the server knows its walls. */
function inside(scene: Scene, { x, y }: { x: number; y: number }): { x: number; y: number } {
  const { min, max } = scene.bounds;
  const held = (value: number, low: number, high: number) =>
    Math.min(Math.max(value, low + CASE_M / 2), high - CASE_M / 2);
  return { x: held(x, min[0], max[0]), y: held(y, min[1], max[1]) };
}

/** One pixel a point: grey by level from 18 dB under the mean to 12 dB over it, clear outside. */
function pictureOf(field: BassField): string {
  const rows = rowsOf(field);
  const canvas = document.createElement('canvas');
  canvas.width = field.columns;
  canvas.height = rows;
  const context = canvas.getContext('2d');
  if (!context) return '';
  const pixels = context.createImageData(field.columns, rows);
  field.levels_db.forEach((level, at) => {
    if (level === null) return;
    const row = rows - 1 - Math.floor(at / field.columns);
    const column = at % field.columns;
    const share = Math.min(1, Math.max(0, (level - field.mean_db + 18) / 30));
    const from = 4 * (row * field.columns + column);
    // The hue of `--accent` between light and dark grounds; its share of cover is the level.
    pixels.data.set([64, 128, 180, Math.round(20 + 190 * share)], from);
  });
  context.putImageData(pixels, 0, 0);
  return canvas.toDataURL();
}

/** Where a line's figure stands: a few of its pieces, evenly taken. */
function marksOf(pieces: readonly (readonly number[])[]): [number, number][] {
  const every = Math.max(40, Math.ceil(pieces.length / 4));
  return pieces.flatMap(([x = 0, y = 0], at) => (at % every === 20 ? [[x, y] satisfies [number, number]] : []));
}
