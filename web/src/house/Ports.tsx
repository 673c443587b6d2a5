// The sockets of each thing in the job: how many of what, and which way each goes.

import { useJob } from '../job';
import { useMay } from '../may';
import { asksOf, portedKit } from './sockets';
import { Rows } from './Rows';
import { shapesOf } from './shapes';

export function Ports({ schema }: { schema: unknown }) {
  const { view } = useJob();
  const may = useMay();
  const kit = portedKit(view.document);
  return (
    <section class="house-part" aria-label="Ports">
      <h2>Ports</h2>
      <p class="soft">
        The sockets of each thing, off its spec sheet. A cable then names the port at each of its ends, and one that is
        taken, not there or of another kind is refused.
      </p>
      {kit.length === 0 ? <p class="soft">No kit with sockets is in the job yet.</p> : null}
      {kit.map(({ path, name, kind, words }) => {
        const found = shapesOf(schema, view.document, `kit.${kind}`).find((one) => one.path === 'port');
        const shape = found && { ...found, label: 'Ports', help: 'Without them, a cable’s end may name any.' };
        return (
          <details key={path} class="thing">
            <summary>
              <strong>{name}</strong> <span class="soft">{words || 'no port told'}</span>
            </summary>
            {may === 'change' && shape ? <Rows path={`${path}.port`} label={name} shape={shape} asks={asksOf} /> : null}
            {may === 'change' ? null : <p>{words || 'No port told.'}</p>}
          </details>
        );
      })}
    </section>
  );
}
