// Where entries lie until they are sent: in the browser's own database, in the order in which they were made.

import { openDB, type DBSchema, type IDBPDatabase } from 'idb';

import type { Entry } from './entry';

interface Shelves extends DBSchema {
  waiting: { key: number; value: Entry };
}

export interface Shelf {
  all: () => Promise<Entry[]>;
  put: (entry: Entry) => Promise<void>;
  replace: (entry: Entry) => Promise<void>;
  take: (op: string) => Promise<void>;
}

/** In the database; in memory where the browser has none or forbids it. */
export async function openShelf(): Promise<Shelf> {
  try {
    const database = await openDB<Shelves>('dryfit', 1, {
      upgrade: (fresh) => {
        fresh.createObjectStore('waiting', { autoIncrement: true });
      },
    });
    return stored(database);
  } catch {
    return inMemory();
  }
}

function stored(database: IDBPDatabase<Shelves>): Shelf {
  const keyOf = async (op: string): Promise<number | null> => {
    const [keys, entries] = await Promise.all([database.getAllKeys('waiting'), database.getAll('waiting')]);
    return keys[entries.findIndex((entry) => entry.op === op)] ?? null;
  };
  return {
    all: () => database.getAll('waiting'),
    put: async (entry) => {
      await database.add('waiting', entry);
    },
    replace: async (entry) => {
      const key = await keyOf(entry.op);
      if (key !== null) await database.put('waiting', entry, key);
    },
    take: async (op) => {
      const key = await keyOf(op);
      if (key !== null) await database.delete('waiting', key);
    },
  };
}

export function inMemory(): Shelf {
  let entries: Entry[] = [];
  return {
    all: async () => [...entries],
    put: async (entry) => {
      entries.push(entry);
    },
    replace: async (entry) => {
      entries = entries.map((old) => (old.op === entry.op ? entry : old));
    },
    take: async (op) => {
      entries = entries.filter((old) => old.op !== op);
    },
  };
}
