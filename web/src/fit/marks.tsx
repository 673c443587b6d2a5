// Dimension chains, scale bar, north arrow and title block of a drawing on the screen.

import type { Units } from '../api/schema';
import { length } from '../units';
import { pixel, scaleBarLength, type Camera, type Flat, type Pixel, type Size } from './camera';
import { readable, type Chain, type Figure } from './figure';
import { at, degrees, slant } from './write';

/** From the face of a wall to its first chain, and from chain to chain, px. */
const FIRST_PX = 20;
const NEXT_PX = 22;
/** What is cut is drawn this thick beyond its face, m: chains start outside of it. */
const BAND_M = 0.1;
/** Extension lines start off the wall and pass the chain by this, px. */
const PASS_PX = 6;
/** The height of the title block, px. */
export const BLOCK_PX = 52;

/** How far a chain lies from its wall, px. */
export function chainOffset(rank: number, camera: Camera): number {
  return BAND_M * camera.scale + FIRST_PX + rank * NEXT_PX;
}

type ChainProps = {
  chain: Chain;
  camera: Camera;
  units: Units;
  width: (text: string) => number;
  /** A figure that decides a tight finding is underlined. */
  decides: boolean;
};

export function ChainMarks({ chain, camera, units, width, decides }: ChainProps) {
  const [from, to] = [pixel(camera, chain.from), pixel(camera, chain.to)];
  const long = Math.hypot(to[0] - from[0], to[1] - from[1]) || 1;
  const way: Flat = [(to[0] - from[0]) / long, (to[1] - from[1]) / long];
  const off = chainOffset(chain.rank, camera);
  const on = (metres: number, out: number): Pixel => [
    from[0] + way[0] * metres * camera.scale + chain.out[0] * out,
    from[1] + way[1] * metres * camera.scale + chain.out[1] * out,
  ];
  const [first, last] = [chain.ticks[0] ?? 0, chain.ticks[chain.ticks.length - 1] ?? 0];
  const extensions = chain.ticks.map(
    (tick) => `M${at(on(tick, BAND_M * camera.scale + PASS_PX))}L${at(on(tick, off + PASS_PX))}`,
  );
  const turn = degrees(readable(Math.atan2(way[1], way[0])));
  const figures = chain.ticks.slice(1).flatMap((tick, i) => {
    const start = chain.ticks[i] ?? 0;
    const plain = chain.text ?? length(tick - start, units);
    const text = chain.doubtful ? `[${plain}]` : plain;
    if (width(text) > (tick - start) * camera.scale - 4) return [];
    return [{ text, at: on((start + tick) / 2, off) }];
  });
  return (
    <g class="chain" aria-hidden="true">
      <path d={`M${at(on(first, off))}L${at(on(last, off))}${extensions.join('')}`} />
      <path class="strokes" d={chain.ticks.map((tick) => slant(on(tick, off))).join('')} />
      {figures.map((figure) => (
        <text
          key={`${figure.text}${at(figure.at)}`}
          class={decides ? 'decides' : undefined}
          transform={`translate(${at(figure.at)}) rotate(${turn}) translate(0 -5)`}
        >
          {figure.text}
        </text>
      ))}
    </g>
  );
}

type BlockProps = { figure: Figure; name: string; camera: Camera; size: Size; units: Units };

/** Along the foot of the sheet: scale, north, what it shows. */
export function TitleBlock({ figure, name, camera, size, units }: BlockProps) {
  const top = size.height - BLOCK_PX;
  const bar = scaleBarLength(camera, units);
  const wide = bar * camera.scale;
  const left = 16;
  const compass = left + wide + 56;
  return (
    <g class="sheet-block">
      <rect x="0" y={top} width={size.width} height={BLOCK_PX} />
      <path d={`M0 ${top}H${size.width}`} />
      <g class="scale-bar" role="img" aria-label={`Scale bar of ${length(bar, units)}`}>
        {[0, 1, 2, 3].map((i) => (
          <rect
            key={i}
            class={i % 2 === 0 ? 'solid' : undefined}
            x={left + (wide * i) / 4}
            y={top + 31}
            width={wide / 4}
            height="7"
          />
        ))}
        <text x={left} y={top + 22}>
          0
        </text>
        <text class="end" x={left + wide} y={top + 22}>
          {length(bar, units)}
        </text>
      </g>
      {figure.north_rad === null ? null : (
        <g
          class="north"
          role="img"
          aria-label="North"
          transform={`translate(${compass} ${top + BLOCK_PX / 2 + 3}) rotate(${degrees(figure.north_rad)})`}
        >
          <path d="M0 14V-12M-5 -4L0 -12L5 -4" />
          <text transform={`translate(0 -20) rotate(${degrees(-figure.north_rad)})`} dy="5">
            N
          </text>
        </g>
      )}
      <text class="title end" x={size.width - 16} y={top + 22}>
        {`${name} · ${figure.title}`}
      </text>
      {size.width < 520 ? null : (
        <text class="soft end" x={size.width - 16} y={top + 41}>
          {figure.looking}
        </text>
      )}
    </g>
  );
}
