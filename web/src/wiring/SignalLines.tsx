// Which thing is joined to which: the one-line diagram of picture, sound, network and control, and the same as a list.

import type { Diagram, DrawnThing } from '../api/schema';
import { useJob } from '../job';
import { Table } from '../parts/Table';
import { DrawnFigure } from './DrawnFigure';
import { toCable, toThing } from './whereTo';

export function SignalLines({ diagram }: { diagram: Diagram | null }) {
  const job = useJob();
  if (diagram === null) return null;
  const href = ({ id }: DrawnThing) => {
    const [thing] = diagram.boxes.find((box) => box.id === id)?.things ?? [];
    if (thing) return toThing(job.id, thing);
    const [cable] = diagram.leads.find((lead) => lead.id === id)?.cables ?? [];
    return cable ? toCable(job.id, cable) : null;
  };
  return (
    <section class="house-part wide" aria-label="Picture, sound, network and control">
      <h2>Picture, sound, network and control</h2>
      <p class="soft">
        Each line is one cable, from where its signal comes; loudspeakers stand together by zone. Press a box to see the
        thing in its room, a line to see the cable’s way.
      </p>
      <DrawnFigure drawn={diagram.drawn} href={href} />
      <details class="thing">
        <summary>The same as a list</summary>
        <Table
          caption="Cables between things"
          captionHidden
          stacks
          columns={[{ head: 'Cables' }, { head: 'From' }, { head: 'To' }, { head: 'Carries' }]}
          rows={diagram.leads.map(({ id, cables, from, to, carries }) => ({
            key: `${id} ${from} ${to}`,
            cells: [
              <ul class="inline-list">
                {cables.map((cable) => (
                  <li key={cable.id}>
                    <a href={toCable(job.id, cable)}>{cable.id}</a>
                  </li>
                ))}
              </ul>,
              from,
              to,
              carries,
            ],
          }))}
        />
      </details>
    </section>
  );
}
