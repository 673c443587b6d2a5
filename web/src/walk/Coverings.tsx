// Rugs, curtains, panels, furniture and people: what makes a room ring less than it does bare.

import { useState } from 'preact/hooks';

import { Button } from '../parts/Button';
import { ChoiceField } from '../parts/Field';
import { useWalk } from './context';
import { freeId, idsAt } from './document';
import { ThingFields } from './ThingFields';
import { Unsent, unsentIn } from './Unsent';

type Props = { thing: string | null; onThing: (at: string | null) => void };

/** It stands in the room, and hides no surface. */
const NOTHING = '';

export function Coverings({ thing: opened, onThing }: Props) {
  const walk = useWalk();
  const finishes = walk.walk.covering_finishes;
  const root = `space.${walk.space}.covering`;
  const [finish, setFinish] = useState(finishes[0]?.value ?? '');
  const [over, setOver] = useState('floor');
  const chosen = finishes.find(({ value }) => value === finish) ?? finishes[0];
  const surfaces = [
    { value: 'floor', label: 'The floor' },
    ...walk.walk.wall_strip.map(({ id, name }) => ({ value: id, label: name })),
    { value: 'ceiling', label: 'The ceiling' },
    { value: NOTHING, label: 'Nothing: furniture, people' },
  ];
  if (!chosen) return null;
  const unsent = unsentIn(walk, root, walk.walk.coverings);
  const add = async () => {
    const id = freeId(chosen.value, idsAt(walk.document, root));
    const at = `${root}.${id}`;
    const set = over === NOTHING ? { id, finish: chosen.value } : { id, finish: chosen.value, over };
    if (await walk.save(`Add ${chosen.label}`, [{ at, set }])) walk.added(at);
  };
  return (
    <section class="stack" aria-label="What lies, hangs and stands there">
      <h3>What lies, hangs and stands there</h3>
      {walk.walk.coverings.length + unsent.length === 0 ? (
        <p class="soft small">Nothing yet: rugs, curtains, panels and furniture make a room ring less.</p>
      ) : null}
      <div>
        {walk.walk.coverings.map((thing) => (
          <ThingFields key={thing.at} thing={thing} opened={opened} onOpen={onThing} />
        ))}
        <Unsent things={unsent} opened={opened} onOpen={onThing} />
      </div>
      <ChoiceField label="Another one" value={chosen.value} choices={finishes} onChoose={setFinish} />
      <ChoiceField label="It lies or hangs over" value={over} choices={surfaces} onChoose={setOver} />
      <p>
        <Button onPress={() => void add()}>Add it to the room</Button>
      </p>
    </section>
  );
}
