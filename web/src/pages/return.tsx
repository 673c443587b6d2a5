// Back in the same room, months later: what differs from what was left there.

import { jobs } from '../api/client';
import { useJob } from '../job';
import { Compare } from '../parts/Compare';
import { Strip } from '../parts/Strip';
import { Title } from '../parts/Title';
import { Waiting } from '../parts/Waiting';
import { link } from '../routes';
import { useResource } from '../useResource';

export function Page() {
  const { id, view, revision } = useJob();
  const history = useResource(`${id} ${revision}`, (signal) => jobs.history(id, signal));
  return (
    <div class="page">
      <Title page="Return" of={view.name} />
      <p class="note">
        Measure again what may have moved, in the <a href={link('walk', { id })}>walk</a>; here stands what
        differs from then, and what it does to the findings. Readings of a microphone, then and now, are not
        part of dryfit yet.
      </p>
      {history.trouble ? <Strip trouble={history.trouble} onAgain={history.reload} /> : null}
      {history.data === null && !history.trouble ? <Waiting for="the revisions" /> : null}
      {history.data ? <Compare id={id} revisions={history.data} sides={{ from: 'Then', to: 'Now' }} /> : null}
    </div>
  );
}
