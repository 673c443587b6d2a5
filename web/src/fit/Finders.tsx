// The inverse questions about a room: where the projector can hang, how large the picture can be, how high a display should hang.

import { find } from '../api/client';
import type { DisplayPlace, Edit, FoundStop, LargestPicture, ProjectorPlace } from '../api/schema';
import { useJob } from '../job';
import { LOOKS_ONLY, useMay } from '../may';
import { Button } from '../parts/Button';
import { Strip } from '../parts/Strip';
import { Verdict } from '../parts/Verdict';
import { Waiting } from '../parts/Waiting';
import type { Resource } from '../useResource';
import { useResource } from '../useResource';

/** Which question is open. */
export type Finder = 'projector-place' | 'largest-picture' | 'display-place';

export const FINDERS: readonly { id: Finder; name: string }[] = [
  { id: 'projector-place', name: 'Where the projector can hang' },
  { id: 'largest-picture', name: 'How large the picture can be' },
  { id: 'display-place', name: 'How high the display hangs' },
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

type Props = {
  room: string;
  finder: Finder;
  regions: Resource<ProjectorPlace[]>;
  onFinder: (finder: Finder | null) => void;
};

export function Finders({ room, finder, regions, onFinder }: Props) {
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
      {finder === 'projector-place' ? <Projectors regions={regions} /> : null}
      {finder === 'largest-picture' ? <Pictures room={room} /> : null}
      {finder === 'display-place' ? <Displays room={room} /> : null}
    </section>
  );
}

function Projectors({ regions }: { regions: Resource<ProjectorPlace[]> }) {
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
        </div>
      ))}
    </>
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
