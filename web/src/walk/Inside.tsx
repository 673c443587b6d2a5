// What is inside walls, ceiling and floor: framing, spacing, the first stud, the free depth.

import { useState } from 'preact/hooks';

import { ChoiceField } from '../parts/Field';
import { useWalk } from './context';
import { listAt, textAt } from './document';
import { Chips } from './FactField';
import { ThingFields } from './ThingFields';

type Props = { thing: string | null; onThing: (at: string | null) => void };

export function Inside({ thing: opened, onThing }: Props) {
  const walk = useWalk();
  const { kinds } = walk;
  const path = `space.${walk.space}.construction`;
  const known = listAt(walk.document, path);
  const surfaces = [
    ...walk.walk.wall_strip.map(({ id, name }) => ({ value: id, label: name })),
    { value: 'ceiling', label: 'Ceiling' },
    { value: 'floor', label: 'Floor' },
  ];
  const left = surfaces.filter(({ value }) => !known.some((one) => textAt(one, 'of') === value));
  const [of, setOf] = useState('');
  const chosen = left.find(({ value }) => value === of) ?? left[0];
  const add = async (framing: string) => {
    if (!chosen) return;
    const at = `${path}.${known.length}`;
    const edit = { at, set: { of: chosen.value, framing } };
    if (await walk.save(`${chosen.label}: ${framing}`, [edit])) walk.added(at);
  };
  return (
    <section aria-label="Inside the walls">
      <p class="note">
        Cables and pipes run in walls. Look with a detector before anything is drilled; what carries load, and what
        stands on mains, belongs to the licensed trade.
      </p>
      {walk.walk.constructions.length === 0 ? <p class="soft small">Nothing is known of any wall yet.</p> : null}
      {walk.walk.constructions.map((thing) => (
        <ThingFields key={thing.at} thing={thing} opened={opened} onOpen={onThing} />
      ))}
      {chosen ? (
        <div class="stack">
          <ChoiceField label="Another surface" value={chosen.value} choices={left} onChoose={setOf} />
          <Chips label="What it is made of" value="" choices={kinds('Framing')} onChoose={(framing) => void add(framing)} />
        </div>
      ) : null}
    </section>
  );
}
