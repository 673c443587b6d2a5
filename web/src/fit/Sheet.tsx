// A flat drawing on the screen: lines, elements and dimensions of a figure, with pan, zoom, press, drag and keys.

import { useLayoutEffect, useMemo, useRef, useState } from 'preact/hooks';

import type { Units, Verdict } from '../api/schema';
import { length } from '../units';
import type { Place } from './drag';
import { DrawnMark, Hatches, LabelMark, LineMark, path, WallMark } from './elements';
import { span, type Drawn, type Figure, type Layer } from './figure';
import { ChainMarks, TitleBlock } from './marks';
import { heldKey, readingOrder, walkKey } from './sheetKeys';
import { cameraKey, chainsOf, NARROW_PX, ranked, useCamera, useSize, useWheel } from './useCamera';
import { useHand, type Carried } from './useHand';
import { textWidth, useLabels } from './useLabels';
import { usePointers } from './usePointers';
import { groupsOf, rest, restOf, writeDistances, writeShift, writeSnaps } from './write';

type Props = {
  /** Changes with job, space and view: the drawing is fitted anew. */
  id: string;
  name: string;
  figure: Figure;
  units: Units;
  layers: ReadonlySet<Layer>;
  selected: string | null;
  /** Subjects of the open finding. */
  ringed: readonly string[];
  /** The worst verdict about each body. */
  verdicts: ReadonlyMap<string, Verdict>;
  /** Walls whose length decides a tight finding. */
  deciding: ReadonlySet<string>;
  /** What becomes of a position: proved on the way, saved at its end. */
  carried: Pick<Carried, 'prove' | 'save'> & { restore: () => void };
  onSelect: (body: string | null) => void;
  onOpenWall: (wall: string) => void;
};

export function Sheet(props: Props) {
  const { figure, units, layers, selected, ringed, verdicts } = props;
  const svg = useRef<SVGSVGElement>(null);
  const size = useSize(svg);
  const hold = useRef<() => boolean>(() => false);
  const [camera, setCamera] = useCamera(props.id, figure, size, () => hold.current());
  const [active, setActive] = useState<string | null>(null);
  const [pointed, setPointed] = useState<string | null>(null);
  const [focused, setFocused] = useState<string | null>(null);
  const stops = useMemo(() => readingOrder(figure), [figure]);
  const shown = (line: { layer?: Layer; of?: readonly string[] }): boolean =>
    line.layer === undefined ||
    layers.has(line.layer) ||
    (line.of !== undefined && ringed.length > 0 && line.of.every((id) => ringed.includes(id)));
  const drawnOf = (body: string | null): Drawn | undefined =>
    figure.elements.find((drawn) => drawn.body.id === body);

  const live = useRef({ camera, figure, size, units });
  live.current = { camera, figure, size, units };
  const distances = useRef<SVGGElement>(null);
  const snaps = useRef<SVGGElement>(null);

  const writeAt = (drawn: Drawn | undefined, place: Place | null) => {
    const { camera, figure, units } = live.current;
    if (!distances.current) return;
    const shown = drawn && place ? figure.distances(drawn, place) : [];
    writeDistances(distances.current, camera, shown, (metres) => length(metres, units));
  };
  const hands = useHand({
    show: (of, place, lines) => {
      const drawn = live.current.figure.elements.find(({ body }) => body.id === of);
      if (!drawn || !snaps.current) return;
      svg.current?.classList.add('dragging');
      for (const group of groupsOf(svg.current, of)) {
        group.classList.add('held');
        writeShift(group, live.current.camera, drawn.frame, restOf(drawn), place);
      }
      writeSnaps(snaps.current, live.current.camera, drawn.frame, lines, live.current.size);
      writeAt(drawn, place);
    },
    prove: props.carried.prove,
    save: props.carried.save,
    restore: (of) => {
      letGo(of);
      props.carried.restore();
    },
    select: props.onSelect,
  });
  hold.current = () => hands.now().state !== 'empty';
  const letGo = (of: string) => {
    svg.current?.classList.remove('dragging');
    for (const group of groupsOf(svg.current, of)) rest(group);
    snaps.current?.replaceChildren();
    const drawn = live.current.figure.elements.find(({ body }) => body.id === of);
    writeAt(of === selected ? drawn : undefined, drawn ? restOf(drawn) : null);
  };

  // A new scene has the dragged body where it was put down.
  useLayoutEffect(() => {
    svg.current?.classList.remove('dragging');
    for (const held of svg.current?.querySelectorAll('.held') ?? []) rest(held);
    snaps.current?.replaceChildren();
  }, [figure]);
  useLayoutEffect(() => {
    const hand = hands.now();
    const drawn = drawnOf(hand.state === 'held' ? hand.rail.of : selected);
    if (drawn && hand.state === 'held') {
      for (const group of groupsOf(svg.current, drawn.body.id)) {
        writeShift(group, camera, drawn.frame, restOf(drawn), hand.place);
      }
      writeAt(drawn, hand.place);
    } else writeAt(drawn, drawn ? restOf(drawn) : null);
  }, [figure, camera, selected]);

  const pointers = usePointers(svg, {
    camera,
    setCamera,
    hands,
    figure,
    onSelect: props.onSelect,
    onOpenWall: props.onOpenWall,
  });
  useWheel(svg, setCamera);

  const focus = (id: string) => {
    setActive(id);
    svg.current?.querySelector<SVGGElement>(`[data-stop="${CSS.escape(id)}"]`)?.focus();
  };
  const onKeyDown = (event: KeyboardEvent) => {
    const hand = hands.now();
    if (hand.state === 'held' && hand.by === 'keys') {
      if (heldKey(event, drawnOf(hand.rail.of), units, hands)) event.preventDefault();
      return;
    }
    if (event.key === 'Escape') {
      if (hand.state === 'held' || hand.state === 'pressed') hands.happens({ is: 'put back' });
      else if (selected !== null) props.onSelect(null);
      else return;
      // A drawing over the whole screen stays open.
      return event.preventDefault();
    }
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const used = cameraKey(event, size, figure, setCamera) || walkKey(event, stops, active, focus);
    if (used) return event.preventDefault();
    if (event.key !== 'Enter' && event.key !== ' ') return;
    const stop = stops.find(({ id }) => id === (active ?? stops[0]?.id));
    if (!stop) return;
    event.preventDefault();
    if (stop.wall !== undefined) return props.onOpenWall(stop.wall);
    props.onSelect(stop.id);
    const rail = drawnOf(stop.id)?.rail;
    if (event.key === 'Enter' && rail) hands.happens({ is: 'picked up', rail });
  };

  const first = stops[0]?.id;
  const tabStop = stops.some(({ id }) => id === active) ? active : first;
  const lines = figure.lines.filter(shown);
  const spans = useMemo(() => {
    const drawn = drawnOf(selected);
    const rests = drawn ? figure.distances(drawn, restOf(drawn)) : [];
    return rests.map(({ from, to }) => ({ from, to, text: length(span(from, to), units) }));
  }, [figure, selected, units]);
  const labels = useLabels(
    figure,
    camera,
    size,
    layers,
    { selected, ringed, pointed, focused, verdicts },
    spans,
    shown,
  );
  return (
    <svg
      ref={svg}
      class="board"
      role="application"
      aria-label={`${figure.title} of ${props.name}, ${figure.looking}`}
      aria-describedby="sheet-keys"
      tabIndex={stops.length === 0 ? 0 : undefined}
      onKeyDown={onKeyDown}
      onPointerOver={(event) => setPointed(under(event))}
      onPointerLeave={() => setPointed(null)}
      onFocusOut={() => setFocused(null)}
      {...pointers}
    >
      <defs>
        <Hatches />
        <clipPath id="room">
          <path d={path(figure.outline, camera, true)} />
        </clipPath>
      </defs>
      {size.width === 0 ? null : (
        <>
          <g class="lines" aria-hidden="true">
            {lines
              .filter(({ over }) => !over)
              .map((line, i) => (
                <LineMark key={i} line={line} camera={camera} />
              ))}
          </g>
          {layers.has('dimensions') ? (
            <g class="chains">
              {figure.chains.filter(ranked(size, figure)).map((chain, i) => (
                <ChainMarks
                  key={i}
                  chain={size.width < NARROW_PX ? { ...chain, rank: 0 } : chain}
                  camera={camera}
                  units={units}
                  width={textWidth}
                  decides={chain.wall !== undefined && props.deciding.has(chain.wall)}
                />
              ))}
            </g>
          ) : null}
          {figure.elements.map((drawn) => (
            <DrawnMark
              key={drawn.body.id}
              drawn={drawn}
              camera={camera}
              verdict={verdicts.get(drawn.body.id)}
              named={labels.some(({ id }) => id === drawn.body.id)}
              selected={drawn.body.id === selected}
              ringed={ringed.includes(drawn.body.id)}
              tabStop={drawn.body.id === tabStop}
              onFocus={() => {
                setActive(drawn.body.id);
                setFocused(drawn.body.id);
              }}
            />
          ))}
          <g class="lines" aria-hidden="true" pointer-events="none">
            {lines
              .filter(({ over }) => over)
              .map((line, i) => (
                <LineMark key={i} line={line} camera={camera} />
              ))}
          </g>
          {figure.wall_names.map((name) => (
            <WallMark
              key={name.wall}
              name={name}
              camera={camera}
              rank={chainsOf(figure, name, size)}
              tabStop={`wall:${name.wall}` === tabStop}
              onFocus={() => setActive(`wall:${name.wall}`)}
            />
          ))}
          <g class="labels" aria-hidden="true">
            {labels.map((label) => (
              <LabelMark
                key={label.id}
                label={label}
                selected={label.id === selected}
                verdict={verdicts.get(label.id)}
              />
            ))}
          </g>
          <g ref={snaps} class="snaps" aria-hidden="true" />
          <g ref={distances} class="distances" aria-hidden="true" />
          <TitleBlock figure={figure} name={props.name} camera={camera} size={size} units={units} />
        </>
      )}
    </svg>
  );
}

/** The body that a pointer is over, by what the browser finds there: good enough for its name. */
function under({ target }: PointerEvent): string | null {
  return target instanceof Element
    ? (target.closest('[data-body]')?.getAttribute('data-body') ?? null)
    : null;
}
