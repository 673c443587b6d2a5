// Every page and its URL, in one list; links are built from it.

import type { ComponentType } from 'preact';

import type { Moment } from './api/schema';

/** What a page is given: the named parts of its path. */
export type PageProps = { params: Record<string, string> };
type Loaded = { Page: ComponentType<PageProps> };

export type Route = {
  path: string;
  /** In the document's title and in the find box. */
  title: string;
  /** Shown inside the job's frame: its name, moments, status and contested facts. */
  ofJob: boolean;
  load: () => Promise<Loaded>;
};

/** The moments of a job, in the order in which they happen. */
export const MOMENTS: readonly { moment: Moment; title: string; does: string }[] = [
  { moment: 'walk', title: 'Walk', does: 'measure the rooms' },
  { moment: 'fit', title: 'Fit', does: 'see what fits and mend what does not' },
  { moment: 'quote', title: 'Quote', does: 'parts, work and what is left to price' },
  { moment: 'load', title: 'Load', does: 'tick what goes into the van' },
  { moment: 'day', title: 'Day', does: 'cables and holes, one by one' },
  { moment: 'tune', title: 'Tune', does: 'levels and distances as predicted' },
  { moment: 'handover', title: 'Hand over', does: 'print what stays in the house' },
  { moment: 'return', title: 'Return', does: 'then and now, side by side' },
];

const ROUTES = {
  jobs: { path: '/', title: 'Jobs', ofJob: false, load: () => import('./pages/jobs') },
  walk: { path: '/job/:id/walk', title: 'Walk', ofJob: true, load: () => import('./pages/walk') },
  fit: { path: '/job/:id/fit', title: 'Fit', ofJob: true, load: () => import('./pages/fit') },
  quote: { path: '/job/:id/quote', title: 'Quote', ofJob: true, load: () => import('./pages/quote') },
  load: { path: '/job/:id/load', title: 'Load', ofJob: true, load: () => import('./pages/load') },
  day: { path: '/job/:id/day', title: 'Day', ofJob: true, load: () => import('./pages/day') },
  tune: { path: '/job/:id/tune', title: 'Tune', ofJob: true, load: () => import('./pages/tune') },
  handover: {
    path: '/job/:id/handover',
    title: 'Hand over',
    ofJob: true,
    load: () => import('./pages/handover'),
  },
  return: { path: '/job/:id/return', title: 'Return', ofJob: true, load: () => import('./pages/return') },
  why: { path: '/job/:id/why/:key', title: 'Why', ofJob: true, load: () => import('./pages/why') },
  sheets: { path: '/job/:id/sheets', title: 'Sheets', ofJob: true, load: () => import('./pages/sheets') },
  house: { path: '/job/:id/house', title: 'House', ofJob: true, load: () => import('./pages/house') },
  history: { path: '/job/:id/history', title: 'History', ofJob: true, load: () => import('./pages/history') },
  catalogue: {
    path: '/catalogue',
    title: 'Catalogue',
    ofJob: false,
    load: () => import('./pages/catalogue'),
  },
  sharing: { path: '/sharing', title: 'Sharing', ofJob: false, load: () => import('./pages/sharing') },
  pair: { path: '/pair', title: 'Pair this device', ofJob: false, load: () => import('./pages/pair') },
} as const satisfies Record<string, Route>;

export type RouteName = keyof typeof ROUTES;
type ParamsOf<P extends string> = P extends `${string}:${infer Name}/${infer Rest}`
  ? { [K in Name]: string } & ParamsOf<Rest>
  : P extends `${string}:${infer Name}`
    ? { [K in Name]: string }
    : object;

/** The URL of a page: `link('fit', { id }, { room: 'den' })`. */
export function link<N extends RouteName>(
  name: N,
  params: ParamsOf<(typeof ROUTES)[N]['path']>,
  query: Record<string, string | null | undefined> = {},
): string {
  const given = new Map(Object.entries(params));
  const path = ROUTES[name].path.replace(/:(\w+)/g, (_, key: string) =>
    encodeURIComponent(String(given.get(key))),
  );
  const set = Object.entries(query).flatMap(([key, value]) => (value ? [[key, value]] : []));
  return set.length === 0 ? path : `${path}?${new URLSearchParams(set).toString()}`;
}

/** The page at a path, with the named parts of the path. */
export function routeAt(
  path: string,
): { name: RouteName; route: Route; params: Record<string, string> } | null {
  const given = trimmed(path).split('/');
  for (const [name, route] of entries()) {
    const wanted = trimmed(route.path).split('/');
    if (wanted.length !== given.length) continue;
    const params: Record<string, string> = {};
    const matches = wanted.every((part, index) => {
      const text = decoded(given[index] ?? '');
      if (text === null) return false;
      if (!part.startsWith(':')) return part === text;
      params[part.slice(1)] = text;
      return text !== '';
    });
    if (matches) return { name, route, params };
  }
  return null;
}

function entries(): [RouteName, Route][] {
  // Object.entries widens its keys to string; ROUTES has no others than these.
  return Object.entries(ROUTES) as [RouteName, Route][];
}

function trimmed(path: string): string {
  return path.replace(/\/+$/, '');
}

function decoded(part: string): string | null {
  try {
    return decodeURIComponent(part);
  } catch {
    return null;
  }
}
