// What each seat hears over frequency, of the subs that are tried.

import { useState } from 'preact/hooks';

import type { BassHeard, BassSeat } from '../api/schema';
import { Table } from '../parts/Table';
import { figure } from '../units';

const WIDE = 640;
const TALL = 300;
const LEFT = 44;
const RIGHT = 110;
const TOP = 12;
const BOTTOM = 34;
const TICKS_HZ = [20, 30, 50, 80, 100, 150, 200];
const DASHES = ['', '8 3', '2 3', '10 3 2 3', '4 2 1 2 1 2', '14 4', '1 4', '6 2 2 2 2 2'];
const STEP_DB = 10;

export function BassCurves({ heard, seats }: { heard: BassHeard; seats: readonly BassSeat[] }) {
  const [at, setAt] = useState<number | null>(null);
  const lines = heard.arrangement.levels_db;
  const hz = heard.frequencies_hz;
  const low = hz[0] ?? 15;
  const high = hz.at(-1) ?? 200;
  const all = lines.flat();
  const top = Math.ceil((Math.max(...all) + 1) / STEP_DB) * STEP_DB;
  const bottom = Math.max(Math.floor(Math.min(...all) / STEP_DB) * STEP_DB, top - 60);
  const x = (value: number) => LEFT + ((WIDE - LEFT - RIGHT) * Math.log(value / low)) / Math.log(high / low);
  const y = (level: number) =>
    TOP + ((TALL - TOP - BOTTOM) * (top - Math.max(bottom, level))) / (top - bottom);
  const levels = Array.from({ length: (top - bottom) / STEP_DB + 1 }, (_, step) => bottom + step * STEP_DB);
  const names = ends(lines.map((line) => y(line.at(-1) ?? bottom)));
  const label = (index: number) => seats.find(({ id }) => id === heard.seats[index])?.label ?? '';
  const shown = at ?? Math.floor(hz.length / 2);
  return (
    <figure class="bass-curves">
      <svg
        viewBox={`0 0 ${WIDE} ${TALL}`}
        role="img"
        aria-label="Level at each seat over frequency; as a table below"
        onPointerMove={(event) => {
          const box = event.currentTarget.getBoundingClientRect();
          const along = ((event.clientX - box.left) / box.width) * WIDE;
          const share = (along - LEFT) / (WIDE - LEFT - RIGHT);
          setAt(Math.min(hz.length - 1, Math.max(0, Math.round(share * (hz.length - 1)))));
        }}
        onPointerLeave={() => setAt(null)}
      >
        {levels.map((level) => (
          <g key={level} class="bass-grid">
            <line x1={LEFT} x2={WIDE - RIGHT} y1={y(level)} y2={y(level)} />
            <text x={LEFT - 6} y={y(level) + 4} text-anchor="end">
              {figure(level, 0)}
            </text>
          </g>
        ))}
        {TICKS_HZ.filter((tick) => tick >= low && tick <= high).map((tick) => (
          <g key={tick} class="bass-grid">
            <line x1={x(tick)} x2={x(tick)} y1={TOP} y2={TALL - BOTTOM} />
            <text x={x(tick)} y={TALL - BOTTOM + 18} text-anchor="middle">
              {tick}
            </text>
          </g>
        ))}
        <text class="bass-unit" x={WIDE - RIGHT} y={TALL - 2} text-anchor="end">
          Hz; dB over one sub at 1 m in the open
        </text>
        {lines.map((line, index) => (
          <g key={index} class="bass-line">
            <polyline
              points={line.map((level, point) => `${x(hz[point] ?? low).toFixed(1)},${y(level).toFixed(1)}`).join(' ')}
              stroke-dasharray={DASHES[index % DASHES.length]}
            />
            <text x={WIDE - RIGHT + 6} y={(names[index] ?? 0) + 4}>
              {label(index)}
            </text>
          </g>
        ))}
        {at === null ? null : (
          <line class="bass-cursor" x1={x(hz[at] ?? low)} x2={x(hz[at] ?? low)} y1={TOP} y2={TALL - BOTTOM} />
        )}
      </svg>
      <figcaption>
        {figure(hz[shown] ?? 0, 1)} Hz:{' '}
        {lines.map((line, index) => `${label(index)} ${figure(line[shown] ?? 0, 1)} dB`).join(', ')}
      </figcaption>
      <details>
        <summary>As a table</summary>
        <Table
          caption="Level at each seat, dB"
          captionHidden
          columns={[{ head: 'Hz', numeric: true }, ...heard.seats.map((_, index) => ({ head: label(index), numeric: true }))]}
          rows={hz.flatMap((value, point) =>
            point % 8 === 2
              ? [
                  {
                    key: String(value),
                    cells: [figure(value, 1), ...lines.map((line) => figure(line[point] ?? 0, 1))],
                  },
                ]
              : [],
          )}
        />
      </details>
    </figure>
  );
}

/** Names at the lines' ends, pushed apart so that each can be read. */
function ends(wanted: readonly number[]): number[] {
  const apart = 15;
  const order = wanted.map((_, index) => index).sort((a, b) => (wanted[a] ?? 0) - (wanted[b] ?? 0));
  const placed = [...wanted];
  let last = -Infinity;
  for (const index of order) {
    const at = Math.max(wanted[index] ?? 0, last + apart);
    placed[index] = at;
    last = at;
  }
  return placed;
}
