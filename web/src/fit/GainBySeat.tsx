// The screen's gain over the angle off its normal, with the seats on the curve.

import type { Light } from '../api/schema';

type Year = NonNullable<Light['pictures'][number]['year']>;

const WIDE = 420;
const HIGH = 170;
const LEFT = 34;
const RIGHT = 10;
const FOOT = 26;
/** Names stand in rows above the curve. */
const ROW = 15;

export function GainBySeat({ year }: { year: Year }) {
  const { gain } = year;
  const seats = [...year.seats].sort((a, b) => a.angle_rad - b.angle_rad);
  const last = gain.points[gain.points.length - 1]?.[0] ?? 1;
  const most = Math.ceil(Math.max(...gain.points.map(([, value]) => value), 0.5) * 2) / 2;
  const top = 8 + seats.length * ROW;
  const x = (rad: number): number => LEFT + (rad / last) * (WIDE - LEFT - RIGHT);
  const y = (value: number): number => top + (1 - value / most) * HIGH;
  const path = (points: readonly (readonly number[])[]): string =>
    points.map(([rad = 0, value = 0], i) => `${i === 0 ? 'M' : 'L'}${x(rad)} ${y(value)}`).join('');
  const known = gain.reliable_rad ?? last;
  const split = gain.points.findLastIndex(([rad]) => rad <= known + 1e-9);
  const words = seats.map(
    ({ seat, angle_text, gain, white_cd_m2 }) =>
      `${seat}: ${angle_text} off, gain ${gain.toFixed(2)}, ${white_cd_m2.toFixed(0)} cd/m²`,
  );
  return (
    <figure class="gain-by-seat">
      <svg
        viewBox={`0 0 ${WIDE} ${top + HIGH + FOOT}`}
        role="img"
        aria-label={`Gain by seat. ${words.join('; ')}`}
      >
        {steps(most).map((value) => (
          <g key={value}>
            <path class="grid" d={`M${LEFT} ${y(value)}H${WIDE - RIGHT}`} />
            <text class="at-end" x={LEFT - 5} y={y(value) + 4}>
              {value.toFixed(1)}
            </text>
          </g>
        ))}
        {angles(last).map((degrees) => (
          <text class="at-middle" key={degrees} x={x((degrees * Math.PI) / 180)} y={top + HIGH + 16}>
            {degrees}°
          </text>
        ))}
        <path class="known" d={path(gain.points.slice(0, split + 1))} />
        <path class="unsure" d={path(gain.points.slice(Math.max(split, 0)))} />
        {seats.map(({ seat, angle_rad, gain, white_cd_m2 }, row) => {
          const at = x(angle_rad);
          const toRight = at < WIDE * 0.6;
          return (
            <g key={seat}>
              <path class="lead" d={`M${at} ${4 + row * ROW}V${y(gain)}`} />
              <circle cx={at} cy={y(gain)} r="4" />
              <text class={toRight ? '' : 'at-end'} x={at + (toRight ? 5 : -5)} y={14 + row * ROW}>
                {seat}, {white_cd_m2.toFixed(0)} cd/m²
              </text>
            </g>
          );
        })}
      </svg>
      <figcaption>
        The screen’s gain by the angle off its normal
        {gain.half_rad === null || gain.half_rad === undefined
          ? ', taken as the same all round: its sheet names no half-gain angle'
          : `; half of it is left at ${degreesOf(gain.half_rad)}°`}
        {known < last - 1e-6 ? ', and the thin part is not known well' : ''}
        .
      </figcaption>
    </figure>
  );
}

function steps(most: number): number[] {
  return Array.from({ length: Math.round(most * 2) + 1 }, (_, step) => step / 2);
}

function angles(last: number): number[] {
  return Array.from({ length: Math.floor(degreesOf(last) / 20) + 1 }, (_, step) => step * 20);
}

function degreesOf(rad: number): number {
  return Math.round((rad * 180) / Math.PI);
}
