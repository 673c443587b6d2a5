// Lengths from corner to corner across the room: what proves a survey, and tells which wall is wrong.

import { useState } from 'preact/hooks';

import { Button } from '../parts/Button';
import { ChoiceField } from '../parts/Field';
import { useWalk } from './context';
import { listAt } from './document';
import { FactField } from './FactField';

export function Diagonals() {
  const walk = useWalk();
  const at = `space.${walk.space}.diagonals`;
  const facts = walk.walk.fields.filter((fact) => fact.at.startsWith(`${at}.`));
  const known = listAt(walk.document, at);
  const [adding, setAdding] = useState(false);
  const corners = walk.walk.wall_strip.map(({ id, name }) => ({ value: `${id}.left`, label: `left end of ${name}` }));
  const [from, setFrom] = useState('');
  const [to, setTo] = useState('');
  const first = corners[0]?.value ?? '';
  const across = corners[Math.floor(corners.length / 2)]?.value ?? '';
  const add = async () => {
    const set = [...known, [from || first, to || across, '?']];
    if (await walk.save('Add a diagonal', [{ at, set }])) setAdding(false);
  };
  return (
    <section aria-label="Diagonals">
      <h3>Diagonals</h3>
      {facts.length === 0 ? <p class="soft small">None yet. One proves four walls and their corners.</p> : null}
      {facts.map((fact, index) => (
        <div key={fact.at} class="with-action">
          <FactField fact={fact} help={false} />
          <Button
            kind="quiet"
            label={`Take away: ${fact.label}`}
            onPress={() =>
              void walk.save('Take a diagonal away', [{ at, set: known.filter((_, place) => place !== index) }])
            }
          >
            Take away
          </Button>
        </div>
      ))}
      {adding ? (
        <div class="stack">
          <ChoiceField label="From the" value={from || first} choices={corners} onChoose={setFrom} />
          <ChoiceField label="To the" value={to || across} choices={corners} onChoose={setTo} />
          <p class="actions">
            <Button kind="main" onPress={() => void add()}>
              Add the diagonal
            </Button>
            <Button kind="quiet" onPress={() => setAdding(false)}>
              Leave it
            </Button>
          </p>
        </div>
      ) : (
        <Button onPress={() => setAdding(true)}>Measure a diagonal</Button>
      )}
    </section>
  );
}
