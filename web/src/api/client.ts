// The one way to the server: a typed fetch, and one shape for whatever goes wrong.

import type * as api from './schema';
import type * as more from './types';

/** What a reader is told when something does not work. */
export type Trouble = {
  message: string;
  hint: string | null;
  /** The document path of the field that it is about. */
  at: string | null;
  /** What of the reader's work is kept, and where. */
  kept: string | null;
  /** 0 when the server was not reached. */
  status: number;
  problems: api.Problem[];
  column: number | null;
  accepted: string | null;
};

/** Thrown by every function below; carries what the reader is told. */
export class Refused extends Error {
  readonly trouble: Trouble;

  constructor(trouble: Trouble) {
    super(trouble.message);
    this.trouble = trouble;
  }
}

/** Whatever was thrown, as something to show. */
export function troubleOf(thrown: unknown): Trouble {
  if (thrown instanceof Refused) return thrown.trouble;
  const message = thrown instanceof Error ? thrown.message : String(thrown);
  return blankTrouble(`the page met an error of its own: ${message}`, 'Load the page again. Nothing saved is lost.');
}

/** The request was given up on purpose, so nobody needs to hear of it. */
export function isAborted(thrown: unknown): boolean {
  return thrown instanceof DOMException && thrown.name === 'AbortError';
}

/** Names an operation, so that the server does it once however often it arrives. */
export function newOp(): string {
  // `crypto.randomUUID` is missing on plain http in the house's own network.
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  const hex = Array.from(bytes, (byte, index) => {
    const marked = index === 6 ? (byte & 0x0f) | 0x40 : index === 8 ? (byte & 0x3f) | 0x80 : byte;
    return marked.toString(16).padStart(2, '0');
  }).join('');
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join('-');
}

export const jobs = {
  list: (signal?: AbortSignal) => get<api.JobCard[]>('/api/jobs', signal),
  create: (job: api.NewJob) => post<{ id: string }>('/api/jobs', job),
  import: (bytes: Blob) => send<{ id: string }>('POST', '/api/import', bytes),
  one: (id: string, signal?: AbortSignal) => get<api.JobView>(job(id), signal),
  remove: (id: string) => send<null>('DELETE', job(id)),
  restore: (id: string) => post<null>(`${job(id)}/restore`, {}),
  edit: (id: string, change: { base: number } & Changes & { summary?: string }) =>
    post<api.Saved>(`${job(id)}/edits`, { op: newOp(), ...change }),
  undo: (id: string, base: number) => post<api.Saved>(`${job(id)}/undo`, { op: newOp(), base }),
  redo: (id: string, base: number) => post<api.Saved>(`${job(id)}/redo`, { op: newOp(), base }),
  keep: (id: string, contested: string, keep: 'earlier' | 'later', base: number) =>
    post<api.Saved>(`${job(id)}/contested/${path(contested)}`, { op: newOp(), keep, base }),
  history: (id: string, signal?: AbortSignal) => get<api.Revision[]>(`${job(id)}/history`, signal),
  nameRevision: (id: string, n: number, name: string) =>
    post<null>(`${job(id)}/revisions/${n}/name`, { name }),
  compare: (id: string, from: number, to: number, signal?: AbortSignal) =>
    get<api.Comparison>(`${job(id)}/compare?from=${from}&to=${to}`, signal),
  fileUrl: (id: string) => `${job(id)}/file`,
  bundleUrl: (id: string) => `${job(id)}/bundle`,
};

/** What a change consists of: facts set, bodies moved, or both. */
export type Changes = { edits?: api.Edit[]; moves?: api.Move[] };

export const findings = {
  all: (id: string, signal?: AbortSignal) => get<api.Findings>(`${job(id)}/findings`, signal),
  one: (id: string, key: string, signal?: AbortSignal) =>
    get<api.Finding>(`${job(id)}/findings/${path(key)}`, signal),
  /** Nothing is saved; throws with status 409 when a newer request of this client overtook it. */
  prove: (id: string, change: { base: number; client: string; seq: number } & Changes, signal?: AbortSignal) =>
    post<api.Proved>(`${job(id)}/prove`, change, signal),
  checks: (signal?: AbortSignal) => get<api.CheckLine[]>('/api/checks', signal),
  manual: (check: string, signal?: AbortSignal) => get<api.Manual>(`/api/checks/${path(check)}`, signal),
};

export const spaces = {
  scene: (id: string, space: string, signal?: AbortSignal) =>
    get<api.Scene>(`${job(id)}/spaces/${path(space)}/scene`, signal),
  /** The scene of a changed copy; nothing is saved. */
  changedScene: (id: string, space: string, change: { base: number } & Changes, signal?: AbortSignal) =>
    post<api.Scene>(`${job(id)}/spaces/${path(space)}/scene`, change, signal),
  walk: (id: string, space: string, signal?: AbortSignal) =>
    get<api.Walk>(`${job(id)}/spaces/${path(space)}/walk`, signal),
  changedWalk: (id: string, space: string, change: { base: number; edits: api.Edit[] }, signal?: AbortSignal) =>
    post<api.Walk>(`${job(id)}/spaces/${path(space)}/walk`, change, signal),
  /** Reads what was typed into a field as the server would, without saving it. */
  field: (id: string, at: string, text: string, signal?: AbortSignal) =>
    post<{ ok: boolean; text: string }>(`${job(id)}/field`, { at, text }, signal),
};

export const sheets = {
  list: (id: string, signal?: AbortSignal) => get<api.SheetLine[]>(`${job(id)}/sheets`, signal),
  one: (id: string, sheet: string, signal?: AbortSignal) =>
    get<api.Sheet>(`${job(id)}/sheets/${path(sheet)}`, signal),
  svgUrl: (id: string, sheet: string) => `${job(id)}/sheets/${path(sheet)}/svg`,
  print: (id: string, paper: 'letter' | 'a4', date: string) =>
    post<{ key: string }>(`${job(id)}/print`, { paper, date }),
  eventsUrl: (key: string) => `/api/solves/${path(key)}/events`,
  cancel: (key: string) => send<null>('DELETE', `/api/solves/${path(key)}`),
};

export const ticks = {
  list: (id: string, signal?: AbortSignal) => get<more.Tick[]>(`${job(id)}/ticks`, signal),
  set: (id: string, tick: { op: string; tick: string; done: boolean; at: string }) =>
    post<unknown>(`${job(id)}/ticks`, tick),
};

export const photographs = {
  list: (id: string, signal?: AbortSignal) => get<more.Photograph[]>(`${job(id)}/photographs`, signal),
  add: (
    id: string,
    photograph: { op: string; pinned: string; caption: string; keep_location: boolean },
    image: Blob,
  ) =>
    send<more.Photograph>(
      'POST',
      `${job(id)}/photographs?${query({ ...photograph, keep_location: String(photograph.keep_location) })}`,
      image,
    ),
  url: (hash: string) => `/api/photographs/${path(hash)}`,
  remove: (id: string, hash: string) => send<null>('DELETE', `${job(id)}/photographs/${path(hash)}`),
};

export const catalogue = {
  all: (signal?: AbortSignal) => get<more.CatalogueKind[]>('/api/catalogue', signal),
  put: (kind: string, id: string, facts: { [key: string]: api.Json }) =>
    send<unknown>('PUT', `/api/catalogue/${path(kind)}/${path(id)}`, { facts }),
  remove: (kind: string, id: string) => send<null>('DELETE', `/api/catalogue/${path(kind)}/${path(id)}`),
  read: (kind: string, file: File) =>
    send<more.CatalogueRead>('POST', `/api/catalogue/read?${query({ kind, name: file.name })}`, file),
  import: (key: string, kind: string, columns: { index: number; fact: string | null; unit: string | null }[]) =>
    post<more.CatalogueReport>('/api/catalogue/import', { key, kind, columns }),
  exportUrl: (kind: string, as: 'csv' | 'xlsx') => `/api/catalogue/export?${query({ kind, as })}`,
  schema: (signal?: AbortSignal) => get<api.Json>('/api/schema/job', signal),
};

export const sharing = {
  me: (signal?: AbortSignal) => get<api.Me>('/api/me', signal),
  state: (signal?: AbortSignal) => get<more.Sharing>('/api/sharing', signal),
  code: (role: 'crew' | 'view') => post<unknown>('/api/sharing/code', { role }),
  forget: (device: string) => send<null>('DELETE', `/api/sharing/devices/${path(device)}`),
  pair: (code: string, device: string) => post<unknown>('/api/pair', { code, device }),
  signOut: () => post<unknown>('/api/sign-out', {}),
  signOutEverywhere: () => post<unknown>('/api/sign-out-everywhere', {}),
};

function job(id: string): string {
  return `/api/jobs/${path(id)}`;
}

function path(segment: string): string {
  return encodeURIComponent(segment);
}

function query(values: Record<string, string>): string {
  return new URLSearchParams(values).toString();
}

function get<T>(url: string, signal?: AbortSignal): Promise<T> {
  return send<T>('GET', url, undefined, signal);
}

function post<T>(url: string, body: unknown, signal?: AbortSignal): Promise<T> {
  return send<T>('POST', url, body, signal);
}

async function send<T>(method: string, url: string, body?: unknown, signal?: AbortSignal): Promise<T> {
  const request: RequestInit = { method, headers: { accept: 'application/json' }, credentials: 'same-origin' };
  if (signal) request.signal = signal;
  if (body instanceof Blob) {
    request.body = body;
    request.headers = { accept: 'application/json', 'content-type': 'application/octet-stream' };
  } else if (body !== undefined) {
    request.body = JSON.stringify(body);
    request.headers = { accept: 'application/json', 'content-type': 'application/json' };
  }
  let response: Response;
  try {
    response = await fetch(url, request);
  } catch (thrown) {
    if (isAborted(thrown)) throw thrown;
    throw new Refused({
      ...blankTrouble('dryfit does not answer', 'Is it still running, and is this device in its network? Then try again.'),
      kept: method === 'GET' ? null : 'What you typed is still on this page; it is not saved yet.',
    });
  }
  if (!response.ok) throw new Refused(await refusal(response));
  if (response.status === 204) return noBody<T>();
  const text = await response.text();
  if (text === '') return noBody<T>();
  // The server's types are the contract: a body that came with a 2xx has the shape of its route.
  return JSON.parse(text) as T;
}

/** For routes whose answer has no body, which their type says by `null` or `unknown`. */
function noBody<T>(): T {
  return null as T; // Every caller of such a route names `null` or `unknown` as T.
}

/** The server's own words where it sent any; a plain sentence where something else answered. */
async function refusal(response: Response): Promise<Trouble> {
  const plain = {
    ...blankTrouble(`dryfit could not do that (answer ${response.status})`, 'Load the page again, then try once more.'),
    status: response.status,
  };
  try {
    const body: unknown = await response.json();
    if (typeof body !== 'object' || body === null || !('message' in body)) return plain;
    return {
      message: textIn(body, 'message') ?? plain.message,
      hint: textIn(body, 'hint'),
      at: textIn(body, 'at'),
      kept: textIn(body, 'kept'),
      status: response.status,
      problems: 'problems' in body && Array.isArray(body.problems) ? body.problems : [],
      column: 'column' in body && typeof body.column === 'number' ? body.column : null,
      accepted: textIn(body, 'accepted'),
    };
  } catch {
    return plain;
  }
}

function textIn(body: object, key: string): string | null {
  const found = Object.entries(body).find(([name]) => name === key)?.[1];
  return typeof found === 'string' && found !== '' ? found : null;
}

function blankTrouble(message: string, hint: string | null): Trouble {
  return { message, hint, at: null, kept: null, status: 0, problems: [], column: null, accepted: null };
}
