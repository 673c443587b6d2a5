// Conduits cut across, with their cables as they lie: how full each is, and whether three of them may jam.

import { cables } from '../api/client';
import type { Conduit } from '../api/schema';
import { useJob } from '../job';
import { Strip } from '../parts/Strip';
import { useResource } from '../useResource';

/** The pipe fills this much of its square, which is 100 wide. */
const RADIUS = 48;
/** Letters are so much of their height wide. */
const LETTER_WIDE = 0.64;
const LETTERS_TALL = 8;
/** Smaller ones can't be read. */
const LETTERS_LEAST = 4;

export function Conduits() {
  const job = useJob();
  const loaded = useResource(`${job.id} ${job.revision} conduits`, (signal) => cables.conduits(job.id, signal));
  const conduits = loaded.data?.conduits ?? [];
  if (loaded.trouble) return <Strip trouble={loaded.trouble} onAgain={loaded.reload} />;
  if (conduits.length === 0) return null;
  return (
    <section class="house-part" aria-label="Conduits, cut across">
      <h2>Conduits, cut across</h2>
      <p class="soft">Each is drawn as wide as the others. A pull lays the cables otherwise than they are packed here.</p>
      <ul class="conduits">
        {conduits.map((conduit) => (
          <li key={conduit.id}>
            <figure>
              <figcaption>
                <strong>{conduit.label}</strong>
              </figcaption>
              <Section conduit={conduit} />
            </figure>
            <p>{conduit.words.join('; ')}.</p>
            <ul>
              {conduit.cables.map(({ id, kind }) => (
                <li key={id}>
                  {id}, {kind}
                </li>
              ))}
            </ul>
          </li>
        ))}
      </ul>
    </section>
  );
}

function Section({ conduit }: { conduit: Conduit }) {
  const { inside_m: inside } = conduit;
  if (inside === null) return null;
  const of = (metres: number) => (metres / inside) * 2 * RADIUS;
  const names = conduit.cables.map(({ id }) => id).join(', ');
  return (
    <svg viewBox="0 0 100 100" role="img" aria-label={`${conduit.label} with ${names}`}>
      <circle class="pipe" cx={50} cy={50} r={RADIUS} />
      {conduit.cables.map(({ id, centre_m: centre, outside_m: outside }) => {
        if (centre === null || outside === null) return null;
        const [x, y, radius] = [50 + of(centre[0]), 50 - of(centre[1]), of(outside / 2)];
        const tall = Math.min(LETTERS_TALL, (radius * 1.5) / (LETTER_WIDE * id.length));
        return (
          <g key={id}>
            <circle cx={x} cy={y} r={radius} />
            {tall >= LETTERS_LEAST ? (
              <text x={x} y={y} font-size={tall}>
                {id}
              </text>
            ) : null}
          </g>
        );
      })}
    </svg>
  );
}
