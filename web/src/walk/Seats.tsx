// Where people sit: by distances from two walls, and how high their eyes are.

import { Button } from '../parts/Button';
import { useWalk } from './context';
import { freeId, idsAt } from './document';
import { ThingFields } from './ThingFields';
import { Unsent, unsentIn } from './Unsent';

export function Seats({ thing, onThing }: { thing: string | null; onThing: (at: string | null) => void }) {
  const walk = useWalk();
  const root = `space.${walk.space}.seat`;
  const walls = walk.walk.wall_strip.map(({ id }) => id);
  const unsent = unsentIn(walk, root, walk.walk.seats);
  const add = async () => {
    const id = freeId('seat', idsAt(walk.document, root));
    const at = `${root}.${id}`;
    const set = { id, at: { from: [walls[0] ?? '', '?'], and: [walls[1] ?? '', '?'] }, eye: '?' };
    if (await walk.save('Add a seat', [{ at, set }])) walk.added(at);
  };
  return (
    <section aria-label="Seats">
      {walk.walk.seats.length + unsent.length === 0 ? <p class="soft small">Nobody sits here yet.</p> : null}
      {walk.walk.seats.map((seat) => (
        <ThingFields key={seat.at} thing={seat} opened={thing} onOpen={onThing} />
      ))}
      <Unsent things={unsent} opened={thing} onOpen={onThing} />
      <Button onPress={() => void add()}>Add a seat</Button>
    </section>
  );
}
