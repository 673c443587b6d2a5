// A drawing as it is on paper, its lines and words in the page's own ink; what it shows can be pressed, and walked by keys.

import { useState } from 'preact/hooks';

import type { Drawn, DrawnThing } from '../api/schema';
import './wiring.css';

/** Lettering is drawn this large, px, however long the drawing gets: it scrolls by itself. */
const LETTERS_PX = 14;
/** What a finger must hit is this high, px. */
const FINGER_PX = 44;

type Props = {
  drawn: Drawn;
  /** Where a press on a thing leads; null for what can't be pressed. */
  href: (thing: DrawnThing) => string | null;
};

export function DrawnFigure({ drawn, href }: Props) {
  const [wide, tall] = drawn.size_mm;
  const px = LETTERS_PX / drawn.lettering_mm;
  const pressed = drawn.things.flatMap((thing) => {
    const to = href(thing);
    return to === null ? [] : [{ thing, to }];
  });
  const [current, setCurrent] = useState(0);
  const walk = (event: KeyboardEvent & { currentTarget: SVGSVGElement }) => {
    const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
    const end = { Home: 0, End: pressed.length - 1 }[event.key];
    if (step === undefined && end === undefined) return;
    event.preventDefault();
    const next = end ?? Math.min(Math.max(current + (step ?? 0), 0), pressed.length - 1);
    setCurrent(next);
    event.currentTarget.querySelectorAll('a')[next]?.focus();
  };
  const stop = Math.min(current, pressed.length - 1);
  return (
    <div class="drawn-scroll">
      <svg
        class="drawn"
        role="group"
        aria-label={`${drawn.title}; arrow keys walk through it`}
        width={wide * px}
        height={tall * px}
        viewBox={`0 0 ${wide} ${tall}`}
        onKeyDown={walk}
      >
        {drawn.things.map((thing, index) =>
          pressed.some((one) => one.thing === thing) ? null : <Lines key={index} thing={thing} />,
        )}
        {pressed.map(({ thing, to }, index) => (
          <a
            key={thing.id}
            href={to}
            aria-label={thing.says}
            tabIndex={index === stop ? 0 : -1}
            onFocus={() => setCurrent(index)}
          >
            <Hit thing={thing} least={FINGER_PX / px} />
            <Lines thing={thing} />
          </a>
        ))}
        {drawn.texts.map(({ at_mm: [x, y], anchor, is_bold, text }, index) => (
          <text
            key={index}
            x={x}
            y={y}
            text-anchor={anchor}
            font-size={drawn.lettering_mm}
            font-weight={is_bold ? 600 : 400}
          >
            {text}
          </text>
        ))}
      </svg>
    </div>
  );
}

/** A box is pressed all over and a little round it, a line along itself. */
function Hit({ thing, least }: { thing: DrawnThing; least: number }) {
  const [left, top, wide, tall] = thing.box_mm;
  const [first, ...rest] = thing.lines;
  if (first && rest.length > 0) return <polyline class="hit" points={pointsOf(first.points_mm)} />;
  const [x, y] = [Math.max(0, least - wide) / 2, Math.max(0, least - tall) / 2];
  return <rect class="hit" x={left - x} y={top - y} width={wide + 2 * x} height={tall + 2 * y} />;
}

function Lines({ thing }: { thing: DrawnThing }) {
  return (
    <>
      {thing.lines.map(({ points_mm, pen, width_mm, dashes_mm, is_filled }, index) => (
        <polyline
          key={index}
          class={is_filled ? `line ${pen} filled` : `line ${pen}`}
          points={pointsOf(points_mm)}
          stroke-width={width_mm}
          stroke-dasharray={dashes_mm.join(' ') || undefined}
        />
      ))}
    </>
  );
}

function pointsOf(points: readonly (readonly [number, number])[]): string {
  return points.map(([x, y]) => `${x},${y}`).join(' ');
}
