// Everything that changes a job goes through here: kept first, sent in order, let go once the server has it.
//
// What was made out of reach waits, across reloads, and goes out once: each entry carries its own number, and one lock
// keeps two pages from sending at the same time.

import { newOp, troubleOf, type Trouble } from '../api/client';
import type { Saved } from '../api/schema';
import type { Entry } from './entry';
import type { Shelf } from './shelf';

/** `kept` will be sent later; `refused` was not taken while its maker looked on, and is not kept. */
export type Outcome =
  | { is: 'sent'; saved: Saved | null }
  | { is: 'kept' }
  | { is: 'refused'; trouble: Trouble };

/** An entry before it is numbered. */
export type Fresh = Entry extends infer One
  ? One extends Entry
    ? Omit<One, 'op' | 'made' | 'waited' | 'refused'>
    : never
  : never;

type Send = (entry: Entry) => Promise<Saved | null>;
type Turns = <T>(work: () => Promise<T>) => Promise<T>;

export class Outbox {
  #entries: readonly Entry[] = [];
  readonly #listeners = new Set<() => void>();
  readonly #arrivals = new Set<(entry: Entry, saved: Saved | null) => void>();
  readonly #asked = new Map<string, (outcome: Outcome) => void>();
  /** Those asked about that have been laid on the shelf. */
  readonly #shelved = new Set<string>();

  constructor(
    private readonly shelf: Promise<Shelf>,
    private readonly send: Send,
    private readonly inTurn: Turns = inOwnTurn(),
  ) {}

  /** What waits, in order. */
  get entries(): readonly Entry[] {
    return this.#entries;
  }

  listen(listener: () => void): () => void {
    this.#listeners.add(listener);
    return () => {
      this.#listeners.delete(listener);
    };
  }

  /** Hears of entries that had waited and have arrived. */
  onArrival(listener: (entry: Entry, saved: Saved | null) => void): () => void {
    this.#arrivals.add(listener);
    return () => {
      this.#arrivals.delete(listener);
    };
  }

  async add(fresh: Fresh): Promise<Outcome> {
    const entry: Entry = { ...fresh, op: newOp(), made: new Date().toISOString(), waited: false, refused: null };
    const outcome = this.#outcome(entry.op);
    await (await this.shelf).put(entry);
    this.#shelved.add(entry.op);
    await this.#look();
    void this.flush();
    return outcome;
  }

  /**
   * Entries that waited elsewhere, in order; what becomes of each. One that waits here already, or that this device was refused,
   * is tried once more and not twice.
   */
  async bring(entries: readonly Entry[]): Promise<{ entry: Entry; outcome: Outcome }[]> {
    const outcomes = entries.map(async (entry) => ({ entry, outcome: await this.#outcome(entry.op) }));
    await this.inTurn(async () => {
      const shelf = await this.shelf;
      const here = new Map((await shelf.all()).map((entry) => [entry.op, entry]));
      for (const entry of entries) {
        const mine = here.get(entry.op);
        if (mine === undefined) await shelf.put(entry);
        else if (mine.refused !== null) await shelf.replace({ ...mine, refused: null });
        here.set(entry.op, entry);
        this.#shelved.add(entry.op);
      }
    });
    await this.#look();
    void this.flush();
    return Promise.all(outcomes);
  }

  #outcome(op: string): Promise<Outcome> {
    return new Promise((resolve) => {
      const others = this.#asked.get(op);
      this.#asked.set(op, (outcome) => {
        others?.(outcome);
        resolve(outcome);
      });
    });
  }

  /** Sends what waits; stops at the first that does not get through. */
  flush(): Promise<void> {
    return this.inTurn(async () => {
      const shelf = await this.shelf;
      // Read within the turn: another page may have sent some.
      const all = await shelf.all();
      for (const entry of all) {
        if (entry.refused !== null) continue;
        let saved: Saved | null;
        try {
          saved = await this.send(entry);
        } catch (thrown) {
          const trouble = troubleOf(thrown);
          if (!isRefusal(trouble)) break;
          if (entry.waited) await shelf.replace({ ...entry, refused: trouble });
          else await shelf.take(entry.op);
          await this.#look();
          this.#answer(entry, { is: 'refused', trouble });
          continue;
        }
        await shelf.take(entry.op);
        await this.#look();
        this.#answer(entry, { is: 'sent', saved });
        if (entry.waited) for (const listener of this.#arrivals) listener(entry, saved);
      }
      // What came in meanwhile has a turn of its own.
      const tried = new Set(all.map(({ op }) => op));
      const left = (await shelf.all()).filter(({ op, refused }) => tried.has(op) && refused === null);
      for (const entry of left) {
        if (!entry.waited) await shelf.replace({ ...entry, waited: true });
      }
      await this.#look();
      for (const entry of left) this.#answer(entry, { is: 'kept' });
      // What is neither here nor answered went out from another page of this browser.
      const here = new Set(this.#entries.map(({ op }) => op));
      for (const op of [...this.#shelved]) {
        if (!here.has(op)) this.#answer({ op }, { is: 'sent', saved: null });
      }
    });
  }

  /** Lets a refused entry go. */
  async drop(op: string): Promise<void> {
    await (await this.shelf).take(op);
    await this.#look();
  }

  /** Sends a refused entry again as if it had only waited. */
  async again(op: string): Promise<void> {
    const shelf = await this.shelf;
    const entry = (await shelf.all()).find((one) => one.op === op);
    if (entry) await shelf.replace({ ...entry, refused: null });
    await this.flush();
  }

  #answer({ op }: { op: string }, outcome: Outcome): void {
    this.#asked.get(op)?.(outcome);
    this.#asked.delete(op);
    this.#shelved.delete(op);
  }

  async #look(): Promise<void> {
    this.#entries = await (await this.shelf).all();
    for (const listener of this.#listeners) listener();
  }
}

/** The server read it and said no; anything else may pass: out of reach, signed out, or broken for a while. */
function isRefusal({ status }: Trouble): boolean {
  return status >= 400 && status < 500 && status !== 401 && status !== 408 && status !== 429;
}

/** One flush after the other within this page. */
function inOwnTurn(): Turns {
  let last: Promise<unknown> = Promise.resolve();
  return (work) => {
    const mine = last.then(work, work);
    last = mine.catch(() => {});
    return mine;
  };
}

/** One flush after the other in all pages of this browser; in this page alone where it has no locks. */
export function inTurnOfAllPages(): Turns {
  const own = inOwnTurn();
  // Missing on plain http, whatever the type says.
  const locks: LockManager | null | undefined = navigator.locks;
  return locks ? (work) => own(async () => await locks.request('dryfit:outbox', work)) : own;
}
