// What is on the walls, on the floor and overhead: found by a press on a wall's elevation, or added by name.

import { useState } from 'preact/hooks';

import type { Edit, WalkThing } from '../api/schema';
import { useMay } from '../may';
import { Button } from '../parts/Button';
import { Dialog } from '../parts/Dialog';
import { Field } from '../parts/Field';
import { length } from '../units';
import { useWalk, type WalkState } from './context';
import { freeId, idsAt, textAt } from './document';
import { Chips } from './FactField';
import { Photographs } from './Photographs';
import { ThingFields } from './ThingFields';
import { pressedAt, Unsent, unsentIn } from './Unsent';
import type { Kind } from './useKinds';
import { WalkDrawing, wallFigure } from './WalkDrawing';

type Place = { wall: string; along_m: number; height_m: number };
type Adding = { where: 'wall'; wall: string; place: Place | null } | { where: 'floor' | 'ceiling' };

type Props = {
  wall: string | null;
  thing: string | null;
  onThing: (at: string | null) => void;
};

export function Things({ wall, thing, onThing }: Props) {
  const walk = useWalk();
  const may = useMay();
  const [adding, setAdding] = useState<Adding | null>(null);
  const wallOf = (at: string) => textAt(walk.document, `${at}.on.wall`);
  const open = openWall(walk, wall, thing);
  const drawn = walk.scene?.walls.find(({ id }) => id === open?.id);
  const all = [...walk.walk.openings, ...walk.walk.fixtures];
  const here = all.filter((one) => wallOf(one.at) === open?.id);
  const elsewhere = all.filter((one) => wallOf(one.at) === null);
  const bodies = walk.scene?.bodies ?? [];
  const selected = bodies.find(({ at }) => at === thing)?.id ?? null;
  const space = `space.${walk.space}`;
  const unsent = ['opening', 'fixture'].flatMap((list) => unsentIn(walk, `${space}.${list}`, all));
  const unsentHere = unsent.filter((one) => wallOf(one.at) === open?.id);
  const unsentElsewhere = unsent.filter((one) => wallOf(one.at) === null);
  const list = (things: readonly WalkThing[]) =>
    things.map((one) => <ThingFields key={one.at} thing={one} opened={thing} onOpen={onThing} />);
  return (
    <>
      {walk.scene && drawn ? (
        <>
          <WalkDrawing
            figure={wallFigure(walk.scene, drawn)}
            name={walk.scene.name}
            units={walk.units}
            selected={selected}
            unsent={unsentHere}
            onBody={(id) => onThing(bodies.find((body) => body.id === id)?.at ?? null)}
            {...(may === 'change'
              ? {
                  onPlace: (place) =>
                    setAdding({ where: 'wall', wall: drawn.id, place: { wall: drawn.id, ...place } }),
                }
              : {})}
          />
          {may === 'change' ? (
            <p class="soft small">Press the wall where something is, or add it below.</p>
          ) : null}
        </>
      ) : (
        <p class="soft small">The wall is drawn once its length is known. Things can be added before.</p>
      )}
      {open ? (
        <section aria-label={`On ${open.name}`}>
          <h3>On {open.name}</h3>
          {here.length + unsentHere.length === 0 ? <p class="soft small">Nothing noted yet.</p> : list(here)}
          <Unsent things={unsentHere} opened={thing} onOpen={onThing} />
          <Button onPress={() => setAdding({ where: 'wall', wall: open.id, place: null })}>
            Add something on {open.name}
          </Button>
        </section>
      ) : null}
      <section aria-label="Standing and hanging">
        <h3>Standing and hanging</h3>
        {elsewhere.length + unsentElsewhere.length === 0 ? (
          <p class="soft small">Nothing noted yet.</p>
        ) : (
          list(elsewhere)
        )}
        <Unsent things={unsentElsewhere} opened={thing} onOpen={onThing} />
        <p class="actions">
          <Button onPress={() => setAdding({ where: 'floor' })}>Add on the floor</Button>
          <Button onPress={() => setAdding({ where: 'ceiling' })}>Add at the ceiling</Button>
        </p>
      </section>
      {open ? <Photographs pinned={`space.${walk.space}.walls.${open.id}`} of={open.name} /> : null}
      {adding ? (
        <AddThing
          adding={adding}
          onClose={() => setAdding(null)}
          onAdded={(at) => {
            setAdding(null);
            walk.added(at);
          }}
        />
      ) : null}
    </>
  );
}

/** The wall to look at: the one that is asked for, that of a thing, or the first. */
function openWall(walk: WalkState, wall: string | null, thing: string | null) {
  const strip = walk.walk.wall_strip;
  const of = wall ?? (thing === null ? null : textAt(walk.document, `${thing}.on.wall`));
  return strip.find(({ id }) => id === of) ?? strip[0];
}

type PickProps = { wall: string | null; thing: string | null; onWall: (wall: string) => void };

/** Which wall is shown from inside. */
export function WallPick({ wall, thing, onWall }: PickProps) {
  const walk = useWalk();
  const open = openWall(walk, wall, thing);
  return (
    <div class="wall-pick" role="group" aria-label="Wall">
      {walk.walk.wall_strip.map((one) => (
        <Button key={one.id} pressed={one.id === open?.id} onPress={() => onWall(one.id)}>
          {one.name}
        </Button>
      ))}
    </div>
  );
}

type AddProps = { adding: Adding; onClose: () => void; onAdded: (at: string) => void };

function AddThing({ adding, onClose, onAdded }: AddProps) {
  const walk = useWalk();
  const { kinds } = walk;
  const [name, setName] = useState('');
  const place = adding.where === 'wall' ? adding.place : null;
  const walls = walk.walk.wall_strip;
  const called = adding.where === 'wall' ? walls.find(({ id }) => id === adding.wall)?.name : null;
  const add = async (kind: Kind, list: 'opening' | 'fixture') => {
    const root = `space.${walk.space}.${list}`;
    const id = freeId(name.trim() || kind.value, idsAt(walk.document, root));
    const at = `${root}.${id}`;
    const set = { id, kind: kind.value, ...where(), ...(list === 'opening' ? { size: ['?', '?'] } : {}) };
    const edits: Edit[] = [{ at, set }];
    if (place) pressedAt(at, place);
    if (await walk.save(`Add ${name.trim() || kind.label.toLowerCase()}`, edits)) onAdded(at);
    else onClose();
  };
  // A finger is a guess and is written down as one, until the tape has been there.
  const guess = (metres: number): string => {
    const step = walk.units === 'imperial' ? 0.0254 : 0.01;
    return `${length(Math.max(0, Math.round(metres / step) * step), walk.units)} guess`;
  };
  const where = () => {
    if (adding.where === 'wall') {
      return {
        on: {
          wall: adding.wall,
          from_left: place ? guess(place.along_m) : '?',
          height: place ? guess(place.height_m) : '?',
        },
      };
    }
    const two = { from: [walls[0]?.id ?? '', '?'], and: [walls[1]?.id ?? '', '?'] };
    return adding.where === 'floor' ? { at: two } : { hung: two };
  };
  const title = called ? `Add to ${called}` : adding.where === 'floor' ? 'Add on the floor' : 'Add at the ceiling';
  const pick = (list: 'opening' | 'fixture', choices: readonly Kind[]) => (
    <Chips
      label={list === 'opening' ? 'Openings' : 'Fixtures'}
      value=""
      choices={choices}
      onChoose={(value) => {
        const kind = choices.find((one) => one.value === value);
        if (kind) void add(kind, list);
      }}
    />
  );
  return (
    <Dialog title={title} onClose={onClose}>
      <div class="stack">
        {place ? (
          <p class="soft small">
            About {guess(place.along_m).replace(' guess', '')} from the left and{' '}
            {guess(place.height_m).replace(' guess', '')} high. It stands as a guess until you type what the tape
            says.
          </p>
        ) : null}
        <Field label="Name" help="Left blank, it is called what it is.">
          {(tied) => (
            <input
              {...tied}
              type="text"
              autocomplete="off"
              value={name}
              onInput={(event) => setName(event.currentTarget.value)}
            />
          )}
        </Field>
        {adding.where === 'wall' ? pick('opening', kinds('OpeningKind')) : null}
        {pick('fixture', kinds('FixtureKind'))}
      </div>
    </Dialog>
  );
}
