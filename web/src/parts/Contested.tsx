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
        {counted(view.contested.length, 'fact')} set differently by two people: choose which stays.{' '}
        <a href={`${link('history', { id })}#contested`}>See both accounts</a>
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
      <h2>Set differently by two people</h2>
      <p class="soft">One of both holds until somebody chooses. Either choice can be undone.</p>
      {view.contested.map((fact) => (
        <ContestedFact key={fact.id} fact={fact} keep={(which) => void keep(fact.id, which)} />
      ))}
    </section>
  );
}

function ContestedFact({ fact, keep }: { fact: Contested; keep: (which: 'earlier' | 'later') => void }) {
  return (
    <div class="accounts" role="group" aria-label={fact.title}>
      <h3>{fact.title}</h3>
      <p class="soft">{fact.what}</p>
      <One
        account={fact.earlier}
        which="Earlier"
        holds={fact.stands === 'earlier'}
        onKeep={() => keep('earlier')}
      />
      <One account={fact.later} which="Later" holds={fact.stands === 'later'} onKeep={() => keep('later')} />
    </div>
  );
}

type OneProps = { account: Account; which: string; holds: boolean; onKeep: () => void };

function One({ account, which, holds, onKeep }: OneProps) {
  const said = inWords(account.text);
  const text = said === '' ? 'nothing there' : said;
  return (
    <div class="account">
      <p class={said === account.text ? 'figure' : 'figure long'}>{text}</p>
      <p class="soft">
        {which}: {account.who}, {when(account.when)}
        {holds ? '; holds until somebody chooses' : ''}
      </p>
      <Button onPress={onKeep}>Keep {text}</Button>
    </div>
  );
}

/**
 * A thing as a whole arrives as the document writes it: told by its kind, its wall and its place, as one would on the telephone.
 * All else is a fact's own text.
 */
export function inWords(text: string): string {
  if (!/^[{[]/.test(text)) return text;
  try {
    const told: unknown = JSON.parse(text);
    return said(told);
  } catch {
    return text;
  }
}

/** What the document says between keys that say nothing to a reader. */
const NAMED = ['name', 'kind', 'id'];

function said(value: unknown): string {
  if (Array.isArray(value)) {
    const parts = value.map(said);
    // Sizes and the wall that a distance is taken from read on in one line.
    return parts.join(value.every((one) => typeof one !== 'object') ? ' × ' : '; ');
  }
  if (typeof value === 'boolean') return value ? 'yes' : 'no';
  if (typeof value !== 'object' || value === null) return value === '?' ? 'not measured' : String(value ?? '');
  const facts = Object.entries(value);
  const head = NAMED.flatMap((key) => facts.filter(([name]) => name === key)).map(([, one]) => words(String(one)));
  const rest = facts
    .filter(([key]) => !NAMED.includes(key))
    .map(([key, one]) => (typeof one === 'object' && !Array.isArray(one) ? said(one) : `${words(key)} ${said(one)}`));
  return [[...new Set(head)].join(', '), ...rest].filter(Boolean).join(', ');
}

function words(name: string): string {
  return name.replace(/[_-]/g, ' ');
}
