// What is typed into the walk-through's fields: tried on an unsaved copy while it is typed, saved when it is done.

import { useEffect, useMemo, useRef, useState } from 'preact/hooks';

import { isAborted, Refused, spaces, troubleOf, type Trouble } from '../api/client';
import type { Edit, Field, Scene as ApiScene, Walk } from '../api/schema';
import { Live } from '../fit/live';
import type { JobState } from '../job';
import { outbox, useWaiting, type Outcome } from '../outbox';
import { useResource } from '../useResource';
import { shownAt } from './document';

/** A space as it was answered, and the revision that it builds on. */
export type Shown = { revision: number; walk: Walk; scene: ApiScene };

type Typed = { fact: Field; text: string; /** The revision that holds it, once it is saved. */ saved: number | null };
/** Enter goes on after this long, whatever the save comes to: below it a wait is not felt. */
const SOON_MS = 100;

type Asked = { typed: readonly Typed[]; job: string; space: string; revision: number };

export function useTyping(job: JobState, space: string) {
  const [typed, setTyped] = useState<ReadonlyMap<string, Typed>>(new Map());
  const [troubles, setTroubles] = useState<ReadonlyMap<string, Trouble>>(new Map());
  const [tried, setTried] = useState<Shown | null>(null);
  const revision = job.revision;
  const loaded = useResource(`${job.id} ${space} ${revision}`, async (signal): Promise<Shown> => {
    const [walk, scene] = await Promise.all([
      spaces.walk(job.id, space, signal),
      spaces.scene(job.id, space, signal),
    ]);
    return { revision, walk, scene };
  });

  const live = useMemo(
    () =>
      new Live<Asked, Shown>(
        tryOut,
        (shown) => setTried(shown),
        // The old answer stays; what can't be read is said when the field is left.
        () => setTried(null),
      ),
    [job.id, space],
  );
  useEffect(() => () => live.stop(), [live]);

  // What is saved leaves the drafts once the answer that holds it is shown.
  useEffect(() => {
    const shown = loaded.data;
    if (!shown) return;
    setTyped((old) => {
      const left = [...old].filter(([, { saved }]) => saved === null || saved > shown.revision);
      return left.length === old.size ? old : new Map(left);
    });
  }, [loaded.data]);
  // What was refused counts as not measured: it is neither drawn nor tried again with the rest.
  const open = [...typed.values()].filter(({ saved, fact }) => saved === null && !troubles.has(fact.at));
  useEffect(() => {
    if (open.length === 0) {
      live.stop();
      setTried(null);
    } else live.offer({ typed: open, job: job.id, space, revision });
  }, [typed, troubles, revision]);

  const savedText = (fact: Field) => shownAt(latest.current.job.view.document, fact.at);
  const latest = useRef({ job, typed, troubles });
  latest.current = { job, typed, troubles };
  const put = (fact: Field, text: string | null, saved: number | null) =>
    setTyped((old) => {
      const next = new Map(old);
      if (text === null) next.delete(fact.at);
      else next.set(fact.at, { fact, text, saved });
      return next;
    });
  const tell = (at: string, trouble: Trouble | null) =>
    setTroubles((old) => {
      if (trouble === null && !old.has(at)) return old;
      const next = new Map(old);
      if (trouble === null) next.delete(at);
      else next.set(at, trouble);
      return next;
    });

  // One save after the other, so that each builds on the revision before.
  const saves = useRef(Promise.resolve());
  const under_way = useRef(new Map<string, string>());
  const send = <T>(save: (job: JobState) => Promise<T>): Promise<T> => {
    const saving = saves.current.then(async () => {
      const outcome = await save(latest.current.job);
      // The page takes the new revision before the next one goes out.
      await new Promise((resolve) => setTimeout(resolve));
      return outcome;
    });
    saves.current = saving.then(() => {});
    return saving;
  };

  /**
   * What is wrong with one fact may lie in another: the door fits once its place is corrected. So what was refused of a
   * thing is tried once more when another fact of it is saved.
   */
  const tryAgain = (at: string) => {
    const { troubles, typed } = latest.current;
    for (const other of troubles.keys()) {
      const draft = typed.get(other);
      if (draft && other !== at && thingOf(other) === thingOf(at)) void commit(draft.fact, draft.text);
    }
  };

  const commit = async (fact: Field, given: string, late?: () => void): Promise<boolean> => {
    const text = given.trim();
    const draft = latest.current.typed.get(fact.at);
    if (under_way.current.get(fact.at) === text) return true;
    if (draft && draft.saved !== null && draft.text === text) return true;
    // What is shown may be the copy that holds this very text: what counts is what is saved.
    const isSaved = draft !== undefined && draft.saved !== null;
    if (!isSaved && text === savedText(fact)) {
      put(fact, null, null);
      tell(fact.at, null);
      return true;
    }
    under_way.current.set(fact.at, text);
    let edit: Edit;
    try {
      edit = await read(latest.current.job.id, fact, text);
    } catch (thrown) {
      const trouble = troubleOf(thrown);
      // Out of reach nobody can read it: it is kept as typed, and read when it arrives.
      if (trouble.status !== 0) {
        tell(fact.at, trouble);
        under_way.current.delete(fact.at);
        return false;
      }
      edit = { at: fact.at, set: text === '' ? null : plainValue(fact, text) };
    }
    put(fact, text, null);
    const change = { edits: [edit], summary: `${fact.label}: ${text || 'blank'}` };
    let isLate = false;
    const saving = send((job) => job.attempt(change)).then((outcome: Outcome): boolean => {
      under_way.current.delete(fact.at);
      // What was typed meanwhile stays a draft, and nothing is said of what it replaced.
      const isStill = (latest.current.typed.get(fact.at)?.text ?? text).trim() === text;
      if (outcome.is === 'refused') {
        if (!isStill) return true;
        tell(fact.at, outcome.trouble);
        if (isLate) late?.();
        return false;
      }
      if (isStill) tell(fact.at, null);
      if (outcome.is === 'kept' || outcome.saved === null) return true;
      const { revision } = outcome.saved;
      setTyped((old) => {
        if (old.get(fact.at)?.text !== text) return old;
        return new Map(old).set(fact.at, { fact, text, saved: revision });
      });
      tryAgain(fact.at);
      return true;
    });
    const soon = new Promise<true>((resolve) => setTimeout(() => resolve(true), SOON_MS));
    return Promise.race([saving, soon]).finally(() => {
      isLate = true;
    });
  };

  // Made out of reach, before this page was loaded: what waits stands in its field.
  const waiting = new Map(
    useWaiting(job.id).flatMap((entry) =>
      entry.kind === 'change'
        ? (entry.edits ?? []).flatMap(({ at, set }) => (typeof set === 'string' ? [[at, set] as const] : []))
        : [],
    ),
  );
  // What had waited has arrived: it is no draft any more.
  useEffect(
    () =>
      outbox.onArrival((entry, saved) => {
        if (entry.kind !== 'change' || saved === null) return;
        const arrived = new Set((entry.edits ?? []).map(({ at }) => at));
        setTyped((old) => new Map([...old].filter(([at]) => !arrived.has(at))));
      }),
    [],
  );

  const same = loaded.data?.walk.space === space ? loaded.data : null;
  return {
    shown: tried?.walk.space === space && tried.revision === revision ? tried : same,
    /** What is shown holds texts that are not saved. */
    unsaved: tried !== null && open.length > 0,
    loading: loaded.loading,
    refused: loaded.trouble,
    reload: loaded.reload,
    text: (fact: Field) => typed.get(fact.at)?.text ?? waiting.get(fact.at) ?? fact.text ?? '',
    isTyped: (at: string) => latest.current.typed.get(at)?.saved === null,
    trouble: (at: string) => troubles.get(at) ?? null,
    type: (fact: Field, text: string) => {
      tell(fact.at, null);
      put(fact, text === savedText(fact) ? null : text, null);
    },
    commit,
    save: async (summary: string, edits: Edit[]) => {
      const outcome = await send((job) => job.change({ edits, summary }));
      return outcome.is !== 'refused';
    },
  };
}

/** The part of the room that a fact belongs to: `space.den.opening.door`. */
function thingOf(at: string): string {
  return at.split('.').slice(0, 4).join('.');
}

/** The space with what is typed in it; null where nothing of that can be read yet. */
async function tryOut({ typed, job, space, revision }: Asked, _: number, signal: AbortSignal): Promise<Shown | null> {
  const edits: Edit[] = [];
  for (const { fact, text } of typed) {
    try {
      edits.push(await read(job, fact, text.trim(), signal));
    } catch (thrown) {
      if (isAborted(thrown) || !(thrown instanceof Refused)) throw thrown;
    }
  }
  if (edits.length === 0) return null;
  const body = { base: revision, edits };
  const [walk, scene] = await Promise.all([
    spaces.changedWalk(job, space, body, signal),
    spaces.changedScene(job, space, body, signal),
  ]);
  return { revision, walk, scene };
}

/** The change that writes a text, as the server reads it. What can't be left out stands as `?`. */
async function read(job: string, fact: Field, text: string, signal?: AbortSignal): Promise<Edit> {
  try {
    return (await spaces.field(job, fact.at, text, signal)).edit;
  } catch (thrown) {
    const words: readonly Field['kind'][] = ['text', 'choice', 'flag'];
    const measured = !words.includes(fact.kind);
    if (text !== '' || !measured || !(thrown instanceof Refused) || thrown.trouble.status === 0) throw thrown;
    return (await spaces.field(job, fact.at, '?', signal)).edit;
  }
}

/** The document keeps counts and flags bare; all else is text that the server reads. */
function plainValue(fact: Field, text: string): string | number | boolean {
  if (fact.kind === 'flag') return text === 'yes' || text === 'true';
  if (fact.kind === 'number' && Number.isFinite(Number(text))) return Number(text);
  return text;
}
