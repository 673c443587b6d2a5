// Learns what other devices have saved of a job while its page lies open.

import { useEffect, useRef } from 'preact/hooks';

import { jobs } from './api/client';
import type { Revision } from './api/schema';
import { withinReach } from './reach';

const EVERY_MS = 15_000;
/** After a finger is lifted, so that what it did is saved first. */
const SETTLED_MS = 1_000;

/**
 * Asks for later revisions when the page comes into view, and every while as long as it is. Nothing is asked while a
 * finger or the mouse holds something; whoever is out of reach is not told again.
 */
export function useFollow(job: string, revision: number | null, onLater: (later: Revision[]) => void): void {
  const latest = useRef({ revision, onLater });
  latest.current = { revision, onLater };
  useEffect(() => {
    const abort = new AbortController();
    let held = 0;
    let asking = false;
    let soon: ReturnType<typeof setTimeout> | undefined;
    const ask = async () => {
      const { revision } = latest.current;
      if (revision === null || asking || held > 0 || document.visibilityState !== 'visible') return;
      asking = true;
      try {
        const later = await jobs.since(job, revision, abort.signal);
        // Something may have been taken up or saved while the answer was on its way.
        const isNews = later.length > 0 && latest.current.revision === revision;
        if (isNews && held === 0 && !abort.signal.aborted) latest.current.onLater(later);
      } catch {
        // The next round asks again.
      } finally {
        asking = false;
      }
    };
    const come = () => {
      if (withinReach()) void ask();
    };
    const take = () => {
      held += 1;
    };
    const leave = () => {
      held = Math.max(0, held - 1);
      clearTimeout(soon);
      soon = setTimeout(come, SETTLED_MS);
    };
    const timer = setInterval(() => void ask(), EVERY_MS);
    document.addEventListener('visibilitychange', come);
    window.addEventListener('focus', come);
    window.addEventListener('pointerdown', take, true);
    window.addEventListener('pointerup', leave, true);
    window.addEventListener('pointercancel', leave, true);
    return () => {
      abort.abort();
      clearInterval(timer);
      clearTimeout(soon);
      document.removeEventListener('visibilitychange', come);
      window.removeEventListener('focus', come);
      window.removeEventListener('pointerdown', take, true);
      window.removeEventListener('pointerup', leave, true);
      window.removeEventListener('pointercancel', leave, true);
    };
  }, [job]);
}

/** What came, and from whom, in a line. */
export function toldOf(later: readonly Revision[]): string {
  const [last, ...others] = later;
  if (!last) return '';
  const more = others.length > 0 ? `, and ${others.length} more` : '';
  return `Changed on ${last.who}: ${last.summary}${more}`;
}
