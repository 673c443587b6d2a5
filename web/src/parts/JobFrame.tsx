// What stands around every page of a job: its title block, the moments, undo, and what two people
// changed at once. The one place that sends changes.

import type { ComponentChildren } from 'preact';
import { useCallback, useEffect, useMemo, useState } from 'preact/hooks';

import { jobs, troubleOf, type Changes, type Trouble } from '../api/client';
import type { Counts, JobView, Json, Saved } from '../api/schema';
import { toldOf, useFollow } from '../follow';
import { JobContext, type JobState } from '../job';
import { isTyping, useKey, useKeyHelp } from '../keys';
import { LOOKS_ONLY, useMay } from '../may';
import { outbox, useWaiting, type Outcome } from '../outbox';
import { OutboxStrip } from '../outbox/OutboxStrip';
import { withWaiting } from '../outbox/overlay';
import { link, type RouteName } from '../routes';
import { say, saying } from '../status';
import { useResource } from '../useResource';
import { Button } from './Button';
import { ContestedStrip } from './Contested';
import { Moments } from './Moments';
import { Strip } from './Strip';
import { CountsLine } from './Verdict';
import { Waiting } from './Waiting';

const KEYS = [
  { keys: 'Ctrl Z', does: 'undo the last change to the job' },
  { keys: 'Ctrl Shift Z', does: 'redo it' },
];

export function JobFrame({
  id,
  current,
  children,
}: {
  id: string;
  current: RouteName;
  children: ComponentChildren;
}) {
  const view = useResource(id, (signal) => jobs.one(id, signal));
  const [saved, setSaved] = useState<Saved | null>(null);
  const [trouble, setTrouble] = useState<Trouble | null>(null);
  // Out of reach the list and the job may be kept from different times.
  const [listed, setListed] = useState<Counts | null>(null);
  const { data, reload, set } = view;

  const arrived = useCallback(
    (data: JobView, answer: Saved) => {
      setTrouble(null);
      setSaved(answer);
      const { revision, undo, redo, contested, delta } = answer;
      set({ ...data, revision, undo, redo, contested, counts: delta.counts });
      say(answer.says);
      reload();
    },
    [reload, set],
  );

  const send = useCallback(
    async (doing: string, change: (view: JobView) => Promise<Saved>): Promise<Saved | null> => {
      if (!data) return null;
      try {
        const answer = await saying(doing, change(data));
        arrived(data, answer);
        return answer;
      } catch (thrown) {
        setTrouble(troubleOf(thrown));
        return null;
      }
    },
    [data, arrived],
  );

  /** By way of the outbox: what can't be sent now is kept, and goes out in order. */
  const attempt = useCallback(
    async (data: JobView, change: Changes & { summary?: string }): Promise<Outcome> => {
      const entry = { kind: 'change', job: id, base: data.revision, ...change } as const;
      const outcome = await saying('Saving …', outbox.add(entry));
      if (outcome.is !== 'sent') return outcome;
      // Another page of this browser sent it: what came of it is asked anew.
      if (outcome.saved === null) reload();
      else arrived(data, outcome.saved);
      return outcome;
    },
    [id, arrived, reload],
  );
  const change = useCallback(
    async (data: JobView, changes: Changes & { summary?: string }): Promise<Outcome> => {
      const outcome = await attempt(data, changes);
      if (outcome.is === 'refused') setTrouble(outcome.trouble);
      return outcome;
    },
    [attempt],
  );

  // What had waited has arrived: the page shows what became of it.
  useEffect(
    () =>
      outbox.onArrival((entry, answer) => {
        if (entry.job !== id || answer === null) return;
        if (data) arrived(data, answer);
        else reload();
      }),
    [id, data, arrived, reload],
  );

  // What another device saved is taken over as after an own save: what is being typed stays.
  useFollow(id, data?.revision ?? null, (later) => {
    say(toldOf(later));
    reload();
  });

  // What waits is in the document already, so that who goes on out of reach builds upon it.
  const waiting = useWaiting(id);
  const held = waiting.map(({ op, waited, refused }) => `${op} ${waited} ${refused === null}`).join();
  const document = useMemo(
    () => (data ? withWaiting(data.document as Json, waiting) : null), // A document is JSON.
    [data?.document, held],
  );

  const state = useMemo<JobState | null>(() => {
    if (!data) return null;
    return {
      id,
      view: { ...data, document },
      revision: data.revision,
      saved,
      save: async (changes) => {
        const outcome = await change(data, changes);
        return outcome.is === 'sent' ? outcome.saved : null;
      },
      change: (changes) => change(data, changes),
      attempt: (changes) => attempt(data, changes),
      undo: async () => {
        await send('Undoing …', (view) => jobs.undo(id, view.revision));
      },
      redo: async () => {
        await send('Redoing …', (view) => jobs.redo(id, view.revision));
      },
      keep: async (contested, which) => {
        await send('Saving …', (view) => jobs.keep(id, contested, which, view.revision));
      },
      reload,
      countAs: setListed,
    };
  }, [id, data, document, saved, change, attempt, send, reload]);

  useKeyHelp(KEYS);
  useKey((event) => {
    if (!(event.ctrlKey || event.metaKey) || event.altKey || isTyping(event) || !state) return false;
    if (event.key.toLowerCase() !== 'z') return false;
    void (event.shiftKey ? state.redo() : state.undo());
    return true;
  });

  if (!state || !data) {
    return view.trouble ? (
      <div class="page">
        <Strip trouble={view.trouble} onAgain={reload} />
        <p>
          <a href={link('jobs', {})}>To all jobs</a>
        </p>
      </div>
    ) : (
      <Waiting for="the job" />
    );
  }
  return (
    <JobContext.Provider value={state}>
      <div class="title-block">
        <div class="title-job">
          <span class="title-name">{data.name}</span>
          {data.customer ? <span class="soft">{data.customer}</span> : null}
        </div>
        <div class="title-counts">
          <CountsLine counts={listed ?? data.counts} of={data.name} />
        </div>
        <div class="title-tools">
          <Undo what={data.undo} word="Undo" onPress={() => void state.undo()} />
          <Undo what={data.redo} word="Redo" onPress={() => void state.redo()} />
          <a href={link('history', { id })} aria-current={current === 'history' ? 'page' : undefined}>
            Revision {data.revision}
            {data.named ? `, ${data.named}` : ''}
          </a>
          <a href={link('house', { id })} aria-current={current === 'house' ? 'page' : undefined}>
            House
          </a>
          <a href={link('sheets', { id })} aria-current={current === 'sheets' ? 'page' : undefined}>
            Sheets
          </a>
          <a href={link('catalogue', {}, { job: id })}>Catalogue</a>
          <a href={jobs.fileUrl(id)} download>
            Job file
          </a>
        </div>
      </div>
      <Moments job={data} id={id} current={current} />
      {trouble ? (
        <div class="page">
          <Strip trouble={trouble} onClose={() => setTrouble(null)} />
        </div>
      ) : null}
      <OutboxStrip />
      <ContestedStrip history={current === 'history'} />
      {children}
    </JobContext.Provider>
  );
}

/** Says on hover and to screen readers what would be taken back; absent words mean there is nothing. */
function Undo({ what, word, onPress }: { what: string | null; word: string; onPress: () => void }) {
  const may = useMay();
  const why = may === 'look' ? LOOKS_ONLY : (what ?? `nothing to ${word.toLowerCase()}`);
  return (
    <span title={why}>
      <Button
        kind="quiet"
        busy={what === null || may === 'look'}
        label={what ? `${word}: ${what}` : `${word}: nothing`}
        onPress={onPress}
      >
        {word}
      </Button>
    </span>
  );
}
