// What stays in the house: the set of sheets, printed, and what a customer's guide would still lack.

import { sheets } from '../api/client';
import { useJob } from '../job';
import { PrintSet } from '../parts/PrintSet';
import { Strip } from '../parts/Strip';
import { Title } from '../parts/Title';
import { CountsLine } from '../parts/Verdict';
import { Waiting } from '../parts/Waiting';
import { link } from '../routes';
import { counted } from '../units';
import { useResource } from '../useResource';
import { Buttons } from '../wiring/Buttons';
import { useWiring } from '../wiring/useWiring';

export function Page() {
  const { id, view, revision } = useJob();
  const list = useResource(`${id} ${revision}`, (signal) => sheets.list(id, signal));
  const wired = useWiring();
  return (
    <div class="page">
      <Title page="Hand over" of={view.name} />
      {list.trouble ? <Strip trouble={list.trouble} onAgain={list.reload} /> : null}
      <div class="with-margin">
        <div>
          <p>
            The set as it stands at revision {revision}: <CountsLine counts={view.counts} of={view.name} />
          </p>
          {view.counts.fails > 0 ? (
            <p class="note">
              {counted(view.counts.fails, 'finding fails', 'findings fail')}.{' '}
              <a href={link('fit', { id })}>Mend them</a> before the set is handed over, or it will say so in
              print.
            </p>
          ) : null}
          <section class="spaced">
            <h2>Print the set</h2>
            <PrintSet />
          </section>
          <section class="spaced">
            <h2>What is in it</h2>
            {list.data === null && !list.trouble ? <Waiting for="the sheets" /> : null}
            <ol class="contents">
              {(list.data ?? []).map((line) => (
                <li key={line.id}>
                  <a href={link('sheets', { id }, { sheet: line.id })}>{line.title}</a>
                </li>
              ))}
            </ol>
          </section>
          {wired.data ? <Buttons buttons={wired.data.buttons} /> : null}
        </div>
        <aside class="margin" aria-label="What this page does not know">
          <h2 class="small">Not made yet</h2>
          <p>
            The one-page guide for the sofa, serial numbers and warranties, and a place to sign are not part
            of dryfit yet.
          </p>
          <p>
            Name this revision “as handed over” in the <a href={link('history', { id })}>history</a>: months
            later, Return holds it against what is there then.
          </p>
        </aside>
      </div>
    </div>
  );
}
