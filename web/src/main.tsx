// Starts the page: finds the route, loads its code, and puts the frame of every page around it.

import { render, type ComponentType } from 'preact';
import { useEffect, useState } from 'preact/hooks';

import { sharing, troubleOf, type Trouble } from './api/client';
import { isSingleKey, useKey } from './keys';
import { followLinks, go, useUrl } from './location';
import { LOOKS_ONLY, mayOf, MayContext } from './may';
import { keepFlushing } from './outbox';
import { ReadWaiting } from './outbox/ReadWaiting';
import { Button } from './parts/Button';
import { Find } from './parts/Find';
import { JobFrame } from './parts/JobFrame';
import { KeyList } from './parts/KeyList';
import { Strip } from './parts/Strip';
import { applyTheme, ThemeSwitch } from './parts/ThemeSwitch';
import { Title } from './parts/Title';
import { Waiting } from './parts/Waiting';
import { link, routeAt, type PageProps, type Route, type RouteName } from './routes';
import { useStatus } from './status';
import { useResource } from './useResource';
import './style.css';
import './style/frame.css';
import './style/parts.css';
import './style/pages.css';
import './style/settings.css';

function App() {
  const { pathname } = useUrl();
  const found = routeAt(pathname);
  const [open, setOpen] = useState<'find' | 'keys' | null>(null);
  const me = useResource('me', sharing.me);
  const role = me.data?.role;
  const job = found?.route.ofJob ? (found.params['id'] ?? null) : null;

  // A device that nobody has paired may see nothing else.
  useEffect(() => {
    if (role === null && found?.name !== 'pair') go(link('pair', {}), 'replace');
  }, [role, found?.name]);

  useKey((event) => {
    if (open !== null) return false;
    if (isSingleKey(event, '/')) setOpen('find');
    else if (isSingleKey(event, '?')) setOpen('keys');
    else return false;
    return true;
  });

  return (
    <MayContext.Provider value={mayOf(me.data, me.trouble !== null)}>
      <a class="skip" href="#main">
        Skip to the page
      </a>
      <header class="bar">
        <a class="home" href={link('jobs', {})} aria-current={found?.name === 'jobs' ? 'page' : undefined}>
          dryfit <span>jobs</span>
        </a>
        {role === 'view' ? <span class="soft small">{LOOKS_ONLY}</span> : null}
        <StatusLine />
        <Button kind="quiet" onPress={() => setOpen('find')}>
          Find
        </Button>
      </header>
      <main id="main" tabIndex={-1}>
        {found ? (
          found.route.ofJob && job !== null ? (
            <JobFrame key={job} id={job} current={found.name}>
              <PageAt {...found} />
            </JobFrame>
          ) : (
            <>
              <PageAt {...found} />
              {found.name === 'jobs' && role !== 'view' ? <ReadWaiting /> : null}
            </>
          )
        ) : (
          <NoPage path={pathname} />
        )}
      </main>
      <footer class="foot">
        <a href={link('catalogue', {})}>Catalogue</a>
        <a href={link('sharing', {})}>Sharing</a>
        <Button kind="quiet" onPress={() => setOpen('keys')}>
          Keys
        </Button>
        <ThemeSwitch />
      </footer>
      {open === 'find' ? <Find job={job} onClose={() => setOpen(null)} /> : null}
      {open === 'keys' ? <KeyList onClose={() => setOpen(null)} /> : null}
    </MayContext.Provider>
  );
}

/** The page's own code, fetched when it is first asked for. */
function PageAt({ name, route, params }: { name: RouteName; route: Route; params: Record<string, string> }) {
  const [page, setPage] = useState<{ name: RouteName; Page: ComponentType<PageProps> } | null>(null);
  const [trouble, setTrouble] = useState<Trouble | null>(null);
  const [round, setRound] = useState(0);
  useEffect(() => {
    let wanted = true;
    setTrouble(null);
    route
      .load()
      .then(({ Page }) => {
        if (wanted) setPage({ name, Page });
      })
      .catch((thrown: unknown) => {
        if (wanted) setTrouble(troubleOf(thrown));
      });
    return () => {
      wanted = false;
    };
  }, [name, round]);
  if (trouble) {
    return (
      <div class="page">
        <Strip trouble={trouble} onAgain={() => setRound((n) => n + 1)} />
      </div>
    );
  }
  return page?.name === name ? <page.Page params={params} /> : <Waiting for={route.title} />;
}

function StatusLine() {
  const words = useStatus();
  return (
    <p class="status" role="status">
      {words}
    </p>
  );
}

function NoPage({ path }: { path: string }) {
  return (
    <div class="page">
      <Title page="No such page" />
      <p>
        There is no page at {path}. <a href={link('jobs', {})}>To all jobs</a>
      </p>
    </div>
  );
}

applyTheme();
keepFlushing();
// Only a secure context has workers; a page that is being written must not come from a cache.
if ('serviceWorker' in navigator && import.meta.env.MODE !== 'development')
  void navigator.serviceWorker.register('/worker.js').catch(() => {});
followLinks((path) => routeAt(path) !== null);
const root = document.getElementById('page');
if (root) render(<App />, root);
