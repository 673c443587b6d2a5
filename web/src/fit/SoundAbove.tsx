// The room's sound above the bass: how loud each octave is over the plan and at each seat, and from where each seat hears each
// channel. While a loudspeaker is in the hand, all of it is that of the loudspeaker where it is.

import { useContext, useEffect, useMemo, useState } from 'preact/hooks';

import { spaces } from '../api/client';
import type { Edit, Sound } from '../api/schema';
import { useJob } from '../job';
import { Button } from '../parts/Button';
import { Strip } from '../parts/Strip';
import { Waiting } from '../parts/Waiting';
import { figure } from '../units';
import { useResource } from '../useResource';
import { DraftsContext } from './draft';
import { Live } from './live';
import type { Scene } from './scene';
import './sound.css';

type Octave = Sound['octaves'][number];
type Dial = Sound['dials'][number];

const CM = 100;
const EDGE_M = 0.3;
/** Shades are so many decibels apart. */
const STEP_DB = 1;
const STEPS = 7;

export function SoundAbove({ scene, onClose }: { scene: Scene; onClose: () => void }) {
  const job = useJob();
  const { space } = scene;
  const [chosen, setChosen] = useState(2000);
  const loaded = useResource(`${job.id} ${space} ${job.revision} sound`, (signal) =>
    spaces.sound(job.id, space, signal),
  );
  const moved = useMoved(space);
  const sound = moved ?? (loaded.data?.space === space ? loaded.data : null);
  const octave = sound?.octaves.find(({ hz }) => hz === chosen) ?? null;
  return (
    <section class="sound-above" aria-label="Sound above the bass">
      <div class="fit-head">
        <h2>Sound above the bass</h2>
        <Button onPress={onClose}>Close</Button>
      </div>
      {moved === null ? null : <p class="soft">As it is where the thing in the hand is now.</p>}
      {loaded.trouble ? <Strip trouble={loaded.trouble} onAgain={loaded.reload} /> : null}
      {sound === null && !loaded.trouble ? <Waiting for="the levels" /> : null}
      {sound?.missing ? <p>Levels are not known yet: needs {sound.missing}.</p> : null}
      {sound && octave ? (
        <>
          <div class="actions" role="group" aria-label="Octave">
            {sound.octaves.map(({ hz, text }) => (
              <Button key={hz} pressed={hz === chosen} onPress={() => setChosen(hz)}>
                {text}
              </Button>
            ))}
          </div>
          <LevelPlan scene={scene} sound={sound} octave={octave} />
        </>
      ) : null}
      {sound && sound.dials.length > 0 ? (
        <>
          <h3>From where each seat hears each channel</h3>
          <p class="soft">
            Straight ahead is up. Arcs: what the layout allows there. Outer ring: at ear level; inner ring: overhead. Filled: as
            the layout has it; crossed: not.
          </p>
          <div class="angle-dials">
            {sound.dials.map((dial) => (
              <AngleDial key={dial.seat} dial={dial} />
            ))}
          </div>
        </>
      ) : null}
    </section>
  );
}

/** The sound with the body in the hand where it is; null while there is none. */
function useMoved(space: string): Sound | null {
  const { id, revision } = useJob();
  const drafts = useContext(DraftsContext);
  const [sound, setSound] = useState<Sound | null>(null);
  useEffect(() => {
    if (drafts === null) return;
    const live = new Live<Edit[], Sound>(
      (edits, _, signal) => spaces.changedSound(id, space, { base: revision, edits }, signal),
      (answer) => setSound(answer),
      () => setSound(null),
    );
    const deaf = drafts.listen(() => {
      const { now } = drafts;
      if (now !== null && 'edits' in now && now.edits.length > 0) return live.offer(now.edits);
      live.stop();
      setSound(null);
    });
    return () => {
      deaf();
      live.stop();
      setSound(null);
    };
  }, [drafts, id, revision, space]);
  return sound;
}

function LevelPlan({ scene, sound, octave }: { scene: Scene; sound: Sound; octave: Octave }) {
  const box = useMemo(() => boxOf(scene.floor), [scene]);
  const wide = CM * (box.right - box.left + 2 * EDGE_M);
  const tall = CM * (box.top - box.bottom + 2 * EDGE_M);
  const across = (x: number) => CM * (x - box.left + EDGE_M);
  const down = (y: number) => CM * (box.top - y + EDGE_M);
  const line = (points: readonly (readonly number[])[]) =>
    points.map(([x = 0, y = 0]) => `${across(x)},${down(y)}`).join(' ');
  const side = CM * sound.cell_m;
  const played = new Set(sound.dials.flatMap(({ channels }) => channels.map(({ item }) => `item:${item}`)));
  const usual = useMemo(() => meanOf(octave), [octave]);
  const told = octave.seats.map(({ seat, text }) => `${seat} ${text}`).join(', ');
  return (
    <figure class="level-plan">
      <svg
        viewBox={`0 0 ${wide} ${tall}`}
        role="img"
        aria-label={`Level over the plan at ${octave.text}, below the loudest place: ${told}`}
      >
        {sound.cells.map(([x, y], index) => (
          <rect
            key={index}
            class="level-cell"
            data-step={stepOf((octave.level_db[index] ?? 0) - usual)}
            x={across(x) - side / 2}
            y={down(y) - side / 2}
            width={side}
            height={side}
          />
        ))}
        <polygon class="bass-room" points={line(scene.floor)} />
        {scene.bodies.map((body) =>
          body.outline !== null && (body.kind === 'seat' || played.has(body.id)) ? (
            <polygon key={body.id} class="level-body" data-kind={body.kind} points={line(body.outline)}>
              <title>{body.label}</title>
            </polygon>
          ) : null,
        )}
        {octave.seats.map(({ seat, at: [x, y], level_db }) => (
          <text key={seat} class="level-text" x={across(x)} y={down(y)}>
            {figure(level_db, 1)}
            <tspan x={across(x)} dy="15">
              dB
            </tspan>
          </text>
        ))}
      </svg>
      <figcaption class="soft">
        {octave.text}, {sound.up_text} up, all loudspeakers but subwoofers as loud as each other 1 m before them, direct and room sound
        together. Each shade darker is {STEP_DB} dB louder, the middle one as loud as the seats in the mean; at the seats, dB below
        the loudest place.
      </figcaption>
    </figure>
  );
}

/** 0 is the darkest shade. */
function stepOf(over_db: number): number {
  return Math.min(STEPS - 1, Math.max(0, (STEPS - 1) / 2 - Math.round(over_db / STEP_DB)));
}

function meanOf({ seats, level_db }: Octave): number {
  const levels = seats.length > 0 ? seats.map((seat) => seat.level_db) : level_db;
  return levels.reduce((sum, level) => sum + level, 0) / Math.max(1, levels.length);
}

function boxOf(outline: readonly (readonly number[])[]) {
  const xs = outline.map(([x = 0]) => x);
  const ys = outline.map(([, y = 0]) => y);
  return { left: Math.min(...xs), right: Math.max(...xs), bottom: Math.min(...ys), top: Math.max(...ys) };
}

const RING = 78;
const INNER = 48;

function AngleDial({ dial }: { dial: Dial }) {
  return (
    <figure class="angle-dial">
      <svg viewBox="-110 -110 220 220" role="img" aria-label={dial.says}>
        <circle r={RING} class="dial-ring" />
        <circle r={INNER} class="dial-ring" />
        <path class="dial-ahead" d="M0 -8V-96M-5 -88L0 -96L5 -88" />
        <circle r="6" class="dial-head" />
        {dial.channels.map((one) => {
          const ring = one.is_overhead ? INNER : RING;
          const [x, y] = onRing(one.azimuth_rad, ring);
          return (
            <g key={one.item}>
              {one.azimuths_rad === null ? null : (
                <path class="dial-arc" d={arc(one.azimuths_rad[0], one.azimuths_rad[1], ring)} />
              )}
              {one.is_inside ? (
                <circle class="dial-in" cx={x} cy={y} r="7" />
              ) : (
                <path class="dial-out" d={`M${x - 6} ${y - 6}L${x + 6} ${y + 6}M${x - 6} ${y + 6}L${x + 6} ${y - 6}`} />
              )}
            </g>
          );
        })}
      </svg>
      <figcaption>
        {dial.says}
        {dial.is_main ? ' It is the seat that the layout is meant for.' : ''}
        <details>
          <summary>Each channel</summary>
          <ul>
            {dial.channels.map(({ item, text }) => (
              <li key={item}>{text}</li>
            ))}
          </ul>
        </details>
      </figcaption>
    </figure>
  );
}

/** Positive angles are to the left of straight ahead. */
function onRing(azimuth_rad: number, ring: number): readonly [number, number] {
  return [-Math.sin(azimuth_rad) * ring, -Math.cos(azimuth_rad) * ring];
}

function arc(right_rad: number, left_rad: number, ring: number): string {
  const width = left_rad - right_rad;
  const whole = width >= 2 * Math.PI - 1e-6;
  const [a, b] = onRing(right_rad, ring);
  const [c, d] = onRing(whole ? right_rad + 2 * Math.PI - 1e-3 : left_rad, ring);
  return `M${a} ${b}A${ring} ${ring} 0 ${width > Math.PI ? 1 : 0} 0 ${c} ${d}`;
}
