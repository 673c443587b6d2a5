// What waits to be sent: a change of the job, a tick, a photograph.

import type { Trouble } from '../api/client';
import type { Edit, Move } from '../api/schema';

type Waits = {
  /** Names the operation, so that the server does it once however often it arrives. */
  op: string;
  job: string;
  /** When it was made, RFC 3339. */
  made: string;
  /** It could not be sent when it was made. */
  waited: boolean;
  /** Why the server did not take it, once it said so. */
  refused: Trouble | null;
};

export type Change = Waits & {
  kind: 'change';
  /** The revision that it was made on. */
  base: number;
  edits?: Edit[];
  moves?: Move[];
  summary?: string;
};
export type TickEntry = Waits & { kind: 'tick'; tick: string; done: boolean };
export type PhotographEntry = Waits & {
  kind: 'photograph';
  pinned: string;
  caption: string;
  keep_location: boolean;
  bytes: Blob;
};

export type Entry = Change | TickEntry | PhotographEntry;

/** One of them, in words. */
export function wordsOf(entry: Entry): string {
  switch (entry.kind) {
    case 'change':
      return entry.summary ?? entry.edits?.map(({ at }) => at).join(', ') ?? 'a change';
    case 'tick':
      return `${entry.done ? 'tick' : 'untick'} ${entry.tick}`;
    case 'photograph':
      return entry.caption ? `photograph: ${entry.caption}` : 'a photograph';
  }
}
