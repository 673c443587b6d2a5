// What would mend a finding: each remedy with its cost and side effects, applied by one press.

import type { Change, Finding, Remedy, Units, Verdict as V } from '../api/schema';
import { LOOKS_ONLY, useMay } from '../may';
import { Verdict } from '../parts/Verdict';
import { counted, duration, length } from '../units';

type Props = {
  remedies: readonly Remedy[];
  /** The whole list, for the names of checks. */
  findings: readonly Finding[];
  units: Units;
  currency: string | null;
  /** The remedy being applied. */
  busy: string | null;
  onApply: (remedy: Remedy) => void;
};

export function Remedies({ remedies, findings, units, currency, busy, onApply }: Props) {
  if (remedies.length === 0) return <p class="soft">No single change to the job mends it.</p>;
  return (
    <ul class="mends">
      {remedies.map((remedy) => (
        <li key={remedy.id}>
          <Apply remedy={remedy} busy={busy !== null} onApply={onApply} />
          <p class="costs">
            {costs(remedy, units, currency).map((cost) => (
              <span key={cost}>{cost}</span>
            ))}
          </p>
          <Effects remedy={remedy} findings={findings} />
          {remedy.cautions.length > 0 ? (
            <details>
              <summary>{counted(remedy.cautions.length, 'caution')} before you do it</summary>
              <ul class="dangers">
                {remedy.cautions.map((caution) => (
                  <li key={caution}>{caution}</li>
                ))}
              </ul>
            </details>
          ) : null}
        </li>
      ))}
    </ul>
  );
}

function Apply({
  remedy,
  busy,
  onApply,
}: {
  remedy: Remedy;
  busy: boolean;
  onApply: (remedy: Remedy) => void;
}) {
  const refused = remedy.effect?.refused ?? null;
  const may = useMay();
  const blocked = busy || may !== 'change' || refused !== null || remedy.edits.length === 0;
  return (
    <>
      <button
        type="button"
        class="button remedy"
        aria-disabled={blocked || undefined}
        onClick={() => {
          if (!blocked) onApply(remedy);
        }}
      >
        {remedy.says}
      </button>
      {refused === null ? null : <p class="because">Can’t be applied: {refused}</p>}
      {may === 'look' && remedy.edits.length > 0 ? <p class="because">{LOOKS_ONLY}</p> : null}
      {remedy.edits.length === 0 ? (
        <p class="because">Work for the crew: nothing in the job file changes.</p>
      ) : null}
    </>
  );
}

function costs({ money, time_s, wire_m, holes }: Remedy, units: Units, currency: string | null): string[] {
  const all = [
    money === null || money === 0 ? null : price(money, currency),
    time_s > 0 ? duration(time_s) : null,
    wire_m > 0 ? `${length(wire_m, units)} of wire` : null,
    holes > 0 ? counted(holes, 'hole') : null,
  ];
  const known = all.filter((cost) => cost !== null);
  return known.length === 0 ? ['no further time, wire or holes'] : known;
}

function price(money: number, currency: string | null): string {
  if (currency === null || !/^[A-Z]{3}$/.test(currency)) return money.toFixed(2);
  return money.toLocaleString(undefined, { style: 'currency', currency });
}

/** The currency that a job states for its rates. */
export function currencyOf(document: unknown): string | null {
  const currency = within(within(document, 'rates'), 'currency');
  return typeof currency === 'string' ? currency : null;
}

function within(value: unknown, key: string): unknown {
  if (typeof value !== 'object' || value === null) return undefined;
  return Object.entries(value).find(([name]) => name === key)?.[1];
}

function Effects({ remedy, findings }: { remedy: Remedy; findings: readonly Finding[] }) {
  const { effect } = remedy;
  if (!effect) return <p class="soft small">Trying it on the whole job …</p>;
  return (
    <div class="effects">
      <p>
        <span class="soft">Then it</span> <Verdict verdict={effect.verdict} />
      </p>
      <Changes heading="Gets better" still="by less" changes={effect.better} findings={findings} />
      <Changes heading="Gets worse" still="by more" changes={effect.worse} findings={findings} />
    </div>
  );
}

type ChangesProps = {
  heading: string;
  still: string;
  changes: readonly Change[];
  findings: readonly Finding[];
};

function Changes({ heading, still, changes, findings }: ChangesProps) {
  if (changes.length === 0) return null;
  const title = (check: string): string =>
    findings.find((finding) => finding.check === check)?.title ?? check;
  return (
    <div>
      <h4>{heading}</h4>
      <ul>
        {changes.map(({ check, subject, from, to }) => (
          <li key={`${check} ${subject}`}>
            {subject} <span class="soft">{title(check)}</span> <Turn from={from} to={to} still={still} />
          </li>
        ))}
      </ul>
    </div>
  );
}

function Turn({ from, to, still }: { from: V | null; to: V | null; still: string }) {
  if (from !== null && from === to) {
    return (
      <span class="turn">
        <span class="soft">still</span> <Verdict verdict={to} />
        <span class="soft">, {still}</span>
      </span>
    );
  }
  return (
    <span class="turn">
      {from === null ? <span class="soft">not asked</span> : <Verdict verdict={from} />}
      <span class="soft"> to </span>
      {to === null ? <span class="soft">not asked</span> : <Verdict verdict={to} />}
    </span>
  );
}
