// The facts of one part, each saved by itself.

import { useState } from 'preact/hooks';

import { reasonOf } from '../api/client';
import type { Edit, Json } from '../api/schema';
import { FactField } from '../fit/FactField';
import { useJob } from '../job';
import { useMay } from '../may';
import { TextField } from '../parts/Field';
import { BLANK } from '../units';
import { at, listAt, quoted, shownAt } from '../walk/document';
import { Rows } from './Rows';
import { wordsOf, type Shape } from './shapes';

type Props = { path: string; label: string; shapes: readonly Shape[] };

export function Facts({ path, label, shapes }: Props) {
  const { view } = useJob();
  const may = useMay();
  if (may === 'look') {
    return (
      <dl class="inputs">
        {shapes.map((shape) => (
          <div key={shape.path}>
            <dt>{shape.label}</dt>
            <dd>{textOf(view.document, path, shape) || BLANK}</dd>
          </div>
        ))}
      </dl>
    );
  }
  return (
    <div class="fields">
      {[...shapes].sort(rowsLast).map((shape) => {
        const where = `${path}.${shape.path}`;
        if (shape.holds === 'rows') return <Rows key={where} path={where} label={label} shape={shape} />;
        if (shape.holds === 'list') return <ListField key={where} path={where} label={label} shape={shape} />;
        return (
          <FactField
            key={where}
            label={label}
            edits={withGroup(view.document, path, shape, shapes)}
            fact={{
              at: where,
              label: shape.label,
              kind: shape.holds,
              text: textOf(view.document, path, shape) || null,
              unit: shape.unit,
              choices: shape.choices.length > 0 ? shape.choices : null,
              help: shape.help,
              blocks: 0,
            }}
          />
        );
      })}
    </div>
  );
}

/** Where a fact's own group is not there yet, the group comes with it, what else it must have still to be told. */
function withGroup(
  document: unknown,
  path: string,
  { path: fact }: Shape,
  shapes: readonly Shape[],
): ((set: Json) => Edit[]) | undefined {
  const group = fact.split('.').slice(0, -1).join('.');
  if (group === '' || (at(document, `${path}.${group}`) ?? null) !== null) return undefined;
  const name = (one: string) => one.slice(group.length + 1);
  const needed = shapes.filter((shape) => shape.isRequired && shape.path.startsWith(`${group}.`));
  const blank = Object.fromEntries(needed.map((shape) => [name(shape.path), '?']));
  return (set) => [{ at: `${path}.${group}`, set: { ...blank, [name(fact)]: set } }];
}

function rowsLast(a: Shape, b: Shape): number {
  return Number(a.holds === 'rows') - Number(b.holds === 'rows');
}

function textOf(document: unknown, path: string, shape: Shape): string {
  const where = `${path}.${shape.path}`;
  if (shape.holds === 'list') return listAt(document, where).map(String).join(', ');
  if (shape.holds === 'rows') {
    const row = (one: unknown) => shape.columns.map((column) => shownAt(one, column.path)).filter(Boolean).join(' ');
    return listAt(document, where).map(row).join('; ');
  }
  if (shape.holds === 'flag') return (at(document, where) ?? null) === null ? '' : String(at(document, where));
  return shownAt(document, where);
}

/** Words with commas between them. */
function ListField({ path, label, shape }: { path: string; label: string; shape: Shape }) {
  const job = useJob();
  const [typed, setTyped] = useState<string | null>(null);
  const [error, setError] = useState<string | null>(null);
  const written = listAt(job.view.document, path).map(String).join(', ');
  const commit = async (text: string) => {
    if (text.trim() === written) {
      setError(null);
      return setTyped(null);
    }
    const outcome = await job.attempt({
      edits: [{ at: path, set: wordsOf(text) }],
      summary: `${label}: ${shape.label}`,
    });
    setError(outcome.is === 'refused' ? reasonOf(outcome.trouble) : null);
    if (outcome.is === 'sent') setTyped(null);
  };
  return (
    <TextField
      label={shape.label}
      help={`${quoted(shape.help)} Commas between them.`}
      error={error}
      value={typed ?? written}
      onInput={setTyped}
      onCommit={(text) => void commit(text)}
    />
  );
}
