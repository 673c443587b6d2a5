// Which room is walked, and a further one.

import { useState } from 'preact/hooks';

import type { Edit, Room } from '../api/schema';
import { Button } from '../parts/Button';
import { Dialog } from '../parts/Dialog';
import { ChoiceField, TextField } from '../parts/Field';
import { counted } from '../units';
import { at, freeId, idsAt, listAt, textAt } from './document';
import { Chips } from './FactField';

const KINDS = [
  { value: 'room', label: 'Indoors' },
  { value: 'outdoor', label: 'Outdoors' },
];
/** In walk order, as the first room of a job has them; more are added where they are met. */
const WALLS = ['front', 'right', 'back', 'left'];

type ChooserProps = { rooms: readonly Room[]; space: string; onRoom: (space: string) => void; onAdd: () => void };

export function RoomChooser({ rooms, space, onRoom, onAdd }: ChooserProps) {
  return (
    <div class="rooms">
      {rooms.length > 0 ? (
        <label class="rooms-select">
          <span>Room</span>
          <select value={space} onChange={(event) => onRoom(event.currentTarget.value)}>
            {rooms.map((room) => (
              <option key={room.id} value={room.id} selected={room.id === space}>
                {room.name}
                {room.blanks > 0 ? `, ${room.blanks} to measure` : ''}
              </option>
            ))}
          </select>
        </label>
      ) : null}
      <Button onPress={onAdd}>Add a room</Button>
    </div>
  );
}

type AddProps = {
  document: unknown;
  onAdd: (id: string, summary: string, edits: Edit[]) => Promise<void>;
  onClose: () => void;
};

/** A room of four walls, joined to another by an opening of that one. */
export function AddRoom({ document, onAdd, onClose }: AddProps) {
  const [name, setName] = useState('');
  const [kind, setKind] = useState('room');
  const [joined, setJoined] = useState('');
  const [error, setError] = useState<string | null>(null);
  const doors = openings(document);
  const add = async () => {
    const called = name.trim();
    if (called === '') return setError('The room has no name: type one.');
    const id = freeId(called, idsAt(document, 'space'));
    const edits = [{ at: `space.${id}`, set: roomOf(id, called, kind, joined, document) }];
    await onAdd(id, `Add ${called}`, edits);
  };
  return (
    <Dialog title="Add a room" onClose={onClose}>
      <form
        class="stack"
        onSubmit={(event) => {
          event.preventDefault();
          void add();
        }}
      >
        <TextField
          label="Name"
          value={name}
          error={error}
          onInput={(text) => {
            setName(text);
            setError(null);
          }}
          autocomplete="off"
        />
        <Chips label="Where it is" value={kind} choices={KINDS} onChoose={setKind} />
        <ChoiceField
          label="Touches another room at"
          help="The same opening, seen from the other side: so the house fits together. It lands on the first wall; where on it is yours to measure."
          value={joined}
          choices={[{ value: '', label: 'nothing yet' }, ...doors]}
          onChoose={setJoined}
        />
        <p class="soft small">
          It begins with four walls, still to measure. Walls are added and taken away as you meet them.
        </p>
        <Button kind="main" submit>
          Add {counted(1, 'room').replace('1 ', 'the ')}
        </Button>
      </form>
    </Dialog>
  );
}

function openings(document: unknown): { value: string; label: string }[] {
  return listAt(document, 'space').flatMap((space) => {
    const id = textAt(space, 'id') ?? '';
    const name = textAt(space, 'name') ?? id;
    return idsAt(space, 'opening').map((opening) => ({
      value: `${id}.${opening}`,
      label: `${opening.replaceAll('-', ' ')}, in ${name}`,
    }));
  });
}

function roomOf(id: string, name: string, kind: string, joined: string, document: unknown): Edit['set'] {
  const room = {
    id,
    name,
    kind,
    walls: WALLS.map((wall) => ({ id: wall, length: '?' })),
    ...(kind === 'room' ? { ceiling: { shape: 'flat', height: '?' } } : {}),
  };
  if (joined === '') return room;
  const [space = '', opening = ''] = joined.split('.');
  const other = at(document, `space.${space}.opening.${opening}`);
  const own = `to-${space}`;
  return {
    ...room,
    opening: [
      {
        id: own,
        kind: textAt(other, 'kind') ?? 'door',
        on: { wall: WALLS[0], from_left: '?', height: textAt(other, 'on.height') ?? '?' },
        size: listAt(other, 'size'),
        into: space,
      },
    ],
    joined: { opening: own, to: joined },
  };
}
