// The row of moments: the only navigation of a job. A select where the page is narrow.

import type { JobView } from '../api/schema';
import { go } from '../location';
import { link, MOMENTS, type RouteName } from '../routes';

type Props = { job: JobView; id: string; current: RouteName };

export function Moments({ job, id, current }: Props) {
  const open = (moment: string) => job.by_moment.find((entry) => entry.moment === moment)?.open ?? 0;
  const isMoment = MOMENTS.some(({ moment }) => moment === current);
  return (
    <nav class="moments" aria-label="Moments of the job">
      <ol>
        {MOMENTS.map(({ moment, title }) => (
          <li key={moment}>
            <a href={link(moment, { id })} aria-current={moment === current ? 'page' : undefined}>
              {title}
              {open(moment) > 0 ? <Open count={open(moment)} /> : null}
            </a>
          </li>
        ))}
      </ol>
      <label class="moments-select">
        <span>Moment</span>
        <select
          value={isMoment ? current : ''}
          onChange={(event) => {
            const chosen = MOMENTS.find(({ moment }) => moment === event.currentTarget.value);
            if (chosen) go(link(chosen.moment, { id }));
          }}
        >
          {isMoment ? null : <option value="">Choose a moment</option>}
          {MOMENTS.map(({ moment, title }) => (
            <option key={moment} value={moment} selected={moment === current}>
              {open(moment) > 0 ? `${title} (${open(moment)} open)` : title}
            </option>
          ))}
        </select>
      </label>
    </nav>
  );
}

function Open({ count }: { count: number }) {
  return (
    <span class="open">
      {' '}
      {count}
      <span class="sr-only"> open</span>
    </span>
  );
}
