// The find box that `/` opens: pages, rooms, findings and sheets by what their names hold.

import { useMemo, useRef, useState } from 'preact/hooks';

import { findings, jobs, sheets } from '../api/client';
import type { Verdict as V } from '../api/schema';
import { go } from '../location';
import { link, MOMENTS } from '../routes';
import { useResource } from '../useResource';
import { Dialog } from './Dialog';
import { Strip } from './Strip';
import { Verdict } from './Verdict';

type Found = { url: string; kind: string; text: string; verdict?: V };

/** So many are shown; more typing narrows them. */
const SHOWN = 12;

/** Finds within a job, or among the jobs where there is none. */
export function Find({ job, onClose }: { job: string | null; onClose: () => void }) {
  const [text, setText] = useState('');
  const all = useResource(`find ${job ?? ''}`, (signal) =>
    job === null ? inJobs(signal) : inJob(job, signal),
  );
  const list = useRef<HTMLUListElement>(null);
  const found = useMemo(() => matching(all.data ?? [], text), [all.data, text]);
  return (
    <Dialog title={job === null ? 'Find a job or a page' : 'Find in this job'} onClose={onClose}>
      <form
        onSubmit={(event) => {
          event.preventDefault();
          const first = found[0];
          if (!first) return;
          onClose();
          go(first.url);
        }}
      >
        <label class="field">
          <span>Name, or part of it</span>
          <input
            type="search"
            value={text}
            autoFocus
            onInput={(event) => setText(event.currentTarget.value)}
            onKeyDown={(event) => {
              if (event.key !== 'ArrowDown') return;
              event.preventDefault();
              list.current?.querySelector('a')?.focus();
            }}
          />
        </label>
      </form>
      {all.trouble ? <Strip trouble={all.trouble} onAgain={all.reload} /> : null}
      <p class="soft" role="status">
        {all.data === null && !all.trouble
          ? 'Looking …'
          : found.length === 0
            ? 'Nothing has that in its name'
            : ''}
      </p>
      <ul class="found" ref={list} onKeyDown={walkLinks}>
        {found.slice(0, SHOWN).map((entry) => (
          <li key={entry.url + entry.text}>
            <a href={entry.url} onClick={onClose}>
              <span>{entry.text}</span>
              <span class="soft">{entry.verdict ? <Verdict verdict={entry.verdict} /> : entry.kind}</span>
            </a>
          </li>
        ))}
      </ul>
      {found.length > SHOWN ? (
        <p class="soft">and {found.length - SHOWN} more: type on to narrow them</p>
      ) : null}
    </Dialog>
  );
}

function walkLinks(event: KeyboardEvent): void {
  const step = event.key === 'ArrowDown' ? 1 : event.key === 'ArrowUp' ? -1 : 0;
  if (step === 0 || !(event.currentTarget instanceof HTMLElement)) return;
  const links = [...event.currentTarget.querySelectorAll('a')];
  const at = links.findIndex((link) => link === document.activeElement);
  links[at + step]?.focus();
  event.preventDefault();
}

function matching(all: readonly Found[], text: string): Found[] {
  const words = text.toLocaleLowerCase().split(/\s+/).filter(Boolean);
  return all.filter((entry) => {
    const name = `${entry.text} ${entry.kind} ${entry.verdict ?? ''}`.toLocaleLowerCase();
    return words.every((word) => name.includes(word));
  });
}

const PAGES: readonly Found[] = [
  { url: link('jobs', {}), kind: 'page', text: 'Jobs' },
  { url: link('catalogue', {}), kind: 'page', text: 'Catalogue' },
  { url: link('sharing', {}), kind: 'page', text: 'Sharing' },
];

async function inJobs(signal: AbortSignal): Promise<Found[]> {
  const all = await jobs.list(signal);
  const cards = all.map((job) => ({
    url: link(job.next ?? 'fit', { id: job.id }),
    kind: 'job',
    text: job.name,
  }));
  return [...cards, ...PAGES];
}

async function inJob(id: string, signal: AbortSignal): Promise<Found[]> {
  const [view, proof, printed] = await Promise.all([
    jobs.one(id, signal),
    findings.all(id, signal),
    sheets.list(id, signal),
  ]);
  return [
    ...MOMENTS.map(({ moment, title }) => ({ url: link(moment, { id }), kind: 'moment', text: title })),
    { url: link('sheets', { id }), kind: 'page', text: 'Sheets' },
    { url: link('history', { id }), kind: 'page', text: 'History' },
    ...view.spaces.map((space) => ({
      url: link('fit', { id }, { room: space.id }),
      kind: 'room',
      text: space.name,
    })),
    ...printed.map((sheet) => ({
      url: link('sheets', { id }, { sheet: sheet.id }),
      kind: 'sheet',
      text: sheet.title,
    })),
    ...proof.findings.map((finding) => ({
      url: link('why', { id, key: finding.key }),
      kind: 'finding',
      text: `${finding.title}: ${finding.subject.label}`,
      verdict: finding.verdict,
    })),
    ...PAGES,
  ];
}
