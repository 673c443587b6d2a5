// Copies an entry into a job's own kit: a job must prove the same whatever becomes of the catalogue.

import { useState } from 'preact/hooks';

import { jobs, troubleOf, type Trouble } from '../api/client';
import type { CatalogueEntry, JobCard } from '../api/schema';
import { outbox } from '../outbox';
import { Button } from '../parts/Button';
import { ChoiceField } from '../parts/Field';
import { Strip } from '../parts/Strip';
import { link } from '../routes';
import { saying } from '../status';
import { useResource } from '../useResource';
import { idsAt } from '../walk/document';

type Props = { kind: string; entry: CatalogueEntry; job: string | null; onJob: (job: string) => void };

export function AddToJob({ kind, entry, job, onJob }: Props) {
  const list = useResource('jobs', jobs.list);
  const [trouble, setTrouble] = useState<Trouble | null>(null);
  const [done, setDone] = useState<string | null>(null);
  const cards: readonly JobCard[] = list.data ?? [];
  const chosen = cards.find(({ id }) => id === job) ?? cards[0];
  if (!chosen) return null;

  const add = async () => {
    setTrouble(null);
    setDone(null);
    try {
      const view = await jobs.one(chosen.id);
      const known = idsAt(view.document, `kit.${kind}`);
      if (known.includes(entry.id)) return setDone(`${chosen.name} has it already.`);
      const place = `kit.${kind}`;
      const edits =
        known.length === 0
          ? [{ at: place, set: [entry.facts] }]
          : [{ at: `${place}.${entry.id}`, set: entry.facts }];
      const change = { base: view.revision, edits, summary: `Add ${entry.name} to the kit` };
      const outcome = await saying('Saving …', outbox.add({ kind: 'change', job: chosen.id, ...change }));
      if (outcome.is === 'refused') setTrouble(outcome.trouble);
      else setDone(outcome.is === 'kept' ? 'It is kept until dryfit answers again.' : `${chosen.name} has it now.`);
    } catch (thrown) {
      setTrouble(troubleOf(thrown));
    }
  };
  return (
    <div class="add-to-job">
      {trouble ? <Strip trouble={trouble} onClose={() => setTrouble(null)} /> : null}
      <ChoiceField
        label="Job"
        value={chosen.id}
        choices={cards.map(({ id, name }) => ({ value: id, label: name }))}
        onChoose={(id) => {
          setDone(null);
          onJob(id);
        }}
      />
      <Button onPress={() => void add()}>Add to this job</Button>
      <p role="status">
        {done} {done ? <a href={link('fit', { id: chosen.id })}>Open {chosen.name}</a> : null}
      </p>
    </div>
  );
}
