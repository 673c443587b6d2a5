// What to expect of the sound: predicted levels, distances and times to hold the microphone against.

import { findings } from '../api/client';
import type { Counts, Finding } from '../api/schema';
import { useJob } from '../job';
import { AddKit } from '../parts/AddKit';
import { Strip } from '../parts/Strip';
import { Table } from '../parts/Table';
import { Title } from '../parts/Title';
import { CountsLine, Verdict } from '../parts/Verdict';
import { Waiting } from '../parts/Waiting';
import { link } from '../routes';
import { BLANK } from '../units';
import { useResource } from '../useResource';

/** The trades whose findings are heard. */
const HEARD = ['sound', 'bass'];
/** Longer tables are opened when they are wanted. */
const SHOWN = 10;

export function Page() {
  const { id, view, revision } = useJob();
  const proof = useResource(`${id} ${revision}`, (signal) => findings.all(id, signal));
  const heard = (proof.data?.findings ?? []).filter((finding) => HEARD.includes(finding.area));
  const groups = [
    ...view.spaces.map(({ id: space, name }) => ({ space, name })),
    { space: null, name: 'The whole house' },
  ];
  return (
    <div class="page">
      <Title page="Tune" of={view.name} />
      <p class="note">
        These are predictions from the plan and the spec sheets, to hold the receiver’s own readings against.
        Sweeps, recordings and filters are not part of dryfit yet. Start quietly: a sweep at full level can
        hurt ears and loudspeakers.
      </p>
      {proof.trouble ? <Strip trouble={proof.trouble} onAgain={proof.reload} /> : null}
      {proof.data === null && !proof.trouble ? <Waiting for="the predictions" /> : null}
      {proof.data && heard.length === 0 ? (
        <>
          <p>Nothing that is heard is proved yet: the job has no loudspeakers or no seats.</p>
          <AddKit job={id} />
          <p>
            <a href={link('walk', { id }, { step: 'seats' })}>Say where people sit</a>
          </p>
        </>
      ) : null}
      {groups.map((group) => (
        <Group
          key={group.space ?? ''}
          id={id}
          name={group.name}
          findings={heard.filter((one) => one.space === group.space)}
        />
      ))}
    </div>
  );
}

function Group({ id, name, findings }: { id: string; name: string; findings: readonly Finding[] }) {
  if (findings.length === 0) return null;
  const titles = [...new Set(findings.map((finding) => finding.title))];
  return (
    <section>
      <h2>{name}</h2>
      {titles.map((title) => (
        <Predictions
          key={title}
          id={id}
          title={title}
          findings={findings.filter((finding) => finding.title === title)}
        />
      ))}
    </section>
  );
}

/** One check's findings; folded away where there are many, since each seat has one for each loudspeaker. */
function Predictions({ id, title, findings }: { id: string; title: string; findings: readonly Finding[] }) {
  return (
    <details open={findings.length <= SHOWN}>
      <summary>
        <span class="prediction">
          {title}
          <CountsLine counts={counts(findings)} of={title} />
        </span>
      </summary>
      <Table
        caption={title}
        captionHidden
        stacks
        columns={[
          { head: 'What' },
          { head: 'Predicted', numeric: true },
          { head: 'Limit', numeric: true },
          { head: 'Margin', numeric: true },
          { head: 'Verdict' },
        ]}
        rows={findings.map((finding) => ({
          key: finding.key,
          cells: [
            <a href={link('why', { id, key: finding.key })}>{finding.subject.label}</a>,
            finding.value_text ?? BLANK,
            finding.limit_text ?? BLANK,
            [finding.margin_text, finding.uncertainty_text].filter(Boolean).join(' ') || BLANK,
            <Verdict verdict={finding.verdict} />,
          ],
        }))}
      />
    </details>
  );
}

/** How many of these have each verdict: a count of what is listed below it. */
function counts(findings: readonly Finding[]): Counts {
  const of = (verdict: Finding['verdict']) =>
    findings.filter((finding) => finding.verdict === verdict).length;
  return { fails: of('fails'), tight: of('tight'), unknown: of('unknown'), fits: of('fits') };
}
