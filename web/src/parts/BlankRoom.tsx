// A new job from four walls as a tape meets them. Only the texts go out: the server reads them.

import { useState } from 'preact/hooks';

import { jobs, troubleOf, type Trouble } from '../api/client';
import type { Units } from '../api/schema';
import { go } from '../location';
import { link } from '../routes';
import { saying } from '../status';
import { Button } from './Button';
import { ChoiceField, TextField } from './Field';
import { Strip } from './Strip';
import { Wrong } from './Wrong';

const UNITS = [
  { value: 'imperial', label: 'Feet and inches' },
  { value: 'metric', label: 'Metres' },
] as const satisfies readonly { value: Units; label: string }[];

/** In walk order: face the first from inside and go on to the right. `at` is how a refusal names it. */
const WALLS = [
  { label: 'Front wall', at: 'walls.front.length' },
  { label: 'Right wall', at: 'walls.right.length' },
  { label: 'Back wall', at: 'walls.back.length' },
  { label: 'Left wall', at: 'walls.left.length' },
] as const;
const HEIGHT_AT = 'ceiling.height';
type Lengths = [string, string, string, string];

export function BlankRoom() {
  const [name, setName] = useState('');
  const [room, setRoom] = useState('');
  const [units, setUnits] = useState<Units>('imperial');
  const [lengths, setLengths] = useState<Lengths>(['', '', '', '']);
  const [height, setHeight] = useState('');
  const [trouble, setTrouble] = useState<Trouble | null>(null);
  const [nameless, setNameless] = useState(false);
  const [refusals, setRefusals] = useState(0);
  const names: Record<string, string> = { name: name.trim(), room: room.trim() };

  const place = fieldOf(trouble?.at ?? null);
  // Each text that can't be read is told at its own field.
  const error = (field: string) => {
    if (nameless && names[field] === '') return `The ${field === 'name' ? 'job' : 'room'} has no name: type one.`;
    const wrong = trouble?.problems.find((problem) => fieldOf(problem.at ?? null) === field);
    if (wrong) return reason({ message: wrong.says, accepted: wrong.accepted });
    return trouble && place === field ? reason(trouble) : null;
  };

  async function start() {
    setTrouble(null);
    const isNameless = Object.values(names).includes('');
    setNameless(isNameless);
    if (isNameless) return setRefusals(refusals + 1);
    try {
      const typed = { from: 'blank' as const, name, room, lengths, units };
      const making = jobs.create(height.trim() === '' ? typed : { ...typed, height });
      const { id } = await saying('Setting up the room …', making);
      go(link('walk', { id }));
    } catch (thrown) {
      setTrouble(troubleOf(thrown));
      setRefusals(refusals + 1);
    }
  }

  return (
    <form
      class="start"
      onSubmit={(event) => {
        event.preventDefault();
        void start();
      }}
    >
      <h3>A blank room</h3>
      <p>Face the front wall from inside and walk to the right. What is not measured yet may stay blank.</p>
      {trouble && place === null ? <Strip trouble={trouble} onClose={() => setTrouble(null)} /> : null}
      <div class="fields">
        <TextField
          label="Job"
          help="A street and number, say"
          value={name}
          onInput={setName}
          error={error('name')}
          autocomplete="off"
        />
        <TextField label="Room" value={room} onInput={setRoom} error={error('room')} autocomplete="off" />
        <ChoiceField label="Units" value={units} choices={UNITS} onChoose={setUnits} />
        {WALLS.map((wall, index) => (
          <TextField
            key={wall.label}
            label={wall.label}
            value={lengths[index] ?? ''}
            error={error(wall.at)}
            autocomplete="off"
            onInput={(text) => setLengths(replaced(lengths, index, text))}
          />
        ))}
        <TextField
          label="Ceiling height"
          value={height}
          onInput={setHeight}
          error={error(HEIGHT_AT)}
          autocomplete="off"
        />
      </div>
      <Wrong round={refusals} />
      <p class="actions">
        <Button submit>Start from a blank room</Button>
      </p>
    </form>
  );
}

function replaced([front, right, back, left]: Lengths, index: number, text: string): Lengths {
  const at = (wall: number, old: string) => (wall === index ? text : old);
  return [at(0, front), at(1, right), at(2, back), at(3, left)];
}

function reason({ message, hint, accepted }: Partial<Trouble>): string {
  return [message, hint, accepted ? `Accepted: ${accepted}` : null].filter(Boolean).join('. ');
}

/** The field that a refusal is about; null when it is about none of these. */
function fieldOf(at: string | null): string | null {
  const named = ['name', 'room', HEIGHT_AT, ...WALLS.map((wall) => wall.at)];
  return named.find((field) => at === field || at?.endsWith(`.${field}`)) ?? null;
}
