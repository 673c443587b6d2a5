// How full each mains circuit is: a bar of what hangs on it, with its limit as an upright line.

import type { CircuitLoad } from '../api/schema';
import { useJob } from '../job';
import { VerdictShape } from '../parts/Verdict';
import { Thing } from './Thing';
import { toFinding } from './whereTo';
import './wiring.css';

/** The limit's line stands here, of a bar's 100. */
const LIMIT = 76;
/** Narrower parts bear no number, of a bar's 100. */
const NUMBERED = 4;

export function Circuits({ circuits }: { circuits: readonly CircuitLoad[] }) {
  if (circuits.length === 0) return null;
  return (
    <section class="house-part" aria-label="Load of each circuit">
      <h2>Load of each circuit</h2>
      <p class="soft">
        All of it running; the upright line is what the circuit may carry for hours. Mains work is for a licensed
        electrician.
      </p>
      <ul class="circuits">
        {circuits.map((one) => (
          <li key={one.circuit.id}>
            <Circuit load={one} />
          </li>
        ))}
      </ul>
    </section>
  );
}

function Circuit({ load }: { load: CircuitLoad }) {
  const job = useJob();
  const { circuit, load_text, most_w: most, load_w: sum, parts, missing } = load;
  const words = (
    <>
      <strong>{circuit.label}</strong> {load_text}
      {circuit.verdict === null ? null : (
        <span class={`verdict ${circuit.verdict}`}>
          {' '}
          <VerdictShape verdict={circuit.verdict} />
          {circuit.verdict}
        </span>
      )}
    </>
  );
  const scale = most !== null && most > 0 ? LIMIT / most : LIMIT / Math.max(1, sum);
  let from = 0;
  return (
    <>
      <p class="circuit-head">
        {circuit.finding === null ? words : <a href={toFinding(job.id, circuit.finding)}>{words}</a>}
      </p>
      <svg class="load-bar" viewBox="0 0 100 12" preserveAspectRatio="none" aria-hidden="true">
        {parts.map((part, index) => {
          const wide = (part.watts ?? 0) * scale;
          const left = from;
          from += wide;
          return left >= 100 || wide <= 0 ? null : (
            <rect key={index} data-part={index % 2} x={left} y={2} width={Math.min(wide, 100 - left)} height={8} />
          );
        })}
        {most === null ? null : <path d={`M${LIMIT} 0V12`} />}
      </svg>
      <PartNumbers load={load} scale={scale} />
      <ol class="circuit-parts">
        {parts.map((part) => (
          <li key={part.thing?.id ?? ''}>
            {part.thing === null ? part.label : <Thing thing={part.thing} />} <span class="soft">{part.watts_text}</span>
          </li>
        ))}
      </ol>
      {missing === null ? null : <p class="note">Not known yet: {missing}</p>}
    </>
  );
}

/** Each part's number in the list stands under it, where there is room. */
function PartNumbers({ load, scale }: { load: CircuitLoad; scale: number }) {
  let from = 0;
  return (
    <div class="part-numbers" aria-hidden="true">
      {load.parts.map((part, index) => {
        const wide = (part.watts ?? 0) * scale;
        const middle = from + wide / 2;
        from += wide;
        return wide < NUMBERED || middle > 100 ? null : (
          <span key={index} style={{ left: `${middle}%` }}>
            {index + 1}
          </span>
        );
      })}
      {load.most_w === null ? null : (
        <span class="limit-word" style={{ left: `${LIMIT}%` }}>
          limit
        </span>
      )}
    </div>
  );
}
