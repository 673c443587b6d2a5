// The job that a page is about: what is known of it, and the one way to change it.

import { createContext } from 'preact';
import { useContext } from 'preact/hooks';

import type { Changes } from './api/client';
import type { Counts, JobView, Saved } from './api/schema';
import type { Outcome } from './outbox';

export type JobState = {
  id: string;
  view: JobView;
  /** The revision that edits build on. */
  revision: number;
  /** The last change through `save`, undo, redo or a choice between contested facts: pages merge
   * its delta. Null until something changes. */
  saved: Saved | null;
  /** Sends a change. Null when it was refused, or is kept until dryfit is in reach: the job's frame then says so. */
  save: (change: Changes & { summary?: string }) => Promise<Saved | null>;
  /** As `save`, told what came of it: what is kept for later is as good as saved to whoever adds something. */
  change: (change: Changes & { summary?: string }) => Promise<Outcome>;
  /** As `change`, but a refusal is the caller's to show, beside what it is about. */
  attempt: (change: Changes & { summary?: string }) => Promise<Outcome>;
  undo: () => Promise<void>;
  redo: () => Promise<void>;
  keep: (contested: string, which: 'earlier' | 'later') => Promise<void>;
  reload: () => void;
  /** A page that lists findings tells their counts: the header then counts the same ones. Null when it goes. */
  countAs: (counts: Counts | null) => void;
};

export const JobContext = createContext<JobState | null>(null);

/** The job around this part. Only pages inside the job's frame may ask. */
export function useJob(): JobState {
  const job = useContext(JobContext);
  if (!job) throw new Error('useJob was called outside a job page');
  return job;
}
