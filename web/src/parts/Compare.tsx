// Two revisions side by side: which facts differ, and which findings.

import { jobs } from '../api/client';
import type { Comparison, Revision, Verdict as V } from '../api/schema';
import { useQuery } from '../location';
import { link } from '../routes';
import { BLANK, when } from '../units';
import { useResource } from '../useResource';
import { ChoiceField } from './Field';
import { Strip } from './Strip';
import { Table } from './Table';
import { Verdict } from './Verdict';
import { Waiting } from './Waiting';

type Props = {
  id: string;
  revisions: readonly Revision[];
  /** What the two sides are called. */
  sides: { from: string; to: string };
};

/** Which two stands in the URL; the last two where it says nothing. */
export function Compare({ id, revisions, sides }: Props) {
  const [query, setQuery] = useQuery();
  const newest = revisions[0]?.n ?? 0;
  const oldest = revisions.at(-1)?.n ?? 0;
  const to = known(revisions, query.get('to')) ?? newest;
  const from = known(revisions, query.get('from')) ?? named(revisions, to) ?? Math.max(oldest, to - 1);
  const choices = revisions.map((revision) => ({ value: String(revision.n), label: titleOf(revision) }));
  if (revisions.length < 2)
    return <p class="note">There is one revision so far: nothing to compare it with.</p>;
  return (
    <>
      <div class="fields">
        <ChoiceField
          label={sides.from}
          value={String(from)}
          choices={choices}
          onChoose={(n) => setQuery({ from: n })}
        />
        <ChoiceField
          label={sides.to}
          value={String(to)}
          choices={choices}
          onChoose={(n) => setQuery({ to: n })}
        />
      </div>
      {from === to ? (
        <p class="note">Choose two different revisions.</p>
      ) : (
        <Differences id={id} from={from} to={to} sides={sides} />
      )}
    </>
  );
}

function Differences({
  id,
  from,
  to,
  sides,
}: {
  id: string;
  from: number;
  to: number;
  sides: Props['sides'];
}) {
  const found = useResource(`${id} ${from} ${to}`, (signal) => jobs.compare(id, from, to, signal));
  if (found.trouble) return <Strip trouble={found.trouble} onAgain={found.reload} />;
  if (!found.data) return <Waiting for="the differences" />;
  return (
    <div class={found.loading ? 'stale' : ''}>
      <Facts facts={found.data.facts} sides={sides} />
      <Findings id={id} findings={found.data.findings} sides={sides} />
    </div>
  );
}

function Facts({ facts, sides }: { facts: Comparison['facts']; sides: Props['sides'] }) {
  if (facts.length === 0) return <p class="note">No fact differs.</p>;
  return (
    <Table
      caption="Facts that differ"
      stacks
      columns={[{ head: 'Fact' }, { head: sides.from }, { head: sides.to }]}
      rows={facts.map((fact) => ({
        key: fact.at,
        cells: [fact.what, fact.before ?? blank('not there'), fact.after ?? blank('not there')],
      }))}
    />
  );
}

function Findings({
  id,
  findings,
  sides,
}: {
  id: string;
  findings: Comparison['findings'];
  sides: Props['sides'];
}) {
  if (findings.length === 0) return <p class="note">No finding has another verdict.</p>;
  return (
    <Table
      caption="Findings with another verdict"
      stacks
      columns={[{ head: 'Finding' }, { head: sides.from }, { head: sides.to }, { head: 'Why' }]}
      rows={findings.map((finding) => ({
        key: finding.key,
        cells: [
          finding.to === null ? (
            `${finding.title}: ${finding.subject}`
          ) : (
            <a href={link('why', { id, key: finding.key })}>
              {finding.title}: {finding.subject}
            </a>
          ),
          verdictOrBlank(finding.from),
          verdictOrBlank(finding.to),
          finding.because,
        ],
      }))}
    />
  );
}

function verdictOrBlank(verdict: V | null) {
  return verdict ? <Verdict verdict={verdict} /> : blank('no such finding');
}

function blank(why: string) {
  return (
    <span class="soft" title={why}>
      <span aria-hidden="true">{BLANK}</span>
      <span class="sr-only">{why}</span>
    </span>
  );
}

/** The last revision before this one that somebody gave a name: the likeliest to compare with. */
function named(revisions: readonly Revision[], before: number): number | null {
  return revisions.find((revision) => revision.n < before && revision.name !== null)?.n ?? null;
}

function known(revisions: readonly Revision[], text: string | null): number | null {
  return revisions.find((revision) => String(revision.n) === text)?.n ?? null;
}

function titleOf(revision: Revision): string {
  const name = revision.name ? `, ${revision.name}` : '';
  return `${revision.n}${name} (${when(revision.when)})`;
}
