// The limits that this house changes: each with its customary value, its source and the reason for the change.

import { useState } from 'preact/hooks';

import { findings, reasonOf } from '../api/client';
import type { Edit, HouseLimit } from '../api/schema';
import { useJob } from '../job';
import { useMay } from '../may';
import { Button } from '../parts/Button';
import { ChoiceField, TextField } from '../parts/Field';
import { Strip } from '../parts/Strip';
import { useResource } from '../useResource';
import { at, textAt } from '../walk/document';

export function Limits() {
  const job = useJob();
  const may = useMay();
  const known = useResource('limits', findings.limits);
  const { document } = job.view;
  const all = known.data ?? [];
  const changed = all.filter((limit) => textAt(document, `rules.${limit.name}`) !== null);
  return (
    <section class="house-part" aria-label="Limits that this house changes">
      <h2>Limits that this house changes</h2>
      <p class="soft">
        Every limit has a customary value with its source. A house may have its own, with a reason that the sheets print.
      </p>
      {known.trouble ? <Strip trouble={known.trouble} onAgain={known.reload} /> : null}
      {known.data && changed.length === 0 ? <p class="soft">All are as is customary.</p> : null}
      {changed.map((limit) => (
        <Own key={limit.name} limit={limit} may={may === 'change'} />
      ))}
      {known.data && may === 'change' ? <Change limits={all.filter((limit) => !changed.includes(limit))} /> : null}
    </section>
  );
}

function Own({ limit, may }: { limit: HouseLimit; may: boolean }) {
  const job = useJob();
  const path = `rules.${limit.name}`;
  const [value, reason] = [textAt(job.view.document, path), textAt(job.view.document, whyOf(limit))];
  const [typed, setTyped] = useState<{ value?: string; reason?: string }>({});
  const [error, setError] = useState<{ where: string; says: string } | null>(null);
  const save = async (where: string, text: string) => {
    const set = text.trim();
    const edits = withReasons(job.view.document, where, set);
    const outcome = await job.attempt({ edits, summary: `Limit ${plain(limit)}: ${set}` });
    if (outcome.is === 'refused') return setError({ where, says: reasonOf(outcome.trouble) });
    setError(null);
    if (outcome.is === 'sent') setTyped({});
  };
  const errorOf = (where: string) => (error?.where === where ? error.says : null);
  return (
    <div class="thing">
      <h3>{plain(limit)}</h3>
      <p class="soft">
        {sentence(limit.meaning)} {customary(limit)}
      </p>
      {may ? (
        <>
          <div class="fields">
            <TextField
              label="In this house"
              error={errorOf(path)}
              value={typed.value ?? value ?? ''}
              onInput={(text) => setTyped({ ...typed, value: text })}
              onCommit={(text) => void save(path, text)}
            />
            <TextField
              label="Because"
              error={errorOf(whyOf(limit))}
              value={typed.reason ?? reason ?? ''}
              onInput={(text) => setTyped({ ...typed, reason: text })}
              onCommit={(text) => void save(whyOf(limit), text)}
            />
          </div>
          <Button
            kind="quiet"
            onPress={() =>
              void job.save({
                edits: [path, ...(reason === null ? [] : [whyOf(limit)])].map((one) => ({ at: one, set: null })),
                summary: `Limit ${plain(limit)} as is customary`,
              })
            }
          >
            Back to what is customary
          </Button>
        </>
      ) : (
        <p>
          In this house {value}
          {reason === null ? '' : `: ${reason}`}.
        </p>
      )}
    </div>
  );
}

function Change({ limits }: { limits: readonly HouseLimit[] }) {
  const job = useJob();
  const [name, setName] = useState('');
  const [value, setValue] = useState('');
  const [reason, setReason] = useState('');
  const [open, setOpen] = useState(false);
  const limit = limits.find((one) => one.name === name);
  const because = !limit
    ? 'No limit is chosen.'
    : value.trim() === ''
      ? 'In this house is blank.'
      : reason.trim() === ''
        ? 'Because is blank.'
        : null;
  const add = async () => {
    if (!limit) return;
    const rules = { [limit.name]: value.trim(), reason: { [limit.name]: reason.trim() } };
    const { document } = job.view;
    const edits: Edit[] = hasRules(document)
      ? [
          { at: `rules.${limit.name}`, set: value.trim() },
          ...withReasons(document, whyOf(limit), reason.trim()),
        ]
      : [{ at: 'rules', set: rules }];
    const outcome = await job.change({ edits, summary: `Limit ${plain(limit)}: ${value.trim()}` });
    if (outcome.is === 'refused') return;
    setName('');
    setValue('');
    setReason('');
    setOpen(false);
  };
  if (!open) return <Button onPress={() => setOpen(true)}>Change a limit</Button>;
  return (
    <form
      class="house-add"
      aria-label="A limit of this house"
      onSubmit={(event) => {
        event.preventDefault();
        if (because === null) void add();
      }}
    >
      <div class="fields">
        <ChoiceField
          label="Limit"
          help={limit ? `${sentence(limit.meaning)} ${customary(limit)}` : null}
          value={name}
          choices={[
            { value: '', label: 'choose' },
            ...limits.map((one) => ({ value: one.name, label: `${one.area}: ${plain(one)}` })),
          ]}
          onChoose={setName}
        />
        <TextField label="In this house" value={value} autocomplete="off" onInput={setValue} />
        <TextField label="Because" value={reason} autocomplete="off" onInput={setReason} />
      </div>
      <p class="actions">
        <Button submit kind="main" because={because}>
          Change this limit
        </Button>
        <Button kind="quiet" onPress={() => setOpen(false)}>
          Leave it
        </Button>
      </p>
    </form>
  );
}

/** The edits that write a limit or its reason, with the table of reasons where there is none yet. */
function withReasons(document: unknown, where: string, set: string): Edit[] {
  const [, group, name] = where.split('.');
  const isFirst = group === 'reason' && name !== undefined && (at(document, 'rules.reason') ?? null) === null;
  return [isFirst ? { at: 'rules.reason', set: { [name]: set } } : { at: where, set: set === '' ? null : set }];
}

function hasRules(document: unknown): boolean {
  return (at(document, 'rules') ?? null) !== null;
}

function whyOf(limit: HouseLimit): string {
  return `rules.reason.${limit.name}`;
}

function plain(limit: HouseLimit): string {
  return limit.name.replaceAll('_', ' ');
}

function sentence(words: string): string {
  return `${words.charAt(0).toUpperCase()}${words.slice(1)}.`;
}

function customary(limit: HouseLimit): string {
  const regional = limit.regional.map(([region = '', text = '']) => `; ${text} ${region}`).join('');
  return `Customary: ${limit.text}${regional} (${limit.source}).`;
}
