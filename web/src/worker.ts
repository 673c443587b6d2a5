// The service worker: opens the page out of the server's reach, with the last answers that it gave.
//
// Built files never change under one name, so they come from the cache first; answers come from the network first. It
// changes nothing: what is saved out of reach waits in the page's outbox.

/** What this file uses of a service worker; the page's own types know no such scope. */
interface Event {
  waitUntil: (work: Promise<unknown>) => void;
}
interface Fetch extends Event {
  readonly request: Request;
  respondWith: (answer: Promise<Response>) => void;
}
interface Scope {
  addEventListener: ((type: 'install' | 'activate', act: (event: Event) => void) => void) &
    ((type: 'fetch', act: (event: Fetch) => void) => void);
  skipWaiting: () => Promise<void>;
  clients: { claim: () => Promise<void> };
}
// The worker's global object is what a browser says it is.
const worker = self as unknown as Scope;

const FILES = 'files';
const ANSWERS = 'answers';
const KEPT = 'x-dryfit-kept';
/** A slow network is no reason to wait when there is an old answer. */
const PATIENCE_MS = 8000;

worker.addEventListener('install', (event) => {
  event.waitUntil(fetchFiles().then(() => worker.skipWaiting()));
});
worker.addEventListener('activate', (event) => {
  event.waitUntil(worker.clients.claim());
});
worker.addEventListener('fetch', (event) => {
  const { request } = event;
  const { origin, pathname, searchParams } = new URL(request.url);
  if (request.method !== 'GET' || origin !== location.origin) return;
  if (pathname.startsWith('/assets/')) event.respondWith(file(request));
  else if (request.mode === 'navigate' && !pathname.startsWith('/api/')) event.respondWith(page(request));
  // What others have saved since is no answer to keep.
  else if (searchParams.has('since')) return;
  else if (pathname.startsWith('/api/') && !/\/(events|file|bundle|export|ca\.crt)$/.test(pathname))
    event.respondWith(answer(request));
});

/** Every file of the page as it is built now; those of older builds go. */
async function fetchFiles(): Promise<void> {
  const listed: unknown = await (await fetch('/files.json', { cache: 'no-cache' })).json();
  const names = new Set(['/']);
  for (const chunk of Object.values(Object(listed))) {
    const { file, css } = Object(chunk);
    // The 3-D view is large, and a phone on a ladder has no use for it.
    for (const name of [file, ...(Array.isArray(css) ? css : [])]) {
      if (typeof name === 'string' && name.startsWith('assets/') && !/three|Space3d/.test(name)) names.add(`/${name}`);
    }
  }
  const cache = await caches.open(FILES);
  for (const old of await cache.keys()) if (!names.has(new URL(old.url).pathname)) await cache.delete(old);
  const known = new Set((await cache.keys()).map(({ url }) => new URL(url).pathname));
  await cache.addAll([...names].filter((name) => name === '/' || !known.has(name)));
}

async function file(request: Request): Promise<Response> {
  const cache = await caches.open(FILES);
  const known = await cache.match(request);
  if (known) return known;
  const got = await fetch(request);
  if (got.ok) await cache.put(request, got.clone());
  return got;
}

async function page(request: Request): Promise<Response> {
  const cache = await caches.open(FILES);
  try {
    const got = await fetch(request, { signal: AbortSignal.timeout(PATIENCE_MS) });
    if (got.ok) await cache.put('/', got.clone());
    return got;
  } catch (thrown) {
    const known = await cache.match('/');
    if (known) return known;
    throw thrown;
  }
}

async function answer(request: Request): Promise<Response> {
  const cache = await caches.open(ANSWERS);
  try {
    const got = await fetch(request);
    // Who is signed out has no business with what others were told.
    if (got.status === 401) await caches.delete(ANSWERS);
    else if (got.ok) await cache.put(request, marked(got.clone()));
    return got;
  } catch (thrown) {
    const known = await cache.match(request);
    if (known) return known;
    throw thrown;
  }
}

/** With the time at which it came, so that the page can say how old it is. */
function marked(response: Response): Response {
  const headers = new Headers(response.headers);
  headers.set(KEPT, new Date().toISOString());
  return new Response(response.body, { status: response.status, statusText: response.statusText, headers });
}
