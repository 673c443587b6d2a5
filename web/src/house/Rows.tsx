// A list of a part whose elements have no page of their own: the legs of a cable, the horizon around a house.

import { useState } from 'preact/hooks';

import { reasonOf, type Trouble } from '../api/client';
import type { Json } from '../api/schema';
import { useJob } from '../job';
import type { Outcome } from '../outbox';
import { Button } from '../parts/Button';
import { ChoiceField, TextField } from '../parts/Field';
import { Strip } from '../parts/Strip';
import { listAt, quoted, shownAt } from '../walk/document';
import { withFact } from './element';
import { valueOf, type Shape } from './shapes';

type Props = { path: string; label: string; shape: Shape } & Asked;

type Asked = {
  /** Whether a column means anything for a row; every one does when left out. */
  asks?: (row: Json, column: Shape) => boolean;
};

/** A list of the document, saved whole with each change. */
export function Rows({ path, label, shape, asks }: Props) {
  const job = useJob();
  const rows = listAt(job.view.document, path) as Json[]; // The document is JSON.
  const save = (set: Json[], summary: string) =>
    job.attempt({ edits: [{ at: path, set: set.length === 0 ? null : set }], summary: `${label}: ${summary}` });
  return <RowsForm shape={shape} rows={rows} asks={asks} onRows={save} />;
}

type FormProps = {
  shape: Shape;
  rows: Json[];
  asks?: Asked['asks'] | undefined;
  /** Takes the list as it is to be, with what is changed in words. */
  onRows: (rows: Json[], summary: string) => Promise<Outcome>;
};

/** Rows wherever they are kept. */
export function RowsForm({ shape, rows, asks, onRows: save }: FormProps) {
  return (
    <fieldset class="rows">
      <legend>{shape.label}</legend>
      {shape.help === '' ? null : <p class="soft">{quoted(shape.help)}</p>}
      {rows.length === 0 ? <p class="soft">None yet.</p> : null}
      <ol>
        {rows.map((row, index) => (
          <li key={index}>
            <div class="fields">
              {shape.columns
                .filter((column) => asks?.(row, column) ?? true)
                .map((column) => (
                  <Cell
                    key={column.path}
                    column={column}
                    value={
                      column.holds === 'list'
                        ? listAt(row, column.path).map(String).join(', ')
                        : shownAt(row, column.path)
                    }
                    onCommit={(text) =>
                      save(
                        rows.map((one, at) =>
                          at === index ? withFact(one, column.path, valueOf(column, text)) : one,
                        ),
                        `${shape.label} ${index + 1}, ${column.label.toLowerCase()}`,
                      )
                    }
                  />
                ))}
            </div>
            <Button
              kind="quiet"
              onPress={() =>
                void save(
                  rows.filter((_, at) => at !== index),
                  `${shape.label} ${index + 1} taken away`,
                )
              }
            >
              Take away {index + 1}
            </Button>
          </li>
        ))}
      </ol>
      <Further
        shape={shape}
        asks={asks}
        onAdd={(row) => save([...rows, row], `${shape.label} ${rows.length + 1}`)}
      />
    </fieldset>
  );
}

type CellProps = { column: Shape; value: string; onCommit: (text: string) => Promise<Outcome> };

function Cell({ column, value, onCommit }: CellProps) {
  const [typed, setTyped] = useState<string | null>(null);
  const [error, setError] = useState<string | null>(null);
  const commit = async (text: string) => {
    const outcome = text.trim() === value ? null : await onCommit(text);
    setError(outcome?.is === 'refused' ? reasonOf(outcome.trouble) : null);
    if (outcome === null || outcome.is === 'sent') setTyped(null);
  };
  return (
    <FactInput
      shape={column}
      error={error}
      value={typed ?? value}
      onInput={setTyped}
      onCommit={(text) => {
        setTyped(text);
        void commit(text);
      }}
    />
  );
}

type InputProps = {
  shape: Shape;
  value: string;
  error?: string | null;
  onInput: (text: string) => void;
  onCommit?: (text: string) => void;
};

/** One fact of something that is typed whole. */
export function FactInput({ shape, value, error = null, onInput, onCommit }: InputProps) {
  const told = shape.help.replace(/\.$/, '') === shape.label ? '' : quoted(shape.help);
  const help = shape.holds === 'list' ? `${told} Commas between them.`.trim() : told;
  if (shape.holds === 'choice' || shape.holds === 'flag') {
    const choices =
      shape.holds === 'choice'
        ? shape.choices
        : [
            { value: 'yes', label: 'yes' },
            { value: 'no', label: 'no' },
          ];
    return (
      <ChoiceField
        label={shape.label}
        help={help}
        error={error}
        value={value}
        choices={[{ value: '', label: shape.isRequired ? 'choose' : 'not said' }, ...choices]}
        onChoose={(text) => (onCommit ?? onInput)(text)}
      />
    );
  }
  return (
    <TextField
      label={shape.label}
      help={help}
      error={error}
      unit={/[^\d.,\s\u2212-]/.test(value) ? null : shape.unit}
      value={value}
      autocomplete="off"
      onInput={onInput}
      {...(onCommit ? { onCommit } : {})}
    />
  );
}

type FurtherProps = {
  shape: Shape;
  asks: Asked['asks'] | undefined;
  onAdd: (row: Json) => Promise<Outcome>;
};

function Further({ shape, asks, onAdd }: FurtherProps) {
  const [texts, setTexts] = useState<ReadonlyMap<string, string> | null>(null);
  const [trouble, setTrouble] = useState<Trouble | null>(null);
  if (texts === null) return <Button onPress={() => setTexts(new Map())}>Add to {shape.label.toLowerCase()}</Button>;
  const rowOf = (columns: readonly Shape[]): Json =>
    columns
      .filter((column) => (texts.get(column.path) ?? '').trim() !== '')
      .reduce<Json>(
        (built, column) => withFact(built, column.path, valueOf(column, texts.get(column.path) ?? '')),
        {},
      );
  const asked = shape.columns.filter((column) => asks?.(rowOf(shape.columns), column) ?? true);
  const blank = asked.find((column) => column.isRequired && (texts.get(column.path) ?? '').trim() === '');
  const add = async () => {
    const outcome = await onAdd(rowOf(asked));
    if (outcome.is === 'refused') return setTrouble(outcome.trouble);
    setTrouble(null);
    setTexts(null);
  };
  return (
    <div class="house-add">
      <div class="fields">
        {asked.map((column) => (
          <FactInput
            key={column.path}
            shape={column}
            value={texts.get(column.path) ?? ''}
            onInput={(text) => setTexts(new Map(texts).set(column.path, text))}
          />
        ))}
      </div>
      {trouble ? <Strip trouble={trouble} onClose={() => setTrouble(null)} /> : null}
      <p class="actions">
        <Button kind="main" because={blank ? `${blank.label} is blank.` : null} onPress={() => void add()}>
          Add it
        </Button>
        <Button kind="quiet" onPress={() => {
            setTrouble(null);
            setTexts(null);
          }}>
          Leave it
        </Button>
      </p>
    </div>
  );
}
