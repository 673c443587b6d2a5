// Shapes of routes that the server's description does not hold yet.

import type { Json } from './schema';

export type Tick = { tick: string; done: boolean; who: string; when: string };

export type Photograph = {
  hash: string;
  pinned: string;
  caption: string;
  who: string;
  when: string;
  width: number;
  height: number;
};

export type CatalogueEntry = { id: string; name: string; facts: { [key: string]: Json }; from: string };
export type CatalogueKind = { kind: string; entries: CatalogueEntry[] };
export type CatalogueColumn = {
  index: number;
  head: string;
  fact: string | null;
  unit: string | null;
  guessed: boolean;
  sample: string[];
};
export type CatalogueRead = { key: string; sheets: string[]; columns: CatalogueColumn[]; rows: number };
export type CatalogueReport = {
  accepted: number;
  replaced: number;
  rejected: { row: number; column: string; text: string; reason: string; accepted: string | null }[];
};

export type Device = { id: string; name: string; role: 'crew' | 'view'; since: string; last: string | null };
export type Sharing = {
  on: boolean;
  addresses: string[];
  code: string | null;
  code_until: string | null;
  devices: Device[];
  secure: boolean;
};
