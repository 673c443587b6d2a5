// One thing of the room with its facts: a fixture, an opening, a seat, a beam, what is inside a wall.

import type { WalkThing } from '../api/schema';
import { Button } from '../parts/Button';
import { counted } from '../units';
import { useWalk } from './context';
import { FactField } from './FactField';

type Props = {
  thing: WalkThing;
  /** The path of the thing that is open. */
  opened: string | null;
  onOpen: (at: string | null) => void;
};

export function ThingFields({ thing, opened, onOpen }: Props) {
  const walk = useWalk();
  const blanks = walk.walk.blanks.filter(({ at }) => at === thing.at || at.startsWith(`${thing.at}.`)).length;
  return (
    <details
      class="thing"
      open={thing.at === opened}
      data-thing={thing.at}
      onToggle={(event) => {
        if (event.currentTarget.open) onOpen(thing.at);
        else if (thing.at === opened) onOpen(null);
      }}
    >
      <summary>
        <span class="thing-says">{thing.says}</span>
        {blanks > 0 ? <span class="thing-blanks soft small">{counted(blanks, 'fact')} to measure</span> : null}
      </summary>
      <div class="facts-grid">
        {thing.fields.map((fact) => (
          <FactField key={fact.at} fact={fact} help={fact.help !== '' && isPlain(fact.at)} />
        ))}
      </div>
      <p class="actions">
        <Button
          kind="quiet"
          label={`Take away: ${thing.label}`}
          onPress={() => void walk.save(`Take ${thing.label} away`, [{ at: thing.at, set: null }])}
        >
          Take away: {thing.label}
        </Button>
      </p>
    </details>
  );
}

/** Distances and sizes say what they are by their names. */
function isPlain(at: string): boolean {
  return !/\.(from_left|height|wall|kind|size\.\d|from\.\d|and\.\d|underside|note)$/.test(at);
}
