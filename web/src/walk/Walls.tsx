// The walls as they are walked: a strip of lengths and corners, and the one that is being measured.

import { useEffect, useLayoutEffect, useRef, useState } from 'preact/hooks';

import type { Edit, Field, WalkWall } from '../api/schema';
import { Button } from '../parts/Button';
import { Field as Labelled } from '../parts/Field';
import { Closing } from './Closing';
import { useWalk } from './context';
import { Diagonals } from './Diagonals';
import { freeId, idsAt, listAt, pretty, textAt } from './document';
import { Chips, FactField } from './FactField';
import { waits } from './Unsent';

/** Inside angles at the right end of a wall that a house is full of. */
const CORNERS = [
  { value: '', label: 'Square, 90°' },
  { value: '270 deg', label: 'Juts in, 270°' },
  { value: '135 deg', label: '45° in, 135°' },
  { value: '225 deg', label: '45° out, 225°' },
];
const OTHER = 'other';
/** Names that what is no wall has. */
const SURFACES = ['floor', 'ceiling'];
export const TAKEN_BY = [
  { value: 'laser', label: 'Laser' },
  { value: 'tape', label: 'Tape' },
  { value: 'drawing', label: 'Drawing' },
  { value: 'paced', label: 'Paced' },
  { value: 'guess', label: 'Guess' },
];

export function Walls({ wall, onWall }: { wall: string | null; onWall: (wall: string) => void }) {
  const walk = useWalk();
  const strip = walk.walk.wall_strip;
  // The first that is still to measure, and no other once that is being typed.
  const [first] = useState(() => strip.find((one) => one.length_text === null)?.id ?? strip[0]?.id);
  const open = strip.find(({ id }) => id === wall) ?? strip.find(({ id }) => id === first) ?? strip[0];
  const order = strip.findIndex(({ id }) => id === open?.id);
  const following = strip[order + 1];
  const list = `space.${walk.space}.walls`;
  const unsent = idsAt(walk.document, list).filter((id) => waits(list, id) && !strip.some((one) => one.id === id));
  return (
    <>
      <p class="soft small">Face the first wall from inside and walk to the right, wall after wall.</p>
      <Strip strip={strip} open={open?.id ?? null} onWall={onWall} />
      {unsent.length > 0 ? (
        <p class="small">
          {unsent.map(nameOf).join(', ')} {unsent.length === 1 ? 'waits' : 'wait'} to be sent: asked for once dryfit answers.
        </p>
      ) : null}
      {open ? (
        <WallEditor
          key={open.id}
          wall={open}
          onNext={() => {
            if (!following) return false;
            onWall(following.id);
            return true;
          }}
          onWall={onWall}
        />
      ) : null}
      <Closing onWall={onWall} />
      <Diagonals />
      <HowTaken />
    </>
  );
}

function Strip({ strip, open, onWall }: { strip: readonly WalkWall[]; open: string | null; onWall: (wall: string) => void }) {
  const walk = useWalk();
  const list = useRef<HTMLOListElement>(null);
  // The open wall is in sight; only the strip scrolls, not the page.
  useEffect(() => {
    const chip = list.current?.querySelector<HTMLElement>('[aria-pressed=true]');
    if (chip && list.current) list.current.scrollLeft = chip.offsetLeft - list.current.offsetLeft - 48;
  }, [open]);
  return (
    <ol class="wall-strip" ref={list} aria-label="Walls in walk order">
      {strip.map((wall) => {
        const fact = factOf(walk.walk.fields, `space.${walk.space}.walls.${wall.id}.length`);
        const refused = fact !== null && walk.trouble(fact.at) !== null;
        const text = fact && !refused ? walk.text(fact) : (wall.length_text ?? '');
        const doubtful = wall.doubtful && text !== '';
        return (
          <li key={wall.id}>
            <button
              type="button"
              class={doubtful ? 'wall-chip doubtful' : 'wall-chip'}
              aria-pressed={wall.id === open}
              onClick={() => onWall(wall.id)}
            >
              <span class="wall-chip-name">{wall.name} </span>
              <span class={text === '' ? 'wall-chip-length soft' : 'wall-chip-length'}>
                {text === '' ? 'to measure' : pretty(text)}{' '}
              </span>
              <span class="wall-chip-how soft">
                {doubtful ? 'read again' : (wall.how ?? '')}
              </span>
              <span class="sr-only">, corner at its right end {wall.corner_text ?? 'square'}</span>
            </button>
            <span class="wall-corner soft" aria-hidden="true">
              {cornerText(wall.corner_text)}
            </span>
          </li>
        );
      })}
    </ol>
  );
}

type EditorProps = { wall: WalkWall; onNext: () => boolean; onWall: (wall: string) => void };

function WallEditor({ wall, onNext, onWall }: EditorProps) {
  const walk = useWalk();
  const at = `space.${walk.space}.walls.${wall.id}`;
  const fields = walk.walk.fields;
  const length = factOf(fields, `${at}.length`);
  const corner = factOf(fields, `${at}.corner`);
  const list = `space.${walk.space}.walls`;
  const document = listAt(walk.document, list);
  const isOpen = listAt(walk.document, list).some(
    (one) => textAt(one, 'id') === wall.id && isTrue(one, 'open'),
  );
  const insert = async () => {
    // Called after the wall that it follows: on a drawing "Right 2" says where it is, "Wall" does not.
    const id = freeId(wall.id.replace(/-\d+$/, ''), idsAt(walk.document, list));
    const index = document.findIndex((one) => textAt(one, 'id') === wall.id);
    const set = [...document.slice(0, index + 1), { id, length: '?' }, ...document.slice(index + 1)];
    if (await walk.save(`Add a wall after ${wall.name}`, [{ at: list, set }])) onWall(id);
  };
  return (
    <section class="wall-editor" aria-label={wall.name}>
      <div class="wall-head">
        <h3>{wall.name}</h3>
        <WallName wall={wall} onRenamed={onWall} />
      </div>
      {length ? (
        <WallLength fact={length} onEnter={onNext} />
      ) : null}
      {length && walk.text(length) !== '' ? <WallHow fact={length} how={wall.how} /> : null}
      {corner ? <Corner fact={corner} /> : null}
      <OpenEdge key={String(isOpen)} at={`${at}.open`} name={wall.name} isOpen={isOpen} />
      <p class="actions">
        <Button onPress={() => void insert()}>Add a wall after it</Button>
        <Button
          because={document.length <= 3 ? 'A room has three walls or more.' : null}
          onPress={() => void walk.save(`Take ${wall.name} away`, [{ at, set: null }])}
        >
          Take this wall away
        </Button>
      </p>
    </section>
  );
}

/** Another name for a wall: what is measured from it or hangs on it follows. */
function WallName({ wall, onRenamed }: { wall: WalkWall; onRenamed: (wall: string) => void }) {
  const walk = useWalk();
  const [text, setText] = useState<string | null>(null);
  const input = useRef<HTMLInputElement>(null);
  const writing = text !== null;
  useEffect(() => {
    if (writing) input.current?.select();
  }, [writing]);
  if (text === null) {
    return (
      <Button kind="quiet" label={`Rename ${wall.name}`} onPress={() => setText(wall.name)}>
        Rename
      </Button>
    );
  }
  const id = /[a-z]/i.test(text) ? freeId(text, []) : '';
  const taken = SURFACES.includes(id) || walk.walk.wall_strip.some((one) => one.id === id && id !== wall.id);
  const error = id === '' ? 'A name has letters in it.' : taken ? `“${text.trim()}” is taken in this room.` : null;
  const save = async () => {
    if (error !== null) return;
    if (id === wall.id) return setText(null);
    const edits = [{ at: `space.${walk.space}.walls.${wall.id}.id`, set: id }];
    if (await walk.save(`Call ${wall.name} “${text.trim()}”`, edits)) onRenamed(id);
  };
  return (
    <form
      class="wall-rename"
      onSubmit={(event) => {
        event.preventDefault();
        void save();
      }}
    >
      <Labelled label="Name of the wall" error={error}>
        {(tied) => (
          <input
            {...tied}
            ref={input}
            type="text"
            autocomplete="off"
            value={text}
            onInput={(event) => setText(event.currentTarget.value)}
            onKeyDown={(event) => {
              if (event.key === 'Escape') setText(null);
            }}
          />
        )}
      </Labelled>
      <p class="actions">
        <Button submit because={error}>
          Rename
        </Button>
        <Button kind="quiet" onPress={() => setText(null)}>
          Leave it
        </Button>
      </p>
    </form>
  );
}

/** Shows at once what was pressed; told apart by what is saved, it starts anew when that changes. */
function OpenEdge({ at, name, isOpen }: { at: string; name: string; isOpen: boolean }) {
  const walk = useWalk();
  const [pressed, setPressed] = useState(isOpen);
  const press = async (open: boolean) => {
    setPressed(open);
    const edit = { at, set: open ? true : null };
    if (!(await walk.save(`${name}: ${open ? 'no wall on it' : 'a wall'}`, [edit]))) setPressed(isOpen);
  };
  return (
    <label class="check">
      <input
        type="checkbox"
        checked={pressed}
        onChange={(event) => void press(event.currentTarget.checked)}
      />
      <span>An open edge: no wall stands on it</span>
    </label>
  );
}

/** The length, focused when its wall is opened by Enter in the one before. */
function WallLength({ fact, onEnter }: { fact: Field; onEnter: () => boolean }) {
  const root = useRef<HTMLDivElement>(null);
  // At once: the next letters are on their way.
  useLayoutEffect(() => {
    if (!entered) return;
    entered = false;
    const input = root.current?.querySelector('input');
    input?.focus();
    input?.select();
  }, []);
  return (
    <div ref={root} class="wall-length">
      <FactField
        fact={fact}
        label="Length, corner to corner"
        help={false}
        onEnter={() => {
          entered = onEnter();
          return entered;
        }}
      />
    </div>
  );
}
let entered = false;

function WallHow({ fact, how }: { fact: Field; how: string | null }) {
  const walk = useWalk();
  const text = walk.text(fact);
  const plain = text.replace(/[\s,(]*(?:by\s+)?(?:laser|tape|drawing|paced|guess)\)?$/i, '');
  return (
    <Chips
      label="How it was taken"
      value={how ?? ''}
      choices={TAKEN_BY}
      onChoose={(value) => void walk.commit(fact, `${plain} ${value}`)}
    />
  );
}

function Corner({ fact }: { fact: Field }) {
  const walk = useWalk();
  const text = walk.text(fact);
  const named = CORNERS.find(({ value }) => degreesIn(value) === degreesIn(text));
  const [other, setOther] = useState(false);
  const shown = other || named === undefined || walk.trouble(fact.at) !== null;
  return (
    <>
      <Chips
        label="Corner at its right end"
        value={shown ? OTHER : (named?.value ?? OTHER)}
        choices={[...CORNERS, { value: OTHER, label: 'Another' }]}
        onChoose={(value) => {
          setOther(value === OTHER);
          if (value !== OTHER) void walk.commit(fact, value);
        }}
      />
      {shown ? <FactField fact={fact} label="Inside angle" /> : null}
    </>
  );
}

/** The figure before a degree sign, to see which of the usual corners it is. */
function degreesIn(text: string): string {
  return /^\s*(\d+)(?:\.0*)?\s*(?:deg|°)?\s*$/.exec(text)?.[1] ?? (text.trim() === '' ? '90' : text);
}

function cornerText(text: string | null): string {
  const degrees = degreesIn(text ?? '');
  return degrees === '90' ? '∟' : /^\d+$/.test(degrees) ? `${degrees}°` : degrees;
}

/** How all lengths of the job are taken that do not say otherwise. */
function HowTaken() {
  const walk = useWalk();
  const by = textAt(walk.document, 'survey.by') ?? 'tape';
  const edits = (value: string): Edit[] => [{ at: 'survey.by', set: value }];
  return (
    <Chips
      label="Lengths are taken by, where one does not say otherwise"
      value={by}
      choices={TAKEN_BY}
      onChoose={(value) => void walk.save(`Lengths by ${value}`, edits(value))}
    />
  );
}

/** A wall's id as its name. */
function nameOf(id: string): string {
  return id.charAt(0).toUpperCase() + id.slice(1).replaceAll('-', ' ');
}

export function factOf(fields: readonly Field[], at: string): Field | null {
  return fields.find((fact) => fact.at === at) ?? null;
}

function isTrue(one: unknown, key: string): boolean {
  return typeof one === 'object' && one !== null && Object.entries(one).some(([name, set]) => name === key && set === true);
}
