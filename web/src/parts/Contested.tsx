// Facts that two people changed at once: both accounts side by side, one to keep.

import type { Account, Contested } from '../api/schema';
import { useJob } from '../job';
import { link } from '../routes';
import { counted, when } from '../units';
import { Button } from './Button';

/** The reminder on every page of the job. */
export function ContestedStrip({ history }: { history: boolean }) {
  const { id, view } = useJob();
  if (view.contested.length === 0 || history) return null;
  return (
    <div class="strip contested">
      <p>
        {counted(view.contested.length, 'fact')} changed by two people at once. The later account holds until somebody
        chooses. <a href={`${link('history', { id })}#contested`}>See both accounts</a>
      </p>
    </div>
  );
}

/** All contested facts with both accounts. */
export function ContestedFacts() {
  const { view, keep } = useJob();
  if (view.contested.length === 0) return null;
  return (
    <section id="contested">
      <h2>Changed by two people at once</h2>
      <p class="soft">The later account holds until somebody chooses. Either choice can be undone.</p>
      {view.contested.map((fact) => (
        <ContestedFact key={fact.id} fact={fact} keep={(which) => void keep(fact.id, which)} />
      ))}
    </section>
  );
}

function ContestedFact({ fact, keep }: { fact: Contested; keep: (which: 'earlier' | 'later') => void }) {
  return (
    <div class="accounts" role="group" aria-label={fact.what}>
      <h3>{fact.what}</h3>
      <One account={fact.earlier} which="Earlier" onKeep={() => keep('earlier')} />
      <One account={fact.later} which="Later" onKeep={() => keep('later')} />
    </div>
  );
}

function One({ account, which, onKeep }: { account: Account; which: string; onKeep: () => void }) {
  return (
    <div class="account">
      <p class="figure">{account.text}</p>
      <p class="soft">
        {which}: {account.who}, {when(account.when)}
      </p>
      <Button onPress={onKeep}>Keep {account.text}</Button>
    </div>
  );
}
