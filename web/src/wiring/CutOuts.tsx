// The holes for what is let into walls and ceilings, drawn in proportion, with how many there are and where.

import type { CutOut } from '../api/schema';
import { useJob } from '../job';
import { link } from '../routes';
import { Thing } from './Thing';
import './wiring.css';

/** Free round the largest, of its own size. */
const ROUND = 1.06;

export function CutOuts({ cutOuts }: { cutOuts: readonly CutOut[] }) {
  const job = useJob();
  if (cutOuts.length === 0) return null;
  const largest = Math.max(...cutOuts.flatMap(({ size_m }) => size_m)) * ROUND;
  return (
    <section class="house-part" aria-label="Cut-outs">
      <h2>Cut-outs</h2>
      <p class="soft">
        All to one scale. Look for mains, pipes and gas before anything is cut; at their true size they are on the sheet{' '}
        <a href={link('sheets', { id: job.id }, { sheet: 'templates' })}>Cut-outs at their true size</a>.
      </p>
      <ul class="conduits">
        {cutOuts.map((one) => (
          <li key={one.kit}>
            <figure>
              <figcaption>
                <strong>
                  {one.count} × {one.name}
                </strong>
              </figcaption>
              <Hole cutOut={one} largest={largest} />
            </figure>
            <p>
              {one.size_text}
              {one.depth_text === null ? '; how deep is not known' : `, ${one.depth_text} deep behind the board`}.
            </p>
            <ul>
              {one.things.map((thing) => (
                <li key={thing.id}>
                  <Thing thing={thing} />
                </li>
              ))}
            </ul>
          </li>
        ))}
      </ul>
    </section>
  );
}

function Hole({ cutOut, largest }: { cutOut: CutOut; largest: number }) {
  const [wide, tall] = cutOut.size_m.map((side) => (side / largest) * 100) as [number, number]; // A pair stays one.
  return (
    <svg class="hole" viewBox="0 0 100 100" role="img" aria-label={`Cut-out of ${cutOut.name}: ${cutOut.size_text}`}>
      {cutOut.is_round ? (
        <circle cx={50} cy={50} r={wide / 2} />
      ) : (
        <rect x={50 - wide / 2} y={50 - tall / 2} width={wide} height={tall} />
      )}
      <path d={`M50 ${46 - tall / 2}V${54 + tall / 2}M${46 - wide / 2} 50H${54 + wide / 2}`} />
    </svg>
  );
}
