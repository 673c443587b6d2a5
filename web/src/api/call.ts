// The one way to the server: a fetch typed by the server's own description, and one shape for
// whatever goes wrong.

import { KEPT_HEADER, notReached, reached } from '../reach';
import type { paths, Problem } from './schema';

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
  problems: Problem[];
  column: number | null;
  accepted: string | null;
};

/** Thrown by every call; carries what the reader is told. */
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
  return blankTrouble(
    `the page met an error of its own: ${message}`,
    'Load the page again. Nothing saved is lost.',
  );
}

/** A refusal in one line, for beside its field. */
export function reasonOf({ message, hint, accepted }: Trouble): string {
  const more = accepted === null ? hint : `accepted: ${accepted}`;
  return [message, more].filter(Boolean).join('; ').replace(/`([^`]*)`/g, '“$1”');
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

type Method = 'get' | 'post' | 'put' | 'delete';
type PathOf<M extends Method> = { [P in keyof paths]: paths[P][M] extends object ? P : never }[keyof paths];
type Asked<M extends Method, P extends PathOf<M>> = NonNullable<paths[P][M]>;

type PartsOf<O> = O extends { parameters: { path: infer Parts extends object } } ? { path: Parts } : object;
type QueryOf<O> = O extends { parameters: { query: infer Query extends object } }
  ? { query: Query }
  : O extends { parameters: { query?: infer Query extends object } }
    ? { query?: Query }
    : object;
type BodyOf<O> = O extends { requestBody: { content: infer Content } }
  ? Content extends { 'application/json': infer Json }
    ? { body: Json }
    : { bytes: Blob }
  : object;
type Options<O> = PartsOf<O> & QueryOf<O> & BodyOf<O> & { signal?: AbortSignal | undefined };

type JsonIn<Response> = Response extends { content: { 'application/json': infer Json } } ? Json : null;
/** What a route answers; null where its answer has no body. */
export type Answer<M extends Method, P extends PathOf<M>> =
  Asked<M, P> extends { responses: infer Responses }
    ? Responses extends { 200: infer Response }
      ? JsonIn<Response>
      : Responses extends { 201: infer Response }
        ? JsonIn<Response>
        : null
    : null;

/** Asks the server; throws [`Refused`] when it can't or won't answer, an AbortError when given up. */
export async function call<M extends Method, P extends PathOf<M>>(
  method: M,
  path: P,
  options: Options<Asked<M, P>>,
): Promise<Answer<M, P>> {
  // The options of any route are some of these; which ones, the signature has settled.
  const given: Given = options;
  const request: RequestInit = { method: method.toUpperCase(), credentials: 'same-origin' };
  if (given.signal) request.signal = given.signal;
  if (given.bytes) request.body = given.bytes;
  else if (given.body !== undefined) request.body = JSON.stringify(given.body);
  const content = given.bytes ? 'application/octet-stream' : 'application/json';
  request.headers = request.body
    ? { accept: 'application/json', 'content-type': content }
    : { accept: 'application/json' };
  let response: Response;
  try {
    response = await fetch(address(path, given), request);
  } catch (thrown) {
    if (isAborted(thrown)) throw thrown;
    notReached();
    throw new Refused({
      ...blankTrouble(
        'dryfit does not answer',
        'Is it still running, and is this device in its network? Then try again.',
      ),
      kept: method === 'get' ? null : 'What you typed is still on this page; it is not saved yet.',
    });
  }
  reached(response.headers.get(KEPT_HEADER));
  if (!response.ok) throw new Refused(await refusal(response));
  const text = await response.text();
  const answer: unknown = text === '' ? null : JSON.parse(text);
  return answer as Answer<M, P>; // The description that the types are made from is the server's own.
}

/** The address of something that the browser itself fetches: a file, a picture, a stream. */
export function urlOf<P extends PathOf<'get'>>(
  path: P,
  options: PartsOf<Asked<'get', P>> & QueryOf<Asked<'get', P>>,
): string {
  return address(path, options);
}

type Given = {
  path?: object;
  query?: object;
  body?: unknown;
  bytes?: Blob;
  signal?: AbortSignal | undefined;
};

function address(path: string, { path: parts = {}, query = {} }: Given): string {
  const known = new Map(Object.entries(parts));
  const filled = path.replace(/\{(\w+)\}/g, (_, name: string) => encodeURIComponent(String(known.get(name))));
  const set = Object.entries(query).flatMap(([name, value]) =>
    value === undefined || value === null ? [] : [[name, String(value)]],
  );
  return set.length === 0 ? filled : `${filled}?${new URLSearchParams(set).toString()}`;
}

/** The server's own words where it sent any; a plain sentence where something else answered. */
async function refusal(response: Response): Promise<Trouble> {
  const plain = {
    ...blankTrouble(
      `dryfit could not do that (answer ${response.status})`,
      'Load the page again, then try once more.',
    ),
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
