// One fact of the job, read by the server before it is saved.

import { useState } from 'preact/hooks';

import { reasonOf, spaces, troubleOf } from '../api/client';
import type { Edit, Field as Fact } from '../api/schema';
import { useJob } from '../job';
import { ChoiceField, TextField } from '../parts/Field';
import { quoted } from '../walk/document';

const FLAGS = [
  { value: 'true', label: 'yes' },
  { value: 'false', label: 'no' },
];

type Props = {
  fact: Fact;
  label: string;
  /** The edits that write it, where its path alone does not do: the server then reads it as it saves them. */
  edits?: ((set: Value | null) => Edit[]) | undefined;
};
type Value = string | number | boolean;

export function FactField({ fact, label, edits }: Props) {
  const job = useJob();
  // What is being typed stays, whatever is saved meanwhile.
  const [typed, setTyped] = useState<string | null>(null);
  const [error, setError] = useState<string | null>(null);
  const text = typed ?? fact.text ?? '';

  const commit = async (given: string) => {
    const trimmed = given.trim();
    if (trimmed === (fact.text ?? '')) {
      setTyped(null);
      return setError(null);
    }
    try {
      if (trimmed !== '' && fact.kind !== 'flag' && !edits) await spaces.field(job.id, fact.at, trimmed);
    } catch (thrown) {
      return setError(reasonOf(troubleOf(thrown)));
    }
    const set = trimmed === '' ? null : valueOf(fact, trimmed);
    const summary = `${label}: ${fact.label}`;
    const outcome = await job.attempt({ edits: edits?.(set) ?? [{ at: fact.at, set }], summary });
    setError(outcome.is === 'refused' ? reasonOf(outcome.trouble) : null);
    // What is kept for later stays as it was typed: the job does not have it yet.
    if (outcome.is === 'sent') setTyped(null);
  };
  // What only says the label again says nothing.
  const told = fact.help.replace(/\.$/, '') === fact.label ? '' : quoted(fact.help);
  const help = fact.text === null && fact.blocks > 0 ? `${told} ${decides(fact.blocks)}`.trim() : told;
  const choices = fact.kind === 'flag' ? FLAGS : fact.choices;
  if (choices !== null) {
    return (
      <ChoiceField
        label={fact.label}
        help={help}
        error={error}
        value={text}
        choices={[...(fact.text === null ? [{ value: '', label: 'not said' }] : []), ...choices]}
        onChoose={(value) => void commit(value)}
      />
    );
  }
  return (
    <TextField
      label={fact.label}
      help={help}
      error={error}
      unit={/[^\d.,\s\u2212-]/.test(text) ? null : fact.unit}
      value={text}
      onInput={setTyped}
      onCommit={(given) => void commit(given)}
    />
  );
}

function decides(count: number): string {
  return count === 1 ? 'Decides one finding.' : `Decides ${count} findings.`;
}

/** The document keeps counts and flags bare; all else is text that the server reads. */
function valueOf(fact: Fact, text: string): Value {
  if (fact.kind === 'flag') return text === 'true';
  if (fact.kind === 'number' && fact.unit === null && Number.isFinite(Number(text))) return Number(text);
  return text;
}
