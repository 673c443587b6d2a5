// Where the reader is: the URL is the page's only state that a link should carry.

import { useEffect, useState } from 'preact/hooks';

const MOVED = 'dryfit:moved';

/** Changes a query without a new page; null takes a value away. */
export type QueryPatch = Record<string, string | null>;

/** Goes to a URL of the page. `replace` leaves no step for Back. */
export function go(url: string, how: 'push' | 'replace' = 'push'): void {
  if (how === 'push') history.pushState(null, '', url);
  else history.replaceState(null, '', url);
  dispatchEvent(new Event(MOVED));
}

/** The URL, kept current. */
export function useUrl(): URL {
  const [href, setHref] = useState(location.href);
  useEffect(() => {
    const update = () => setHref(location.href);
    addEventListener(MOVED, update);
    addEventListener('popstate', update);
    update();
    return () => {
      removeEventListener(MOVED, update);
      removeEventListener('popstate', update);
    };
  }, []);
  return new URL(href);
}

/** The query of the URL and a way to change it: a step that Back undoes, unless told to replace. */
export function useQuery(): [URLSearchParams, (patch: QueryPatch, how?: 'push' | 'replace') => void] {
  const url = useUrl();
  return [url.searchParams, setQuery];
}

function setQuery(patch: QueryPatch, how: 'push' | 'replace' = 'push'): void {
  const url = new URL(location.href);
  for (const [key, value] of Object.entries(patch)) {
    if (value === null) url.searchParams.delete(key);
    else url.searchParams.set(key, value);
  }
  if (url.href !== location.href) go(url.pathname + url.search + url.hash, how);
}

/** Lets plain links move within the page: no link component, and a middle click still opens a tab. */
export function followLinks(isOurs: (path: string) => boolean): void {
  addEventListener('click', (event) => {
    if (event.defaultPrevented || event.button !== 0) return;
    if (event.metaKey || event.ctrlKey || event.shiftKey || event.altKey) return;
    // Links in a drawing have no parts of a URL of their own.
    const link = event.target instanceof Element ? event.target.closest('a[href]') : null;
    if (!link || link.hasAttribute('target') || link.hasAttribute('download')) return;
    const to = new URL(link.getAttribute('href') ?? '', location.href);
    if (to.origin !== location.origin) return;
    if (to.hash !== '' && to.pathname === location.pathname && to.search === location.search) return;
    if (!isOurs(to.pathname)) return;
    event.preventDefault();
    go(to.pathname + to.search + to.hash);
  });
}
