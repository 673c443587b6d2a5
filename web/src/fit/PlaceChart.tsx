// One wall, the ceiling or the floor with a loudspeaker's patch: any point of it, by pointer or by keys, says what stops the
// loudspeaker there, and puts it there or at the nearest place that is allowed.

import { useEffect, useMemo, useRef, useState } from 'preact/hooks';

import { find, isAborted, troubleOf } from '../api/client';
import type { LoudspeakerAt, LoudspeakerPlace } from '../api/schema';
import { useJob } from '../job';
import { LOOKS_ONLY, useMay } from '../may';
import { Button } from '../parts/Button';
import { Verdict } from '../parts/Verdict';
import { Live } from './live';
import './sound.css';

type Patch = LoudspeakerPlace['patches'][number];
type At = readonly [number, number];

/** Letters of less than a unit are not set well: the drawing is in centimetres. */
const CM = 100;
const EDGE_M = 0.15;

export function PlaceChart({ room, found, patch }: { room: string; found: LoudspeakerPlace; patch: Patch }) {
  const job = useJob();
  const may = useMay();
  const svg = useRef<SVGSVGElement>(null);
  const [at, setAt] = useState<At | null>(null);
  const [answer, setAnswer] = useState<LoudspeakerAt | null>(null);
  const [trouble, setTrouble] = useState<string | null>(null);
  /** A press holds the point, so that the pointer can go to a button. */
  const held = useRef(false);
  const live = useMemo(
    () =>
      new Live<At, LoudspeakerAt>(
        ([x, y], _, signal) =>
          find.loudspeakerAt(job.id, room, { item: found.item, surface: patch.surface, x, y }, signal),
        (told) => {
          setAnswer(told);
          setTrouble(null);
        },
        (thrown) => {
          if (!isAborted(thrown)) setTrouble(troubleOf(thrown).message);
        },
      ),
    [job.id, job.revision, room, found.item, patch.surface],
  );
  useEffect(() => {
    setAnswer(null);
    setAt(null);
    held.current = false;
    return () => live.stop();
  }, [live]);

  const box = useMemo(() => boxOf(patch.outline), [patch]);
  const wide = CM * (box.right - box.left + 2 * EDGE_M);
  const tall = CM * (box.top - box.bottom + 2 * EDGE_M);
  /** The second direction is up, the screen's down. */
  const across = (x: number) => CM * (x - box.left + EDGE_M);
  const down = (y: number) => CM * (box.top - y + EDGE_M);
  const points = (line: readonly At[]) => line.map(([x, y]) => `${across(x)},${down(y)}`).join(' ');
  const path = patch.parts
    .flatMap(({ rings }) => rings)
    .map((ring) => `M${ring.map(({ from: [x, y] }) => `${across(x)} ${down(y)}`).join('L')}Z`)
    .join('');

  const ask = (to: At) => {
    const inside: At = [clamp(to[0], box.left, box.right), clamp(to[1], box.bottom, box.top)];
    setAt(inside);
    live.offer(inside);
  };
  const placeOf = (event: PointerEvent): At | null => {
    const matrix = svg.current?.getScreenCTM();
    if (!matrix) return null;
    const to = new DOMPoint(event.clientX, event.clientY).matrixTransform(matrix.inverse());
    return [to.x / CM + box.left - EDGE_M, box.top - to.y / CM + EDGE_M];
  };
  const start = (): At => found.spot?.surface === patch.surface ? [found.spot.at[0], found.spot.at[1]] : middle(box);
  const put = () => {
    if (answer?.spot) void job.save({ edits: answer.spot.edits, summary: `Put ${found.label} where it was pointed to` });
  };
  const fine = job.view.units === 'imperial' ? [0.0254, 0.003175] : [0.02, 0.001];
  const keys = (event: KeyboardEvent) => {
    const way = WAYS[event.key];
    if (event.key === 'Enter' && may === 'change') put();
    else if (way !== undefined) {
      const step = (event.shiftKey ? fine[1] : fine[0]) ?? 0.01;
      const from = at ?? start();
      held.current = true;
      ask(at === null ? from : [from[0] + way[0] * step, from[1] + way[1] * step]);
    } else return;
    event.preventDefault();
  };

  const here = found.present_surface === patch.surface ? found.present : null;
  const best = found.spot?.surface === patch.surface ? found.spot : null;
  const to = answer?.spot && !answer.is_allowed ? answer.spot : null;
  return (
    <figure class="place-chart">
      <svg
        ref={svg}
        viewBox={`0 0 ${wide} ${tall}`}
        tabIndex={0}
        role="application"
        aria-label={`${nameOf(patch)}: where ${found.label} can go. Arrows move the point, with Shift finely; Enter puts it there.`}
        onKeyDown={keys}
        onFocus={() => {
          if (at === null) ask(start());
        }}
        onPointerDown={(event) => {
          const place = placeOf(event);
          held.current = true;
          if (place) ask(place);
          svg.current?.setPointerCapture(event.pointerId);
        }}
        onPointerMove={(event) => {
          const place = held.current && event.buttons === 0 ? null : placeOf(event);
          if (place) ask(place);
        }}
      >
        <defs>
          <pattern id="place-hatch" width="10" height="10" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
            <line x1="0" y1="0" x2="0" y2="10" class="place-hatch" />
          </pattern>
        </defs>
        <polygon class="bass-room" points={points(patch.outline)} />
        <path class="place-allowed" d={path} fill-rule="evenodd" fill="url(#place-hatch)" />
        {here === null ? null : <rect class="place-present" x={across(here[0]) - 6} y={down(here[1]) - 6} width="12" height="12" />}
        {best === null ? null : <path class="place-best" d={cross(across(best.at[0]), down(best.at[1]), 9)} />}
        {to === null ? null : (
          <rect
            class="place-nearest"
            x={across(to.at[0] - patch.half_m[0])}
            y={down(to.at[1] + patch.half_m[1])}
            width={CM * 2 * patch.half_m[0]}
            height={CM * 2 * patch.half_m[1]}
          />
        )}
        {at === null ? null : (
          <g class="place-point" data-allowed={answer?.is_allowed === true}>
            <rect
              x={across(at[0] - patch.half_m[0])}
              y={down(at[1] + patch.half_m[1])}
              width={CM * 2 * patch.half_m[0]}
              height={CM * 2 * patch.half_m[1]}
            />
            <circle cx={across(at[0])} cy={down(at[1])} r="4" />
          </g>
        )}
      </svg>
      <figcaption>
        <p class="soft">
          {nameOf(patch)}. Hatched: allowed. Cross: nearest to the printed direction{here === null ? '' : '; square: where it is'}.
          Point anywhere, press to hold the point.
        </p>
        <div role="status">
          {trouble === null ? null : <p>{trouble}</p>}
          {answer === null ? null : (
            <>
              <p>{answer.says}</p>
              {answer.spot === null ? null : (
                <>
                  <p>
                    {answer.spot.says} There it <Verdict verdict={answer.spot.verdict} />.
                  </p>
                  {answer.spot.because === '' ? null : <p class="because">{answer.spot.because}</p>}
                </>
              )}
            </>
          )}
        </div>
        {answer?.spot ? (
          <Button kind="main" because={may === 'change' ? null : LOOKS_ONLY} onPress={put}>
            {answer.is_allowed ? 'Put it here' : 'Put it at the nearest place'}
          </Button>
        ) : null}
      </figcaption>
    </figure>
  );
}

const WAYS: Record<string, At | undefined> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, 1],
  ArrowDown: [0, -1],
};

function nameOf({ surface, is_ceiling, is_floor }: Patch): string {
  if (is_ceiling) return 'The ceiling, seen from above';
  if (is_floor) return 'The floor, seen from above';
  return `Wall ${surface}, seen from inside`;
}

type Box = { left: number; right: number; bottom: number; top: number };

function boxOf(outline: readonly (readonly number[])[]): Box {
  const xs = outline.map(([x = 0]) => x);
  const ys = outline.map(([, y = 0]) => y);
  return { left: Math.min(...xs), right: Math.max(...xs), bottom: Math.min(...ys), top: Math.max(...ys) };
}

function middle({ left, right, bottom, top }: Box): At {
  return [(left + right) / 2, (bottom + top) / 2];
}

function clamp(value: number, low: number, high: number): number {
  return Math.min(Math.max(value, low), high);
}

function cross(x: number, y: number, arm: number): string {
  return `M${x - arm} ${y}H${x + arm}M${x} ${y - arm}V${y + arm}`;
}
