// What to expect of the sound: predicted levels, distances and times to hold the microphone against.

import { findings } from '../api/client';
import type { Finding } from '../api/schema';
import { useJob } from '../job';
import { Strip } from '../parts/Strip';
import { Table } from '../parts/Table';
import { Title } from '../parts/Title';
import { Verdict } from '../parts/Verdict';
import { Waiting } from '../parts/Waiting';
import { link } from '../routes';
import { BLANK } from '../units';
import { useResource } from '../useResource';

/** The trades whose findings are heard. */
const HEARD = ['sound', 'bass'];

export function Page() {
  const { id, view, revision } = useJob();
  const proof = useResource(`${id} ${revision}`, (signal) => findings.all(id, signal));
  const heard = (proof.data?.findings ?? []).filter((finding) => HEARD.includes(finding.area));
  const groups = [...view.spaces.map(({ id: space, name }) => ({ space, name })), { space: null, name: 'The whole house' }];
  return (
    <div class="page">
      <Title page="Tune" of={view.name} />
      <p class="note">
        These are predictions from the plan and the spec sheets, to hold the receiver’s own readings against. Sweeps, recordings
        and filters are not part of dryfit yet. Start quietly: a sweep at full level can hurt ears and loudspeakers.
      </p>
      {proof.trouble ? <Strip trouble={proof.trouble} onAgain={proof.reload} /> : null}
      {proof.data === null && !proof.trouble ? <Waiting for="the predictions" /> : null}
      {proof.data && heard.length === 0 ? <p>Nothing that is heard is proved yet: the job has no loudspeakers or no seats.</p> : null}
      {groups.map((group) => (
        <Group key={group.space ?? ''} id={id} name={group.name} findings={heard.filter((one) => one.space === group.space)} />
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
        <Table
          key={title}
          caption={title}
          stacks
          columns={[{ head: 'What' }, { head: 'Predicted', numeric: true }, { head: 'Limit', numeric: true }, { head: 'Margin', numeric: true }, { head: 'Verdict' }]}
          rows={findings
            .filter((finding) => finding.title === title)
            .map((finding) => ({
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
      ))}
    </section>
  );
}
