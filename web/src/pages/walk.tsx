// The walk-through: one room at a time, as a tape meets it.

import { useEffect, useMemo, useRef, useState } from 'preact/hooks';

import type { Blank, Edit } from '../api/schema';
import { plan } from '../fit/plan';
import { drawable } from '../fit/scene';
import '../fit/fit.css';
import { useJob } from '../job';
import { go, useQuery } from '../location';
import { LOOKS_ONLY, useMay } from '../may';
import { Strip } from '../parts/Strip';
import { useReach } from '../reach';
import { Title } from '../parts/Title';
import { Waiting } from '../parts/Waiting';
import { link } from '../routes';
import { say } from '../status';
import { Blanks } from '../walk/Blanks';
import { CeilingStep } from '../walk/CeilingStep';
import { useWalk, WalkContext, type WalkState } from '../walk/context';
import { FactField } from '../walk/FactField';
import { Coverings } from '../walk/Coverings';
import { Inside } from '../walk/Inside';
import { Keypad, KeypadContext, useKeypadState } from '../walk/Keypad';
import { Photographs } from '../walk/Photographs';
import { placeOf } from '../walk/place';
import { AddRoom, RoomChooser } from '../walk/Rooms';
import { Seats } from '../walk/Seats';
import { Things, WallPick } from '../walk/Things';
import { useKinds } from '../walk/useKinds';
import { useTyping } from '../walk/useTyping';
import '../walk/walk.css';
import { WalkDrawing } from '../walk/WalkDrawing';
import { Walls } from '../walk/Walls';

/** In the order in which a tape meets them. */
const STEPS = [
  { step: 'walls', title: 'Walls' },
  { step: 'ceiling', title: 'Ceiling' },
  { step: 'things', title: 'On the walls' },
  { step: 'seats', title: 'Seats' },
  { step: 'inside', title: 'Inside the walls' },
  { step: 'room', title: 'Surfaces and air' },
  { step: 'blanks', title: 'Still to measure' },
] as const;
type Step = (typeof STEPS)[number]['step'];

export function Page() {
  const job = useJob();
  const [query, setQuery] = useQuery();
  const [adding, setAdding] = useState(false);
  const space = job.view.spaces.find(({ id }) => id === query.get('room'))?.id ?? job.view.spaces[0]?.id ?? '';
  const rooms = job.view.spaces.map(({ id, name, kind }) => ({ id, name, kind, blanks: 0 }));
  const add = async (id: string, summary: string, edits: Edit[]) => {
    const outcome = await job.change({ edits, summary });
    setAdding(false);
    if (outcome.is === 'kept') say(`${summary}: it waits to be sent, and is walked once dryfit answers.`);
    if (outcome.is === 'sent') setQuery({ room: id, step: null, wall: null, thing: null });
  };
  return (
    <div class="page walk">
      <Title page="Walk" of={job.view.name} />
      {space === '' ? (
        <>
          <p>This job has no room yet.</p>
          <RoomChooser rooms={[]} space="" onRoom={() => {}} onAdd={() => setAdding(true)} />
        </>
      ) : (
        <RoomWalk key={space} space={space} rooms={rooms} onAdd={() => setAdding(true)} />
      )}
      {adding ? <AddRoom document={job.view.document} onAdd={add} onClose={() => setAdding(false)} /> : null}
    </div>
  );
}

type RoomProps = { space: string; rooms: WalkState['walk']['rooms']; onAdd: () => void };

function RoomWalk({ space, rooms, onAdd }: RoomProps) {
  const job = useJob();
  const [query, setQuery] = useQuery();
  const typing = useTyping(job, space);
  const kinds = useKinds();
  const keypad = useKeypadState();
  const reach = useReach();
  const may = useMay();
  const { shown } = typing;
  const scene = useMemo(() => (shown ? drawable(shown.scene) : null), [shown]);
  const step: Step = STEPS.find((one) => one.step === query.get('step'))?.step ?? 'walls';
  const steps = useRef<HTMLElement>(null);
  // On a phone the row of steps is longer than the screen is wide.
  useEffect(() => {
    const nav = steps.current;
    const current = nav?.querySelector<HTMLElement>('[aria-current]');
    if (nav && current) nav.scrollLeft = current.offsetLeft - (nav.clientWidth - current.offsetWidth) / 2;
  }, [step, shown === null]);
  const wall = query.get('wall');
  const thing = query.get('thing');
  useJump(query.get('field'), shown);

  const chooser = (
    <RoomChooser
      rooms={shown?.walk.rooms ?? rooms}
      space={space}
      onRoom={(room) => setQuery({ room, wall: null, thing: null, field: null })}
      onAdd={onAdd}
    />
  );
  if (!shown) {
    return (
      <>
        {chooser}
        {typing.refused ? <Strip trouble={typing.refused} onAgain={typing.reload} /> : <Waiting for="the room" />}
      </>
    );
  }
  const state: WalkState = {
    space,
    units: job.view.units,
    kinds,
    document: job.view.document,
    walk: shown.walk,
    scene,
    text: typing.text,
    isTyped: typing.isTyped,
    trouble: typing.trouble,
    type: typing.type,
    commit: typing.commit,
    save: typing.save,
    added: (at) => setQuery({ thing: at, field: at }, 'replace'),
    bringBack: (at) => {
      const now = document.activeElement;
      const other = now instanceof HTMLElement ? now.dataset['at'] : undefined;
      if (other !== undefined && other !== at && typing.isTyped(other)) return;
      const field = document.querySelector<HTMLElement>(`[data-at="${CSS.escape(at)}"]`);
      if (!field) return setQuery({ ...placeOf(at), field: at }, 'replace');
      field.focus();
      field.scrollIntoView({ block: 'center' });
    },
  };
  const walls = shown.walk.wall_strip.map(({ id }) => `space.${space}.walls.${id}`);
  const isLost = (pinned: string) => pinned.startsWith(`space.${space}.walls.`) && !walls.includes(pinned);
  const openWall = (id: string) => setQuery({ wall: id, field: null }, 'replace');
  const openThing = (at: string | null) => {
    // Opened by what leads to its field, it says so too, maybe before the page is drawn for the new address.
    if (at === null || at !== new URL(location.href).searchParams.get('thing'))
      setQuery({ thing: at, field: null }, 'replace');
  };
  const jump = (blank: Blank) => {
    const [head, id] = blank.at.split('.');
    if (head === 'item') return go(link('fit', { id: job.id }, { room: space, at: `item:${id}` }));
    setQuery({ ...placeOf(blank.at), field: blank.at });
  };
  const blanks = shown.walk.blanks.length;
  return (
    <WalkContext.Provider value={state}>
      <KeypadContext.Provider value={keypad.state}>
        {chooser}
        {may === 'look' ? (
          <p class="note">
            {LOOKS_ONLY} Press a wall of the plan to read it;{' '}
            <a href={link('walk', { id: job.id }, { room: space, step: 'things' })}>On the walls</a> shows each from inside.
          </p>
        ) : null}
        <nav class="steps" aria-label="Steps of the walk" ref={steps}>
          {STEPS.map((one) => (
            <a
              key={one.step}
              href={link('walk', { id: job.id }, { room: space, step: one.step })}
              aria-current={one.step === step ? 'step' : undefined}
            >
              {one.title}
              {one.step === 'blanks' && blanks > 0 ? ` (${blanks})` : ''}
            </a>
          ))}
        </nav>
        <div class={step === 'things' || step === 'ceiling' ? 'walk-body alone' : 'walk-body'}>
          {step === 'things' || step === 'ceiling' ? null : (
            <div class="walk-plan">
              {scene && scene.walls.length > 0 ? (
                <WalkDrawing
                  figure={plan(scene)}
                  name={scene.name}
                  units={scene.units}
                  wall={step === 'walls' ? wall : null}
                  selected={scene.bodies.find(({ at }) => at === thing)?.id ?? null}
                  onWall={(id) => setQuery({ step: 'walls', wall: id, field: null }, 'replace')}
                />
              ) : (
                <p class="soft small walk-empty">The plan begins with the first wall’s length.</p>
              )}
              <p class="plan-foot soft small" role="status">
                {typing.unsaved
                  ? 'With what you are typing.'
                  : reach.within
                    ? (shown.scene.gap_text ?? '')
                    : 'As it was last proved: what waits is not in it.'}
              </p>
            </div>
          )}
          <div class="walk-column">
            <h2 tabIndex={-1}>{STEPS.find((one) => one.step === step)?.title}</h2>
            {step === 'things' ? (
              <WallPick
                wall={wall}
                thing={thing}
                onWall={(id) => setQuery({ wall: id, thing: null, field: null }, 'replace')}
              />
            ) : null}
            <fieldset class="walk-step" disabled={may === 'look'}>
              {step === 'walls' ? <Walls wall={wall} onWall={openWall} /> : null}
              {step === 'ceiling' ? <CeilingStep section={wall} onSection={openWall} thing={thing} onThing={openThing} /> : null}
              {step === 'things' ? (
                <Things wall={wall} thing={thing} onThing={openThing} />
              ) : null}
              {step === 'seats' ? <Seats thing={thing} onThing={openThing} /> : null}
              {step === 'inside' ? <Inside thing={thing} onThing={openThing} /> : null}
              {step === 'room' ? <Surfaces thing={thing} onThing={openThing} /> : null}
              {step === 'blanks' ? <Blanks onBlank={jump} /> : null}
            </fieldset>
          </div>
        </div>
        {step === 'blanks' || blanks === 0 ? null : (
          <section aria-label="Most useful to measure next">
            <h2>Most useful to measure next</h2>
            <Blanks onBlank={jump} most={3} />
          </section>
        )}
        {step === 'room' ? <Photographs pinned={`space.${space}`} of="the room" also={isLost} /> : null}
        {keypad.input ? (
          <Keypad
            units={job.view.units}
            input={keypad.input}
            onSystem={() => {
              const field = keypad.input;
              keypad.state.setSystem(true);
              // The device's keyboard comes up with a fresh focus.
              field?.blur();
              setTimeout(() => field?.focus());
            }}
          />
        ) : null}
      </KeypadContext.Provider>
    </WalkContext.Provider>
  );
}

/** What the room is covered with, its light, its noise, how long it rings, and its air. */
function Surfaces({ thing, onThing }: { thing: string | null; onThing: (at: string | null) => void }) {
  const { walk } = useWalk();
  const own = ['floor_level', 'first_wall_faces', 'finishes', 'ambient', 'noise', 'temperature'];
  const of = (keys: readonly string[]) => walk.fields.filter(({ at }) => keys.includes(at.split('.')[2] ?? ''));
  const rings = of(['reverberation']);
  const [folded] = useState(rings.every(({ text }) => text === null));
  return (
    <>
      <div class="facts-grid">
        {of(own).map((fact) => (
          <FactField key={fact.at} fact={fact} />
        ))}
      </div>
      {rings.length > 0 ? (
        <details open={!folded}>
          <summary>How long it rings, as measured</summary>
          <p class="soft small">
            The time in which sound falls by 60 dB, each octave for itself; leave out what was not measured. It takes
            the place of what absorption tables say of the room.
          </p>
          <div class="facts-grid">
            {rings.map((fact) => (
              <FactField key={fact.at} fact={fact} help={!/\.hz_/.test(fact.at)} />
            ))}
          </div>
        </details>
      ) : null}
      <Coverings thing={thing} onThing={onThing} />
    </>
  );
}

/** From a jump to the last answer that may draw its field anew, and so take the focus away. */
const SETTLES_MS = 300;

/** Brings the field of a fact into view with the focus in it, once an answer has it. */
function useJump(at: string | null, shown: unknown): void {
  const done = useRef<string | null>(null);
  const wanted = useRef(at);
  wanted.current = at;
  useEffect(() => {
    if (at === null) done.current = null;
    if (at === null || at === done.current) return;
    const isField = jump(at);
    if (isField) done.current = at;
    setTimeout(() => {
      if (wanted.current === at && document.activeElement === document.body) jump(at);
    }, SETTLES_MS);
  }, [at, shown]);
}

/** Whether there is a field; a thing that waits to be sent may have none yet, and is gone to itself. */
function jump(at: string): boolean {
  const fields = [...document.querySelectorAll<HTMLElement>('[data-at]')];
  const found =
    fields.find((one) => one.dataset['at'] === at) ??
    fields.find((one) => one.dataset['at']?.startsWith(`${at}.`) || at.startsWith(`${one.dataset['at']}.`));
  const thing = (found ?? document.querySelector<HTMLElement>(`[data-thing="${CSS.escape(at)}"]`))?.closest('details');
  if (thing) thing.open = true;
  const goal = found ?? thing?.querySelector<HTMLElement>('summary');
  goal?.focus();
  goal?.scrollIntoView({ block: 'center' });
  return found !== undefined;
}
