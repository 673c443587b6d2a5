// Do the walls come back to where they began, and which reading is the likeliest slip where they do not?

import type { WalkSuspect } from '../api/schema';
import { useJob } from '../job';
import { useQuery } from '../location';
import { Button } from '../parts/Button';
import { useWalk } from './context';
import { listAt, pretty } from './document';

export function Closing({ onWall }: { onWall: (wall: string) => void }) {
  const walk = useWalk();
  const job = useJob();
  const { closes, closes_needs, wall_strip } = walk.walk;
  if (closes === null) {
    return closes_needs === null ? null : (
      <section class="closing" aria-label="Does it close?">
        <p class="soft">{closes_needs}</p>
      </section>
    );
  }
  const nameOf = ({ wall, edit }: WalkSuspect): string => {
    const known = wall_strip.find(({ id }) => id === wall)?.name;
    if (known === undefined) return 'the diagonal';
    return edit.at.endsWith('.corner') ? `the corner of ${known}` : known;
  };
  return (
    <section class={closes.closed ? 'closing' : 'closing open'} aria-label="Does it close?">
      <h3>{closes.closed ? 'The walls close' : 'The walls do not close'}</h3>
      <dl class="closing-facts">
        <div>
          <dt>Left open</dt>
          <dd>{closes.misclosure_text}</dd>
        </div>
        <div>
          <dt>Allowed</dt>
          <dd>{closes.limit_text}</dd>
        </div>
      </dl>
      <p class="small soft">{closes.says}</p>
      {closes.suspects.length > 0 ? (
        <ul class="suspects">
          {closes.suspects.map((suspect) => {
            const value = typeof suspect.edit.set === 'string' ? pretty(suspect.edit.set) : '';
            return (
              <li key={suspect.edit.at}>
                <p>{suspect.says}</p>
                <p class="actions">
                  <Button onPress={() => void walk.save(`Set ${nameOf(suspect)} to ${value}`, [suspect.edit])}>
                    Set {nameOf(suspect)} to {value}
                  </Button>
                  {suspect.wall !== null ? (
                    <Button kind="quiet" onPress={() => onWall(suspect.wall ?? '')}>
                      Type {nameOf(suspect)} again
                    </Button>
                  ) : null}
                </p>
              </li>
            );
          })}
        </ul>
      ) : null}
      {closes.decide_with ? <Deciding corners={closes.decide_with} /> : null}
      {job.view.undo !== null ? (
        <Button kind="quiet" onPress={() => void job.undo()}>
          Undo: {pretty(job.view.undo)}
        </Button>
      ) : null}
    </section>
  );
}

/** The one length that tells the suspects apart, to be measured now. */
function Deciding({ corners: [from, to] }: { corners: [string, string] }) {
  const walk = useWalk();
  const [, setQuery] = useQuery();
  const at = `space.${walk.space}.diagonals`;
  const known = listAt(walk.document, at);
  const endOf = (corner: string) => {
    const id = corner.replace(/\.left$/, '');
    return `the left end of ${walk.walk.wall_strip.find((wall) => wall.id === id)?.name ?? id}`;
  };
  const add = async () => {
    const set = [...known, [from, to, '?']];
    if (await walk.save('Add a diagonal', [{ at, set }])) setQuery({ field: `${at}.${known.length}.2` }, 'replace');
  };
  return (
    <Button onPress={() => void add()}>
      Measure from {endOf(from)} to {endOf(to)}
    </Button>
  );
}
