// What is typed into the walk-through's fields: tried on an unsaved copy while it is typed, saved when it is done.

import { useEffect, useMemo, useRef, useState } from 'preact/hooks';

import { isAborted, Refused, spaces, troubleOf, type Trouble } from '../api/client';
import type { Edit, Field, Saved, Scene as ApiScene, Walk } from '../api/schema';
import { Live } from '../fit/live';
import type { JobState } from '../job';
import { outbox, useWaiting } from '../outbox';
import { useResource } from '../useResource';
import { shownAt } from './document';

/** A space as it was answered, and the revision that it builds on. */
export type Shown = { revision: number; walk: Walk; scene: ApiScene };

type Typed = { fact: Field; text: string; /** The revision that holds it, once it is saved. */ saved: number | null };
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
  const open = [...typed.values()].filter(({ saved }) => saved === null);
  useEffect(() => {
    if (open.length === 0) {
      live.stop();
      setTried(null);
    } else live.offer({ typed: open, job: job.id, space, revision });
  }, [typed, revision]);

  const savedText = (fact: Field) => shownAt(latest.current.job.view.document, fact.at);
  const latest = useRef({ job, typed });
  latest.current = { job, typed };
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
  const send = (edits: Edit[], summary: string): Promise<Saved | null> => {
    const saving = saves.current.then(async () => {
      const saved = await latest.current.job.save({ edits, summary });
      // The page takes the new revision before the next one goes out.
      await new Promise((resolve) => setTimeout(resolve));
      return saved;
    });
    saves.current = saving.then(() => {});
    return saving;
  };

  const commit = async (fact: Field, given: string): Promise<boolean> => {
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
    tell(fact.at, null);
    put(fact, text, null);
    void send([edit], `${fact.label}: ${text || 'blank'}`).then((saved) => {
      under_way.current.delete(fact.at);
      if (saved === null) return;
      // What was typed meanwhile stays a draft.
      setTyped((old) => {
        if (old.get(fact.at)?.text !== text) return old;
        return new Map(old).set(fact.at, { fact, text, saved: saved.revision });
      });
    });
    return true;
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
    isTyped: (at: string) => typed.get(at)?.saved === null,
    trouble: (at: string) => troubles.get(at) ?? null,
    type: (fact: Field, text: string) => {
      tell(fact.at, null);
      put(fact, text === savedText(fact) ? null : text, null);
    },
    commit,
    save: async (summary: string, edits: Edit[]) => (await send(edits, summary)) !== null,
  };
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
