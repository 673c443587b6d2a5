// The findings that change while a body is in the hand.

import { useEffect, useLayoutEffect, useMemo, useRef } from 'preact/hooks';

import type { Finding } from '../api/schema';
import { Verdict } from '../parts/Verdict';
import { say } from '../status';
import { useDraft } from './draft';
import { changes, summary } from './findings';

/** More would push the list away that the reader is about to look at. */
const SHOWN = 6;
/** Screen readers hear of a move once it rests this long, ms. */
const RESTS_MS = 400;

/** From the pointer's event to the painted list: what bench/drag.ts reads. */
const MEASURE = 'findings shown';

export function MoveChanges({ before }: { before: ReadonlyMap<string, Finding> }) {
  const draft = useDraft();
  const changed = useMemo(
    () => (draft && 'delta' in draft ? changes(before, draft.delta) : []),
    [draft, before],
  );
  const refused = draft && 'refused' in draft ? draft.refused : null;
  const measured = useRef<number | null>(null);

  useLayoutEffect(() => {
    if (!draft) return performance.clearMeasures(MEASURE);
    if (measured.current === draft.since) return;
    measured.current = draft.since;
    // A task that a frame's callback sets off runs once that frame is painted.
    requestAnimationFrame(() =>
      setTimeout(() => performance.measure(MEASURE, { start: draft.since, end: performance.now() })),
    );
  }, [draft]);
  useEffect(() => {
    if (!draft) return;
    const timer = setTimeout(() => say(refused ?? summary(changed)), RESTS_MS);
    return () => clearTimeout(timer);
  }, [draft, changed, refused]);

  if (!draft) return null;
  const more = changed.length - SHOWN;
  return (
    <section class="move-changes" aria-label="What the move changes">
      <h2>If it is put down here</h2>
      {refused === null ? null : <p>It can’t go there: {refused}.</p>}
      {refused === null && changed.length === 0 ? <p class="soft">No finding changes.</p> : null}
      <ul>
        {changed.slice(0, SHOWN).map(({ key, title, subject, to, words }) => (
          <li key={key}>
            {to === null ? <span class="soft">gone</span> : <Verdict verdict={to} />}
            <span>
              {subject} <span class="soft">{title}</span>
            </span>
            <span class="words">{words}</span>
          </li>
        ))}
      </ul>
      {more > 0 ? <p class="soft">and {more} more</p> : null}
    </section>
  );
}
