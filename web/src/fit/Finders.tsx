// The inverse questions about a room: where the projector can hang, how large the picture can be, how high a display should hang.

import { find, sheets } from '../api/client';
import type {
  DisplayPlace,
  Edit,
  FoundPlan,
  FoundStop,
  LargestPicture,
  LoudspeakerPlace,
  ProjectorPlace,
} from '../api/schema';
import { useJob } from '../job';
import { LOOKS_ONLY, useMay } from '../may';
import { Button } from '../parts/Button';
import { Cautions, Drawing } from '../parts/SheetView';
import { Strip } from '../parts/Strip';
import { Verdict } from '../parts/Verdict';
import { Waiting } from '../parts/Waiting';
import type { Resource } from '../useResource';
import { useResource } from '../useResource';
import { reasonsAt } from './loudspeakers';
import { PlaceChart } from './PlaceChart';

/** Which question is open. */
export type Finder =
  'projector-place' | 'largest-picture' | 'display-place' | 'loudspeaker-place' | 'layout-places';

export const FINDERS: readonly { id: Finder; name: string }[] = [
  { id: 'projector-place', name: 'Where the projector can hang' },
  { id: 'largest-picture', name: 'How large the picture can be' },
  { id: 'display-place', name: 'How high the display hangs' },
  { id: 'loudspeaker-place', name: 'Where each loudspeaker can go' },
  { id: 'layout-places', name: 'Where all loudspeakers go together' },
];

export function finderOf(text: string | null): Finder | null {
  return FINDERS.find(({ id }) => id === text)?.id ?? null;
}

/** The regions that a drawing shows; none while another question is open. */
export function useRegions(room: string, finder: Finder | null): Resource<ProjectorPlace[]> {
  const job = useJob();
  const asked = finder === 'projector-place';
  return useResource(`${job.id} ${room} ${job.revision} ${asked}`, async (signal) =>
    asked && room !== '' ? (await find.projectorPlace(job.id, room, signal)).projectors : [],
  );
}

/** Where each loudspeaker can go; none while another question is open. */
export function usePatches(room: string, finder: Finder | null): Resource<LoudspeakerPlace[]> {
  const job = useJob();
  const asked = finder === 'loudspeaker-place';
  return useResource(`${job.id} ${room} ${job.revision} ${asked} loudspeakers`, async (signal) =>
    asked && room !== '' ? (await find.loudspeakerPlace(job.id, room, signal)).loudspeakers : [],
  );
}

type Props = {
  room: string;
  finder: Finder;
  regions: Resource<ProjectorPlace[]>;
  patches: Resource<LoudspeakerPlace[]>;
  /** The drawing that is open, as the URL names it. */
  view: string | null;
  /** The loudspeaker whose patch is drawn. */
  shown: LoudspeakerPlace | null;
  onFinder: (finder: Finder | null) => void;
  /** Shows a loudspeaker's patch on a wall or the ceiling. */
  onShow: (item: string, surface: string) => void;
};

export function Finders({ room, finder, view, regions, patches, shown, onFinder, onShow }: Props) {
  return (
    <section class="body-panel finders" aria-label="Find">
      <div class="actions" role="group" aria-label="What to find">
        {FINDERS.map(({ id, name }) => (
          <Button key={id} pressed={id === finder} onPress={() => onFinder(id)}>
            {name}
          </Button>
        ))}
        <Button kind="quiet" onPress={() => onFinder(null)}>
          Close
        </Button>
      </div>
      {finder === 'projector-place' ? <Projectors room={room} regions={regions} /> : null}
      {finder === 'largest-picture' ? <Pictures room={room} /> : null}
      {finder === 'display-place' ? <Displays room={room} /> : null}
      {finder === 'loudspeaker-place' ? (
        <Loudspeakers room={room} view={view} patches={patches} shown={shown} onShow={onShow} />
      ) : null}
      {finder === 'layout-places' ? <Layouts room={room} /> : null}
    </section>
  );
}

function Projectors({ room, regions }: { room: string; regions: Resource<ProjectorPlace[]> }) {
  const job = useJob();
  if (regions.trouble) return <Strip trouble={regions.trouble} onAgain={regions.reload} />;
  if (regions.data === null || regions.loading) return <Waiting for="the places" />;
  if (regions.data.length === 0) return <p class="soft">There is no projector in this room.</p>;
  return (
    <>
      {regions.data.map((one) => (
        <div key={one.item}>
          <p>{one.says}</p>
          {one.drops_text === '' ? null : (
            <p class="soft">It has a place at drops of {one.drops_text}.</p>
          )}
          {one.place === null ? null : (
            <>
              <p>
                {one.place.says} There it <Verdict verdict={one.place.verdict} />.
              </p>
              <p class="because">{one.place.because}</p>
              <Use edits={one.place.edits} summary={`Move ${one.label} to the place with most room`}>
                Use this place
              </Use>
            </>
          )}
          <Stops title="What stops it at the edges" stops={one.stops} />
          <Needs needs={one.needs} />
          <Section job={job.id} revision={job.revision} sheet={`${room}-hanging-${one.item}`} label={one.label} />
          <Cautions cautions={one.cautions} />
        </div>
      ))}
    </>
  );
}

/** Beam, heads and sight lines from the side, as the sheet draws them; fetched once it is opened. */
function Section({ job, revision, sheet, label }: { job: string; revision: number; sheet: string; label: string }) {
  return (
    <details>
      <summary>As the sheet draws it: plan, and section with beam and sight lines</summary>
      {/* Ink on paper in either theme. */}
      <div class="paper">
        <Drawing url={`${sheets.svgUrl(job, sheet)}?revision=${revision}`} title={`where ${label} can hang`} />
      </div>
    </details>
  );
}

function Pictures({ room }: { room: string }) {
  const job = useJob();
  const found = useResource(`${job.id} ${room} ${job.revision}`, (signal) =>
    find.largestPicture(job.id, room, signal),
  );
  if (found.trouble) return <Strip trouble={found.trouble} onAgain={found.reload} />;
  if (found.data === null || found.loading) return <Waiting for="the sizes" />;
  if (found.data.pictures.length === 0) return <p class="soft">There is no picture in this room.</p>;
  return (
    <>
      {found.data.pictures.map((one) => (
        <Picture key={one.item} found={one} />
      ))}
    </>
  );
}

function Picture({ found }: { found: LargestPicture }) {
  return (
    <div>
      <p>{found.says}</p>
      <ol>
        {found.stops.map((stop) => (
          <li key={`${stop.check} ${stop.label}`}>
            {stop.size_text}: {stop.label} <span class="soft">{stop.because}</span>
          </li>
        ))}
      </ol>
      {found.order === null ? null : (
        <>
          <p>{found.order.says}</p>
          <Use edits={found.order.edits} summary={`Order the largest picture of ${found.label}`}>
            Use this size
          </Use>
        </>
      )}
      <Stops title="Too small there" stops={found.too_small} />
      <Stops title="Fails at every size" stops={found.always} />
      <Needs needs={found.needs} />
      <Cautions cautions={found.cautions} />
    </div>
  );
}

function Displays({ room }: { room: string }) {
  const job = useJob();
  const found = useResource(`${job.id} ${room} ${job.revision}`, (signal) =>
    find.displayPlace(job.id, room, signal),
  );
  if (found.trouble) return <Strip trouble={found.trouble} onAgain={found.reload} />;
  if (found.data === null || found.loading) return <Waiting for="the heights" />;
  if (found.data.displays.length === 0) return <p class="soft">There is no display in this room.</p>;
  return (
    <>
      {found.data.displays.map((one) => (
        <Display key={one.item} found={one} />
      ))}
    </>
  );
}

function Display({ found }: { found: DisplayPlace }) {
  const end = (stop: FoundStop | null): string => stop?.label ?? 'nothing that was tried';
  return (
    <div>
      <p>{found.says}</p>
      <ul>
        {found.stretches.map((stretch) => (
          <li key={stretch.text}>
            {stretch.text}{' '}
            <span class="soft">
              below stops {end(stretch.below)}, above stops {end(stretch.above)}
            </span>
          </li>
        ))}
      </ul>
      {found.best === null ? null : (
        <>
          <p>{found.best.says}</p>
          <Use edits={found.best.edits} summary={`Hang ${found.label} at its best height`}>
            Use this height
          </Use>
        </>
      )}
      <Stops title="Fails at every height" stops={found.always} />
      <Needs needs={found.needs} />
      <Cautions cautions={found.cautions} />
    </div>
  );
}

function Loudspeakers({
  room,
  view,
  patches,
  shown,
  onShow,
}: Pick<Props, 'room' | 'view' | 'patches' | 'shown' | 'onShow'>) {
  if (patches.trouble) return <Strip trouble={patches.trouble} onAgain={patches.reload} />;
  if (patches.data === null || patches.loading) return <Waiting for="the places" />;
  if (patches.data.length === 0)
    return <p class="soft">No loudspeaker of this room plays a channel of a layout.</p>;
  return (
    <>
      <div class="actions" role="group" aria-label="Which loudspeaker">
        {patches.data.map((one) => (
          <Button
            key={one.item}
            pressed={one.item === shown?.item}
            onPress={() => onShow(one.item, surfaceOf(one))}
          >
            {one.label}
          </Button>
        ))}
      </div>
      {shown === null ? null : <Loudspeaker room={room} view={view} found={shown} onShow={onShow} />}
    </>
  );
}

/** The surface to look at first: that of the place to use, else where it is, else the first that has a place. */
function surfaceOf(found: LoudspeakerPlace): string {
  const open = found.patches.find(({ parts }) => parts.length > 0);
  return found.spot?.surface ?? found.present_surface ?? open?.surface ?? 'plan';
}

function Loudspeaker({
  room,
  view,
  found,
  onShow,
}: Pick<Props, 'room' | 'view' | 'onShow'> & { found: LoudspeakerPlace }) {
  const { spot } = found;
  const open = found.patches.filter(({ parts }) => parts.length > 0);
  const surface = view === 'plan' ? 'floor' : view;
  const pointed =
    found.patches.find((patch) => patch.surface === surface) ??
    found.patches.find((patch) => patch.surface === surfaceOf(found)) ??
    found.patches[0];
  const reasons = spot === null ? [] : reasonsAt(found, spot.surface, [spot.at[0], spot.at[1]]);
  return (
    <div>
      <p>{found.says}</p>
      {open.length < 2 ? null : (
        <div class="actions" role="group" aria-label="On which surface">
          {open.map(({ surface }) => (
            <Button key={surface} kind="quiet" pressed={surface === pointed?.surface} onPress={() => onShow(found.item, surface)}>
              {surface}
            </Button>
          ))}
        </div>
      )}
      {spot === null ? null : (
        <>
          <p>
            {spot.says} There it <Verdict verdict={spot.verdict} />.
          </p>
          <p class="because">{spot.because}</p>
          <Use edits={spot.edits} summary={`Put ${found.label} at the place found`}>
            Put it there
          </Use>
          <details>
            <summary>What each seat loses there</summary>
            <ul>
              {spot.seats.map(({ seat, text }) => (
                <li key={seat}>{text}</li>
              ))}
            </ul>
          </details>
          {reasons.length === 0 ? null : (
            <p class="soft">Nearest stops: {reasons.slice(0, 3).join('; ')}.</p>
          )}
        </>
      )}
      {pointed === undefined ? null : <PlaceChart room={room} found={found} patch={pointed} />}
      <Stops title="What stops it at the edges" stops={found.stops} />
      <Stops title="It could if one of these were not" stops={found.stopped_by} />
      <Needs needs={found.needs} />
      <Cautions cautions={found.cautions} />
    </div>
  );
}

function Layouts({ room }: { room: string }) {
  const job = useJob();
  const found = useResource(`${job.id} ${room} ${job.revision} layout`, (signal) =>
    find.layoutPlaces(job.id, room, signal),
  );
  if (found.trouble) return <Strip trouble={found.trouble} onAgain={found.reload} />;
  if (found.data === null || found.loading) return <Waiting for="the places" />;
  if (found.data.zones.length === 0) return <p class="soft">No zone of this room has a layout.</p>;
  return (
    <>
      {found.data.zones.map((zone) => (
        <div key={zone.zone}>
          {zone.present === null ? null : <p class="soft">{zone.present.says}</p>}
          {zone.plans.map((plan) => (
            <Plan key={plan.title} plan={plan} />
          ))}
          <Needs needs={zone.needs} />
          <Cautions cautions={zone.cautions} />
        </div>
      ))}
    </>
  );
}

function Plan({ plan }: { plan: FoundPlan }) {
  return (
    <div>
      <p>{plan.says}</p>
      {plan.edits.length === 0 ? null : (
        <Use edits={plan.edits} summary={`Place all loudspeakers: ${plan.title}`}>
          Put them there
        </Use>
      )}
      <details>
        <summary>Places, and what each seat loses</summary>
        <ul>
          {plan.places.map(({ item, says }) => (
            <li key={item}>{says}</li>
          ))}
        </ul>
        <ul>
          {plan.seats.map((seat) => (
            <li key={seat}>{seat}</li>
          ))}
        </ul>
      </details>
    </div>
  );
}

function Use({ edits, summary, children }: { edits: Edit[]; summary: string; children: string }) {
  const job = useJob();
  const may = useMay();
  return (
    <Button
      kind="main"
      because={may === 'change' ? null : LOOKS_ONLY}
      onPress={() => void job.save({ edits, summary })}
    >
      {children}
    </Button>
  );
}

function Stops({ title, stops }: { title: string; stops: readonly FoundStop[] }) {
  if (stops.length === 0) return null;
  return (
    <details>
      <summary>{title}</summary>
      <ul>
        {stops.map(({ check, label }) => (
          <li key={`${check} ${label}`}>{label}</li>
        ))}
      </ul>
    </details>
  );
}

function Needs({ needs }: { needs: readonly string[] }) {
  if (needs.length === 0) return null;
  return <p class="soft">Not looked at, for want of {needs.join('; ')}.</p>;
}
