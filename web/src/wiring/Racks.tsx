// What stands in which unit of each rack, seen from in front, and how warm it gets inside.

import type { Rack, RackHeat } from '../api/schema';
import { useJob } from '../job';
import { Table } from '../parts/Table';
import { VerdictShape } from '../parts/Verdict';
import { BLANK } from '../units';
import { laid, unitsText } from './rack';
import { Thing } from './Thing';
import { useWiring } from './useWiring';
import { toThing } from './whereTo';
import './wiring.css';

export function Racks({ racks }: { racks: readonly Rack[] }) {
  if (racks.length === 0) return null;
  return (
    <section class="house-part" aria-label="Racks by units">
      <h2>Racks by units</h2>
      <p class="soft">Seen from in front; units count from the bottom, 44.45 mm each. Press a thing to see it in its room.</p>
      {racks.map((rack) => (
        <section key={rack.rack.id}>
          <h3>
            <Thing thing={rack.rack} />
          </h3>
          <RackFront rack={rack} />
        </section>
      ))}
    </section>
  );
}

/** The elevation of one rack, where the page is about that rack; nothing for a cupboard without units. */
export function RackOf({ item }: { item: string }) {
  const { data } = useWiring();
  const rack = data?.racks.find((one) => one.rack.id === item);
  return rack ? <RackFront rack={rack} /> : null;
}

function RackFront({ rack }: { rack: Rack }) {
  const job = useJob();
  const { rows, places, lanes, outside } = laid(rack);
  return (
    <>
      <ol
        class="rack"
        aria-label={`${rack.rack.label}, ${rack.slots} units, from the top`}
        style={{
          'grid-template-rows': `repeat(${rows.length}, minmax(var(--target), auto))`,
          'grid-template-columns': `auto repeat(${lanes}, minmax(0, 1fr))`,
        }}
      >
        {rows.map(({ top, bottom }, row) => (
          <li
            key={top}
            class={top === bottom ? 'rack-unit' : 'rack-unit rack-free'}
            aria-hidden={top === bottom}
            style={{ 'grid-row': row + 1 }}
          >
            {top === bottom ? top : `${bottom}–${top} free`}
          </li>
        ))}
        {places.map(({ one, row, rows: span, lane }) => {
          const { thing, facts_text: facts } = one;
          const href = toThing(job.id, thing);
          const words = (
            <>
              <span class="sr-only">{unitsText(one)}: </span>
              <strong>{thing.label}</strong>
              {facts === '' ? null : <span class="soft"> {facts}</span>}
              {thing.verdict === null ? null : (
                <span class={`verdict ${thing.verdict}`}>
                  {' '}
                  <VerdictShape verdict={thing.verdict} />
                  {thing.verdict}
                </span>
              )}
            </>
          );
          return (
            <li key={thing.id} class="racked" style={{ 'grid-row': `${row + 1} / span ${span}`, 'grid-column': lane + 2 }}>
              {href === null ? <span>{words}</span> : <a href={href}>{words}</a>}
            </li>
          );
        })}
      </ol>
      {outside.length === 0 ? null : (
        <p class="note">
          Out of the rack: {outside.map((one) => `${one.thing.label} (${unitsText(one).toLowerCase()})`).join(', ')}.
        </p>
      )}
      {rack.loose.length === 0 ? null : <p class="soft">Inside, in no unit yet: {rack.loose.join(', ')}.</p>}
      {rack.heat.length === 0 ? null : <Heat heat={rack.heat} />}
    </>
  );
}

function Heat({ heat }: { heat: readonly RackHeat[] }) {
  return (
    <>
      <h4>How warm it gets inside, everything running</h4>
      <Table
        caption="How warm it gets inside, everything running"
        captionHidden
        stacks
        columns={[
          { head: 'Doors and air' },
          { head: 'Inside', numeric: true },
          { head: 'Lowest rating inside' },
          { head: 'To spare', numeric: true },
        ]}
        rows={heat.map(({ says, inside_text, lowest_text, spare_text }) => ({
          key: says,
          cells: [says, inside_text, lowest_text ?? 'not known', spare_text ?? BLANK],
        }))}
      />
    </>
  );
}
