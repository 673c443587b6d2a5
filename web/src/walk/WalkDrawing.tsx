// The plan or a wall of the room as far as it is measured, to look at and to press; nothing is dragged here.

import { useMemo, useRef } from 'preact/hooks';

import type { Units, WalkThing } from '../api/schema';
import { fitted, flat as flatAt, type Flat, type Size } from '../fit/camera';
import { DrawnMark, Hatches, LabelMark, LineMark, path, WallMark } from '../fit/elements';
import type { Figure } from '../fit/figure';
import { ChainMarks } from '../fit/marks';
import type { Scene, Wall } from '../fit/scene';
import { chainsOf, NARROW_PX, pixelAt, ranked, useSize } from '../fit/useCamera';
import { textWidth, useNames } from '../fit/useLabels';
import { elevation } from '../fit/wall';
import { UnsentMarks } from './Unsent';

type Props = {
  figure: Figure;
  name: string;
  units: Units;
  /** A wall to tell apart. */
  wall?: string | null;
  selected?: string | null;
  /** Added out of reach, where a finger was. */
  unsent?: readonly WalkThing[];
  onWall?: (wall: string) => void;
  onBody?: (body: string) => void;
  /** A place of a wall that was pressed, m from its left corner and above the floor. */
  onPlace?: (place: { along_m: number; height_m: number }) => void;
};

const NO_WIDTH: Size = { width: 0, height: 0 };

export function WalkDrawing({ figure, name, units, wall, selected, unsent = [], onWall, onBody, onPlace }: Props) {
  const svg = useRef<SVGSVGElement>(null);
  const size = useSize(svg);
  const camera = useMemo(() => {
    const room = figure.wall_names.length > 0 ? 62 : 46;
    const margins = { left: room, right: room, top: figure.plan ? room : 18, bottom: room };
    return fitted(figure.bounds, size, margins);
  }, [figure, size]);
  const names = useNames(figure, camera, size, selected ?? null);
  const press = (target: EventTarget | null, event: MouseEvent | null): boolean => {
    const element = target instanceof Element ? target : null;
    const named = element?.closest('[data-wall]')?.getAttribute('data-wall');
    if (named && onWall) onWall(named);
    else {
      const body = element?.closest('[data-body]')?.getAttribute('data-body');
      if (body && onBody) onBody(body);
      else if (event && onPlace && svg.current) {
        const [x, y] = flatAt(camera, pixelAt(event, svg.current));
        if (!inside([x, y], figure)) return false;
        onPlace({ along_m: x, height_m: -y });
      } else return false;
    }
    return true;
  };
  const chosen = figure.wall_names.find((one) => one.wall === wall);
  const edge = figure.chains.find((chain) => chain.wall === wall);
  return (
    <svg
      ref={svg}
      class={onPlace ? 'board walk-board pressed' : 'board walk-board'}
      role="group"
      aria-label={`${figure.title} of ${name}, ${figure.looking}`}
      onClick={(event) => press(event.target, event)}
      onKeyDown={(event) => {
        if ((event.key === 'Enter' || event.key === ' ') && press(event.target, null)) event.preventDefault();
      }}
    >
      <defs>
        <Hatches />
        <clipPath id="room">
          <path d={path(figure.outline, camera, true)} />
        </clipPath>
      </defs>
      {size.width === NO_WIDTH.width ? null : (
        <>
          <g class="lines" aria-hidden="true">
            {figure.lines
              .filter((line) => line.layer === undefined || line.layer === 'framing')
              .map((line, i) => (
                <LineMark key={i} line={line} camera={camera} />
              ))}
            {chosen && edge ? (
              <path class="walked" d={path([edge.from, edge.to], camera)} />
            ) : null}
          </g>
          <g class="chains">
            {figure.chains.filter(ranked({ ...size, width: Math.min(size.width, NARROW_PX - 1) }, figure)).map((chain, i) => (
              <ChainMarks
                key={i}
                chain={{ ...chain, rank: 0 }}
                camera={camera}
                units={units}
                width={textWidth}
                decides={false}
              />
            ))}
          </g>
          {figure.elements.map((drawn) => (
            <DrawnMark
              key={drawn.body.id}
              drawn={{ ...drawn, rail: null }}
              camera={camera}
              verdict={undefined}
              named={false}
              selected={drawn.body.id === selected}
              ringed={false}
              tabStop={onBody !== undefined}
              onFocus={() => {}}
            />
          ))}
          {figure.wall_names.map((one) => (
            <WallMark
              key={one.wall}
              name={one}
              camera={camera}
              rank={chainsOf(figure, one, { ...size, width: 0 })}
              tabStop={onWall !== undefined}
              onFocus={() => {}}
            />
          ))}
          {unsent.length > 0 ? <UnsentMarks things={unsent} camera={camera} /> : null}
          {figure.elements.length > 0 && !figure.plan ? (
            <g class="labels" aria-hidden="true">
              {names.map((label) => (
                <LabelMark key={label.id} label={label} selected={label.id === selected} verdict={undefined} />
              ))}
            </g>
          ) : null}
        </>
      )}
    </svg>
  );
}

/** A wall from inside. One of unknown height is drawn as tall as a room may be, but no figure says so. */
export function wallFigure(scene: Scene, wall: Wall): Figure {
  const figure = elevation(scene, wall);
  if (wall.top.length > 1) return figure;
  return { ...figure, chains: figure.chains.filter(({ from, to }) => from[1] === to[1]) };
}

function inside([x, y]: Flat, { bounds: { min, max } }: Figure): boolean {
  return x >= min[0] && x <= max[0] && y >= min[1] && y <= max[1];
}
