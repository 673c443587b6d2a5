// A projected picture through the year: what each hour leaves of contrast, from when on it can be
// watched, what each seat sees, and what blinds would do, tried without saving. While a body is in the
// hand, the year is that of the body where it is.

import { useContext, useEffect, useRef, useState } from 'preact/hooks';

import { spaces } from '../api/client';
import type { Edit, Light } from '../api/schema';
import { useJob } from '../job';
import { Button } from '../parts/Button';
import { Strip } from '../parts/Strip';
import { Table } from '../parts/Table';
import { Waiting } from '../parts/Waiting';
import { useResource } from '../useResource';
import { DraftsContext } from './draft';
import { GainBySeat } from './GainBySeat';
import './light.css';
import { Live } from './live';

type Year = NonNullable<Light['pictures'][number]['year']>;

/** What a blind lets through, as tried; the windows as they are when left alone. */
const BLINDS = [
  { share: null, words: 'as they are' },
  { share: 0.05, words: 'slats closed, 5 %' },
  { share: 0.005, words: 'lined curtains, 0.5 %' },
  { share: 0.0005, words: 'blackout with side channels, 0.05 %' },
] as const;

export function LightYear({ space, onClose }: { space: string; onClose: () => void }) {
  const job = useJob();
  const [tried, setTried] = useState(0);
  const [windows, setWindows] = useState<readonly string[]>([]);
  const share = BLINDS[tried]?.share ?? null;
  const loaded = useResource(`${job.id} ${space} ${job.revision} ${tried}`, async (signal) => {
    if (share === null) {
      const light = await spaces.light(job.id, space, signal);
      setWindows(windowsOf(light));
      return light;
    }
    return spaces.changedLight(job.id, space, { base: job.revision, edits: blinds(space, windows, share) }, signal);
  });
  const moved = useMoved(space, share === null ? [] : blinds(space, windows, share));
  const light = moved ?? (loaded.data?.space === space ? loaded.data : null);
  return (
    <section class="light-year" aria-label="Light through the year">
      <div class="fit-head">
        <h2>Light through the year</h2>
        <Button onPress={onClose}>Close</Button>
      </div>
      {moved === null ? null : <p class="soft">As it is where the thing in the hand is now.</p>}
      {loaded.trouble ? <Strip trouble={loaded.trouble} onAgain={loaded.reload} /> : null}
      {light === null && !loaded.trouble ? <Waiting for="the year" /> : null}
      {light !== null && light.pictures.length === 0 ? <p>Nothing projects a picture in {light.name}.</p> : null}
      {windows.length > 0 ? (
        <label class="field">
          <span>Try blinds, without saving</span>
          <select value={tried} onChange={(event) => setTried(Number(event.currentTarget.value))}>
            {BLINDS.map(({ words }, index) => (
              <option key={words} value={index}>
                {words}
              </option>
            ))}
          </select>
        </label>
      ) : null}
      {light?.pictures.map((picture) => (
        <div key={picture.projector}>
          {picture.missing ? (
            <p>
              Not known yet: {picture.missing.what} ({picture.missing.tool}).
            </p>
          ) : null}
          {picture.year ? <OneYear year={picture.year} /> : null}
        </div>
      ))}
    </section>
  );
}

/** The year with the body in the hand where it is; null while there is none. */
function useMoved(space: string, tried: readonly Edit[]): Light | null {
  const { id, revision } = useJob();
  const drafts = useContext(DraftsContext);
  const [light, setLight] = useState<Light | null>(null);
  const latest = useRef(tried);
  latest.current = tried;
  useEffect(() => {
    if (drafts === null) return;
    const live = new Live<Edit[], Light>(
      (edits, _, signal) =>
        spaces.changedLight(id, space, { base: revision, edits: [...latest.current, ...edits] }, signal),
      (answer) => setLight(answer),
      () => setLight(null),
    );
    const deaf = drafts.listen(() => {
      const { now } = drafts;
      if (now !== null && 'edits' in now && now.edits.length > 0) return live.offer(now.edits);
      live.stop();
      setLight(null);
    });
    return () => {
      deaf();
      live.stop();
      setLight(null);
    };
  }, [drafts, id, revision, space]);
  return light;
}

function windowsOf(light: Light): string[] {
  return light.pictures.flatMap((picture) => picture.year?.windows.map(({ opening }) => opening) ?? []);
}

function blinds(space: string, windows: readonly string[], share: number): Edit[] {
  return [...new Set(windows)].map((id) => ({ at: `space.${space}.opening.${id}.transmittance`, set: share }));
}

function OneYear({ year }: { year: Year }) {
  const best = year.classes.length;
  return (
    <>
      <p>
        {year.projector_name} on {year.screen_name}: {year.white_text}; at night the room leaves a contrast of{' '}
        {Math.round(year.night_contrast)}
        {year.watched ? `; watched from ${year.watched[0]} to ${year.watched[1]}` : ''}.
      </p>
      <p>
        Contrast on the 21st at each hour, under the brighter of a clear and an overcast sky. Struck out: no
        class. Bold edge: a class begins. ☀: the sun is on the picture.
      </p>
      <div class="table-scroll" tabIndex={0} role="region" aria-label="Contrast by month and hour">
        <table class="light-map">
          <caption class="sr-only">Contrast by month and hour</caption>
          <thead>
            <tr>
              <th scope="col">
                <span class="sr-only">Month</span>
              </th>
              {hours().map((hour) => (
                <th key={hour} scope="col" data-watched={isWatched(year, hour)}>
                  {hour}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {year.months.map((month, row) => (
              <tr key={month.name}>
                <th scope="row">{month.name.slice(0, 3)}</th>
                {month.hours.map((hour, at) => {
                  const here = hour?.classes ?? null;
                  const left = month.hours[at - 1]?.classes ?? here;
                  const above = year.months[row - 1]?.hours[at]?.classes ?? here;
                  return (
                    <td
                      key={at}
                      data-none={here === 0}
                      data-best={here === best}
                      data-left={left !== here}
                      data-above={above !== here}
                    >
                      {hour ? hour.contrast_text : '–'}
                      {hour?.sun_on_picture ? <span title="the sun is on the picture">☀</span> : null}
                    </td>
                  );
                })}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <Table
        caption="From when on it can be watched, until midnight"
        columns={[
          { head: 'Month' },
          ...year.classes.map(({ contrast }) => ({ head: `${contrast}:1`, numeric: true })),
        ]}
        rows={year.months.map((month) => ({
          key: month.name,
          cells: [month.name, ...month.from.map(({ text }) => text)],
        }))}
      />
      <ul>
        {year.classes.map(({ name, contrast, backing }) => (
          <li key={name}>
            {contrast}:1 {name} ({backing})
          </li>
        ))}
      </ul>
      {year.seats.length > 0 ? <GainBySeat year={year} /> : null}
      {year.seats.length > 0 ? (
        <Table
          caption="White as each seat sees it"
          columns={[
            { head: 'Seat' },
            { head: 'Off the normal', numeric: true },
            { head: 'Gain', numeric: true },
            { head: 'cd/m²', numeric: true },
            { head: 'fL', numeric: true },
          ]}
          rows={year.seats.map((seat) => ({
            key: seat.seat,
            cells: [
              seat.is_reliable ? seat.seat : `${seat.seat} (gain not sure there)`,
              seat.angle_text,
              seat.gain.toFixed(2),
              seat.white_cd_m2.toFixed(1),
              seat.white_fl.toFixed(1),
            ],
          }))}
        />
      ) : null}
    </>
  );
}

function hours(): number[] {
  return Array.from({ length: 24 }, (_, hour) => hour);
}

function isWatched(year: Year, hour: number): boolean {
  const [from, until] = year.watched_minutes ?? [1, 0];
  return hour * 60 >= from && hour * 60 <= until;
}
