// All jobs, those that were removed, and the three ways to a new one: the demo house, a blank
// room, a file.

import { useEffect, useRef, useState } from 'preact/hooks';

import { jobs, troubleOf, type Trouble } from '../api/client';
import type { JobCard, Problem } from '../api/schema';
import { go } from '../location';
import { useMay } from '../may';
import { BlankRoom } from '../parts/BlankRoom';
import { Button } from '../parts/Button';
import { FileDrop } from '../parts/FileDrop';
import { Strip } from '../parts/Strip';
import { Table } from '../parts/Table';
import { Title } from '../parts/Title';
import { CountsLine } from '../parts/Verdict';
import { Waiting } from '../parts/Waiting';
import { link, MOMENTS } from '../routes';
import { saying } from '../status';
import { counted, when } from '../units';
import { useResource } from '../useResource';

export function Page() {
  const all = useResource('jobs', jobs.list);
  const away = useResource('removed jobs', jobs.away);
  const may = useMay();
  const [trouble, setTrouble] = useState<Trouble | null>(null);
  const [removed, setRemoved] = useState<JobCard | null>(null);

  async function attempt(doing: string, work: () => Promise<void>) {
    setTrouble(null);
    try {
      await saying(doing, work());
    } catch (thrown) {
      setTrouble(troubleOf(thrown));
    }
  }

  const demo = () =>
    attempt('Setting up the demo house …', async () => {
      const { id } = await jobs.create({ from: 'demo' });
      go(link('fit', { id }));
    });
  const openFile = (file: File) =>
    attempt('Reading the file …', async () => {
      const { id } = await jobs.import(file);
      go(link('fit', { id }));
    });

  const remove = (job: JobCard) =>
    attempt(`Removing ${job.name} …`, async () => {
      await jobs.remove(job.id);
      setRemoved(job);
      all.reload();
      away.reload();
    });
  const putBack = (job: JobCard) =>
    attempt(`Putting ${job.name} back …`, async () => {
      await jobs.putBack(job.id);
      setRemoved(null);
      all.reload();
      away.reload();
    });
  const change = may === 'change' ? { remove, putBack } : null;

  return (
    <div class="page">
      <Title page="Jobs" />
      {trouble ? (
        <>
          <Strip trouble={trouble} onClose={() => setTrouble(null)} />
          <Problems problems={trouble.problems} />
        </>
      ) : null}
      {all.trouble ? <Strip trouble={all.trouble} onAgain={all.reload} /> : null}
      {all.data === null && !all.trouble ? <Waiting for="the jobs" /> : null}
      {removed ? <RemovedJob job={removed} onUndo={() => void putBack(removed)} /> : null}
      {all.data ? <JobList cards={all.data} change={change} /> : null}
      {away.data && away.data.length > 0 ? <RemovedJobs cards={away.data} change={change} /> : null}
      <section aria-labelledby="new-job">
        <h2 id="new-job">Start a job</h2>
        <div class="starts">
          <div class="start">
            <h3>The demo house</h3>
            <p>
              An invented house after its walk-through: a living room with a fire, a loft made into a cinema,
              a terrace. Much of it does not fit yet.
            </p>
            <p class="actions">
              <Button kind={all.data?.length === 0 ? 'main' : 'plain'} onPress={() => void demo()}>
                Start from the demo house
              </Button>
            </p>
          </div>
          <BlankRoom />
          <div class="start">
            <h3>A file</h3>
            <p>A job file, or a bundle with its photographs, as another dryfit or a colleague sent it.</p>
            <FileDrop accept=".toml,.zip,.tar,.gz,.dryfit,text/plain" onFile={(file) => void openFile(file)}>
              Open a job file
            </FileDrop>
          </div>
        </div>
      </section>
    </div>
  );
}

/** What the crew may do with a job; null for a device that may only look. */
type Change = { remove: (job: JobCard) => Promise<void>; putBack: (job: JobCard) => Promise<void> } | null;

/** Takes the place of the line that went, also for who goes by keys. */
function RemovedJob({ job, onUndo }: { job: JobCard; onUndo: () => void }) {
  const strip = useRef<HTMLDivElement>(null);
  useEffect(() => strip.current?.focus(), [job.id]);
  return (
    <div class="strip" role="status" tabIndex={-1} ref={strip}>
      <p class="strip-message">Removed {job.name}. All of it is kept.</p>
      <Button onPress={onUndo} label={`Undo: put ${job.name} back`}>
        Undo
      </Button>
    </div>
  );
}

function RemovedJobs({ cards, change }: { cards: readonly JobCard[]; change: Change }) {
  return (
    <details>
      <summary>{counted(cards.length, 'removed job')}</summary>
      <ul class="jobs" aria-label="Removed jobs">
        {cards.map((job) => (
          <li key={job.id}>
            <span>{job.name}</span>
            <p class="soft small">
              {job.removed ? `Removed ${when(job.removed.when)} by ${job.removed.who}` : null}
            </p>
            {change ? (
              <Button kind="quiet" onPress={() => void change.putBack(job)} label={`Put back ${job.name}`}>
                Put back
              </Button>
            ) : null}
          </li>
        ))}
      </ul>
    </details>
  );
}

function JobList({ cards, change }: { cards: readonly JobCard[]; change: Change }) {
  if (cards.length === 0) return <p>No jobs yet. Start one below.</p>;
  return (
    <ul class="jobs" aria-label="Jobs">
      {cards.map((job) => (
        <li key={job.id}>
          <div class="job-name">
            <a href={link(job.next ?? 'fit', { id: job.id })}>{job.name}</a>
            {job.customer ? <span class="soft">{job.customer}</span> : null}
          </div>
          <div class="job-state">
            {job.next ? (
              <span>
                Next: <strong>{MOMENTS.find(({ moment }) => moment === job.next)?.title ?? job.next}</strong>
              </span>
            ) : null}
            {job.counts ? (
              <CountsLine counts={job.counts} of={job.name} />
            ) : (
              <span>This version of dryfit can’t read it.</span>
            )}
          </div>
          <div class="job-state">
            <p class="soft small">
              {counted(job.spaces, 'space')}, revision {job.revision}, {when(job.changed)} by {job.by}
            </p>
            {change ? (
              <p class="actions">
                <Button kind="quiet" onPress={() => void change.remove(job)} label={`Remove ${job.name}`}>
                  Remove
                </Button>
              </p>
            ) : null}
          </div>
        </li>
      ))}
    </ul>
  );
}

function Problems({ problems }: { problems: readonly Problem[] }) {
  if (problems.length === 0) return null;
  return (
    <Table
      caption="What is wrong in the file"
      stacks
      columns={[
        { head: 'Line', numeric: true },
        { head: 'Column', numeric: true },
        { head: 'What' },
        { head: 'Accepted' },
      ]}
      rows={problems.map((problem, index) => ({
        key: String(index),
        cells: [problem.line, problem.column, problem.says, problem.accepted ?? ''],
      }))}
    />
  );
}
