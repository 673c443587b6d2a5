// What fits: the drawing of a room beside the findings; what does not fit is mended here.

import { useEffect, useMemo, useRef, useState } from 'preact/hooks';

import { findings as findingsApi, spaces } from '../api/client';
import type { Finding } from '../api/schema';
import { AddItem } from '../fit/AddItem';
import { Bass } from '../fit/Bass';
import { BodyPanel } from '../fit/BodyPanel';
import { Divider, useSplit } from '../fit/Divider';
import { Drafts, DraftsContext } from '../fit/draft';
import { Drawing, figureOf, fixed } from '../fit/Drawing';
import { bodiesOf, LAYERS, type Layer } from '../fit/figure';
import '../fit/fit.css';
import { Finders, finderOf, usePatches, useRegions } from '../fit/Finders';
import { FindingList } from '../fit/FindingList';
import { merged, worstAbout, type Filter } from '../fit/findings';
import { withRegions } from '../fit/found';
import { FullDrawing } from '../fit/FullDrawing';
import { LightYear } from '../fit/LightYear';
import { withPatch } from '../fit/loudspeakers';
import { MoveChanges } from '../fit/MoveChanges';
import { drawable } from '../fit/scene';
import { SoundAbove } from '../fit/SoundAbove';
import { useNarrow } from '../fit/useNarrow';
import { cablesOf, useWay, Ways } from '../fit/Ways';
import { withWays } from '../fit/waysDrawn';
import { viewFor, viewOf, viewText } from '../fit/view';
import { useJob } from '../job';
import { useQuery, type QueryPatch } from '../location';
import { useMay } from '../may';
import { Button } from '../parts/Button';
import { Strip } from '../parts/Strip';
import { Title } from '../parts/Title';
import { VERDICTS } from '../parts/Verdict';
import { Waiting } from '../parts/Waiting';
import { useResource } from '../useResource';

const SHOWN_AT_FIRST: readonly Layer[] = ['beam', 'framing', 'dimensions'];

export function Page() {
  const job = useJob();
  const may = useMay();
  const [query, setQuery] = useQuery();
  const narrow = useNarrow();
  const [share, setShare] = useSplit();
  const drafts = useMemo(() => new Drafts(), []);

  const room = job.view.spaces.find(({ id }) => id === query.get('room'))?.id ?? job.view.spaces[0]?.id ?? '';
  const { list, trouble, reload } = useFindings();
  const loaded = useResource(`${job.id} ${room} ${job.revision}`, (signal) =>
    spaces.scene(job.id, room, signal),
  );
  const scene = useMemo(
    () => (loaded.data !== null && loaded.data.space === room ? drawable(loaded.data) : null),
    [loaded.data, room],
  );
  const before = useMemo(() => new Map((list ?? []).map((finding) => [finding.key, finding])), [list]);
  const finding = before.get(query.get('finding') ?? '') ?? null;
  const verdicts = useMemo(() => worstAbout(list ?? [], room), [list, room]);
  const deciding = useMemo(() => decidingWalls(list ?? [], room), [list, room]);
  const layers = useMemo(() => layersOf(query.get('show')), [query.get('show')]);
  const view = useMemo(() => {
    if (!scene) return null;
    const named = query.get('view');
    if (named !== null) return viewOf(named, scene);
    return viewFor(finding?.space === room ? bodiesOf(scene, finding.about) : [], null, scene);
  }, [scene, query.get('view'), finding, room]);

  const selected = query.get('at');
  const body = scene?.bodies.find(({ id }) => id === selected);
  const filter = filterOf(query, room);
  // What was added is typed into place next; its panel comes with the scene.
  const [added, setAdded] = useState<string | null>(null);
  useEffect(() => {
    if (added === null || body?.id !== added) return;
    setAdded(null);
    const panel = document.querySelector('.body-panel');
    const first = panel?.querySelector<HTMLElement>('input, select') ?? panel?.querySelector<HTMLElement>('button');
    first?.focus();
  }, [added, body?.id]);

  const select = (id: string | null) => {
    if (id === selected) return;
    const keeps = id !== null && finding !== null && finding.about.includes(id);
    setQuery({ at: id, finding: keeps ? finding.key : null });
  };
  const openFinding = (opened: Finding | null) => {
    if (opened === null) return setQuery({ finding: null });
    const patch: QueryPatch = { finding: opened.key, at: opened.about[0] ?? null };
    if (opened.space !== null && opened.space !== room)
      Object.assign(patch, { room: opened.space, view: null });
    // Which drawing shows it is not known before the scene is there: then it is chosen on arrival.
    else patch['view'] = scene && view ? viewText(viewFor(bodiesOf(scene, opened.about), view, scene)) : null;
    setQuery(patch);
  };
  const finder = finderOf(query.get('find'));
  const regions = useRegions(room, finder);
  const patches = usePatches(room, finder);
  const places = patches.data ?? [];
  const patched = places.find(({ item }) => item === query.get('for')) ?? places[0] ?? null;
  const cable = query.get('cable');
  const way = useWay(cable);
  const firstCable = scene ? cablesOf(job.view.document, scene)[0] : undefined;
  const figure = useMemo(() => {
    const plain = scene && view ? figureOf(scene, view) : null;
    const found = plain && view && withPatch(withRegions(plain, regions.data ?? []), view, patched);
    const drawn = found && scene && view && withWays(found, scene, view, way.data);
    return drawn === null || may === 'change' ? drawn : fixed(drawn);
  }, [scene, view?.kind, view?.kind === 'wall' ? view.wall : '', may, regions.data, patched, way.data]);
  const drawing =
    scene && view ? (
      <Drawing
        scene={scene}
        view={view}
        figure={figure}
        layers={layers}
        selected={selected}
        finding={finding}
        verdicts={verdicts}
        deciding={deciding}
        drafts={drafts}
        onSpace={(space) => setQuery({ room: space, view: null, at: null, finding: null })}
        onView={(next) => setQuery({ view: viewText(next) })}
        onLayers={(next) => setQuery({ show: layersText(next) }, 'replace')}
        onSelect={select}
      />
    ) : loaded.trouble ? (
      <Strip trouble={loaded.trouble} onAgain={loaded.reload} />
    ) : (
      <Waiting for="the drawing" />
    );
  const panel = body ? (
    <BodyPanel
      body={body}
      drawn={figure?.elements.find((drawn) => drawn.body.id === body.id)}
      space={room}
      verdict={verdicts.get(body.id)}
      findings={(list ?? []).filter((one) => one.about.includes(body.id) && one.space === room).length}
      folded={finding !== null}
      onFindings={() => setQuery({ q: body.label, area: null, verdict: null }, 'replace')}
      onClose={() => setQuery({ at: null })}
    />
  ) : null;
  const changes = <MoveChanges before={before} />;

  return (
    <DraftsContext.Provider value={drafts}>
      <div class="fit" style={{ '--share': `${share}%` }}>
        {narrow ? null : (
          <>
            <section class="fit-drawing" aria-label="Drawing">
              {drawing}
            </section>
            <Divider share={share} onShare={setShare} />
          </>
        )}
        <section class="fit-findings" aria-label="Findings">
          <div class="fit-head">
            <Title page="Fit" of={job.view.name}>
              What fits
            </Title>
            <div class="actions">
              {scene && may === 'change' ? (
                <Button onPress={() => setQuery({ add: 'open' })}>Add to the room</Button>
              ) : null}
              {scene && finder === null ? (
                <Button onPress={() => setQuery({ find: 'projector-place' })}>Find a place</Button>
              ) : null}
              {scene && query.get('light') === null ? (
                <Button onPress={() => setQuery({ light: 'open' })}>Light through the year</Button>
              ) : null}
              {scene && cable === null && firstCable !== undefined ? (
                <Button onPress={() => setQuery({ cable: firstCable.value })}>Ways of cables</Button>
              ) : null}
              {scene && scene.kind === 'room' && query.get('sound') === null ? (
                <Button onPress={() => setQuery({ sound: 'open' })}>Sound</Button>
              ) : null}
              {scene && scene.kind === 'room' && query.get('bass') === null ? (
                <Button onPress={() => setQuery({ bass: 'open' })}>Bass</Button>
              ) : null}
              {narrow ? (
                <Button kind="main" onPress={() => setQuery({ drawing: 'open' })}>
                  Open the drawing
                </Button>
              ) : null}
            </div>
          </div>
          {narrow && query.get('drawing') === 'open' ? null : changes}
          {finder === null ? null : (
            <Finders
              room={room}
              finder={finder}
              view={query.get('view')}
              regions={regions}
              patches={patches}
              shown={patched}
              onFinder={(next) => setQuery({ find: next })}
              onShow={(item, surface) => setQuery({ for: item, view: surface === 'floor' ? 'plan' : surface })}
            />
          )}
          {scene && cable !== null ? (
            <Ways
              scene={scene}
              cable={cable}
              way={way}
              view={view}
              onCable={(next) => setQuery({ cable: next })}
              onView={(next) => setQuery({ view: viewText(next) })}
              onSpace={(space) => setQuery({ room: space, view: null, at: null, finding: null })}
              onClose={() => setQuery({ cable: null })}
            />
          ) : null}
          {query.get('light') === 'open' ? (
            <LightYear space={room} onClose={() => setQuery({ light: null })} />
          ) : null}
          {scene && query.get('sound') === 'open' ? (
            <SoundAbove key={room} scene={scene} onClose={() => setQuery({ sound: null })} />
          ) : null}
          {scene && query.get('bass') === 'open' ? (
            <Bass key={room} scene={scene} onClose={() => setQuery({ bass: null })} />
          ) : null}
          {panel}
          {trouble ? <Strip trouble={trouble} onAgain={reload} /> : null}
          {list ? (
            <FindingList
              findings={list}
              spaces={job.view.spaces}
              filter={filter}
              onFilter={(next) => setQuery(filterPatch(next, room), 'replace')}
              open={finding?.key ?? null}
              onOpen={openFinding}
            />
          ) : trouble ? null : (
            <Waiting for="the findings" />
          )}
        </section>
        {scene && may === 'change' && query.get('add') === 'open' ? (
          <AddItem
            scene={scene}
            wall={view?.kind === 'wall' ? view.wall : null}
            onClose={() => setQuery({ add: null })}
            onAdded={(id) => {
              setAdded(id);
              setQuery({ add: null, at: id, finding: null });
            }}
          />
        ) : null}
        {narrow && query.get('drawing') === 'open' ? (
          <FullDrawing
            drawing={drawing}
            changes={changes}
            drawn={figure?.elements.find((drawn) => drawn.body.id === selected)}
            verdict={selected === null ? undefined : verdicts.get(selected)}
            space={room}
            onClose={() => setQuery({ drawing: null })}
          />
        ) : null}
      </div>
    </DraftsContext.Provider>
  );
}

/** All findings of the job, kept current by what each change answers. */
function useFindings() {
  const job = useJob();
  const all = useResource(job.id, (signal) => findingsApi.all(job.id, signal));
  const seen = useRef(job.revision);
  const { saved, revision } = job;
  useEffect(() => {
    if (seen.current === revision) return;
    seen.current = revision;
    if (all.data && !all.loading && saved?.revision === revision) {
      all.set({ ...all.data, findings: merged(all.data.findings, saved.delta), counts: saved.delta.counts });
    } else all.reload();
  }, [revision, saved]);
  const counts = all.data?.counts ?? null;
  const { countAs } = job;
  useEffect(() => countAs(counts), [counts]);
  useEffect(() => () => countAs(null), []);
  return { list: all.data?.findings ?? null, trouble: all.trouble, reload: all.reload };
}

/** Ids of walls whose length decides a tight finding of the space. */
function decidingWalls(findings: readonly Finding[], space: string): Set<string> {
  const path = `space.${space}.walls.`;
  const paths = findings.flatMap(({ verdict, deciders }) =>
    verdict === 'tight' ? deciders.map(({ at }) => at) : [],
  );
  return new Set(
    paths.filter((at) => at.startsWith(path)).map((at) => at.slice(path.length).split('.')[0] ?? ''),
  );
}

function layersOf(text: string | null): Set<Layer> {
  if (text === null) return new Set(SHOWN_AT_FIRST);
  const named = text.split(' ');
  return new Set(LAYERS.map(({ id }) => id).filter((id) => named.includes(id)));
}

function layersText(layers: ReadonlySet<Layer>): string | null {
  const same = layers.size === SHOWN_AT_FIRST.length && SHOWN_AT_FIRST.every((layer) => layers.has(layer));
  return same ? null : [...layers].join(' ') || 'none';
}

/** The open room's findings, unless the reader asks for others. */
function filterOf(query: URLSearchParams, room: string): Filter {
  const where = query.get('where');
  const verdict = query.get('verdict');
  return {
    space: where === null ? room : where === 'all' ? null : where,
    area: query.get('area'),
    verdict: VERDICTS.find((one) => one === verdict) ?? null,
    text: query.get('q') ?? '',
  };
}

function filterPatch({ space, area, verdict, text }: Filter, room: string): QueryPatch {
  return { where: space === null ? 'all' : space === room ? null : space, area, verdict, q: text || null };
}
