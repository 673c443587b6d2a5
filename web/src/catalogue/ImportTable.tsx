// A table from a maker's or a dealer's spreadsheet: what its columns hold, and what came of its rows.

import { useMemo, useState } from 'preact/hooks';

import { catalogue, troubleOf, type Trouble } from '../api/client';
import type { CatalogueKind, CatalogueRead, CatalogueReport } from '../api/schema';
import { Button } from '../parts/Button';
import { ChoiceField } from '../parts/Field';
import { FileDrop } from '../parts/FileDrop';
import { Strip } from '../parts/Strip';
import { Table } from '../parts/Table';
import { saying } from '../status';
import { counted } from '../units';
import { shapesOf } from './facts';
import { entriesOf, takeBack, taken, type Taken } from './takeBack';

type Chosen = { index: number; fact: string | null; unit: string | null; guessed: boolean };
/** What came of a table, and what it changed. */
type Done = { report: CatalogueReport; taken: readonly Taken[] };
type Props = { kind: CatalogueKind; schema: unknown; onDone: () => void; onClose: () => void };

export function ImportTable({ kind, schema, onDone, onClose }: Props) {
  const [file, setFile] = useState<File | null>(null);
  const [read, setRead] = useState<CatalogueRead | null>(null);
  const [columns, setColumns] = useState<readonly Chosen[]>([]);
  const [done, setDone] = useState<Done | null>(null);
  const [back, setBack] = useState<string | null>(null);
  const [trouble, setTrouble] = useState<Trouble | null>(null);

  const attempt = async (doing: string, work: () => Promise<void>) => {
    setTrouble(null);
    try {
      await saying(doing, work());
    } catch (thrown) {
      setTrouble(troubleOf(thrown));
    }
  };
  const choose = (chosen: File, sheet?: string) =>
    attempt('Reading the table …', async () => {
      const table = await catalogue.read(kind.kind, chosen, sheet);
      setFile(chosen);
      setRead(table);
      setDone(null);
      setBack(null);
      setColumns(table.columns.map(({ index, fact, unit, guessed }) => ({ index, fact, unit, guessed })));
    });
  const take = (table: CatalogueRead) =>
    attempt('Taking the rows …', async () => {
      const chosen = columns.map(({ index, fact, unit }) => ({ index, fact, unit }));
      const before = await entriesOf(kind.kind);
      const report = await catalogue.import({ key: table.key, kind: kind.kind, columns: chosen });
      setDone({ report, taken: taken(before, await entriesOf(kind.kind)) });
      setBack(null);
      onDone();
    });
  const undo = (all: readonly Taken[]) =>
    attempt('Taking the import back …', async () => {
      const count = await takeBack(kind.kind, all);
      const left = all.length - count;
      const stays = left === 0 ? '' : ` ${counted(left, 'entry', 'entries')} changed since: left as it stands.`;
      setDone(null);
      setBack(`The import is taken back: ${counted(count, 'entry', 'entries')} as before.${stays}`);
      onDone();
    });
  const change = (index: number, patch: Partial<Chosen>) =>
    setColumns((old) => old.map((column) => (column.index === index ? { ...column, ...patch } : column)));

  const measured = useMemo(
    () => new Set(shapesOf(schema, kind.kind, kind.facts).flatMap((fact) => (fact.measured ? [fact.path] : []))),
    [schema, kind],
  );
  const facts = [
    { value: '', label: 'leave it out' },
    ...kind.facts.map(({ path, label }) => ({ value: path, label })),
  ];
  const used = columns.flatMap(({ fact }) => fact ?? []);
  const twice = used.find((fact, index) => used.indexOf(fact) !== index);
  const labelOf = (fact: string) => kind.facts.find(({ path }) => path === fact)?.label ?? fact;
  return (
    <section class="import" aria-label="Import a table">
      <div class="entry-head">
        <h2>Import a table</h2>
        <Button kind="quiet" onPress={onClose}>
          Close
        </Button>
      </div>
      {trouble ? <Strip trouble={trouble} onClose={() => setTrouble(null)} /> : null}
      <p>One row for each {kind.kind}, with a head above the columns.</p>
      <FileDrop accept=".csv,.xlsx,text/csv" onFile={(chosen) => void choose(chosen)}>
        Choose a CSV or XLSX file
      </FileDrop>
      {read && file ? (
        <>
          <p>
            <strong>{read.name}</strong>: {counted(read.rows, 'row')}, {counted(read.columns.length, 'column')}.
          </p>
          {read.sheets.length > 1 ? (
            <ChoiceField
              label="Sheet of the workbook"
              value=""
              choices={[
                { value: '', label: 'the first with a table' },
                ...read.sheets.map((sheet) => ({ value: sheet, label: sheet })),
              ]}
              onChoose={(sheet) => void choose(file, sheet || undefined)}
            />
          ) : null}
          <ul class="columns" aria-label="Columns of the table">
            {read.columns.map((column) => {
              const chosen = columns.find(({ index }) => index === column.index);
              if (!chosen) return null;
              const name = column.head || `column ${column.index + 1}`;
              return (
                <li key={column.index}>
                  <div class="column-head">
                    <strong>{name}</strong>
                    <span class="soft small">{column.sample.join(', ') || 'no cells'}</span>
                  </div>
                  <label class="field">
                    <span>
                      Holds <span class="sr-only">in {name}</span>
                    </span>
                    <select
                      value={chosen.fact ?? ''}
                      onChange={(event) =>
                        change(column.index, { fact: event.currentTarget.value || null, guessed: false })
                      }
                    >
                      {facts.map((fact) => (
                        <option key={fact.value} value={fact.value} selected={fact.value === (chosen.fact ?? '')}>
                          {fact.label}
                        </option>
                      ))}
                    </select>
                  </label>
                  {chosen.fact === null || !measured.has(chosen.fact) ? null : (
                    <label class="field">
                      <span>
                        Unit of bare numbers <span class="sr-only">in {name}</span>
                      </span>
                      <input
                        type="text"
                        autocomplete="off"
                        value={chosen.unit ?? ''}
                        onInput={(event) =>
                          change(column.index, { unit: event.currentTarget.value.trim() || null, guessed: false })
                        }
                      />
                    </label>
                  )}
                  {chosen.guessed ? (
                    <p class="guessed small">
                      Guessed: neither the head nor the cells name a unit. Look at the cells before you take them.
                    </p>
                  ) : null}
                </li>
              );
            })}
          </ul>
          <p class="actions">
            <Button
              kind="main"
              because={
                used.length === 0
                  ? 'No column holds a fact yet.'
                  : twice !== undefined
                    ? `Two columns hold ${labelOf(twice)}.`
                    : null
              }
              onPress={() => void take(read)}
            >
              Take {counted(read.rows, 'row')} into the catalogue
            </Button>
          </p>
        </>
      ) : null}
      {done ? <Report {...done} onUndo={() => void undo(done.taken)} /> : null}
      {back === null ? null : <p role="status">{back}</p>}
    </section>
  );
}

function Report({ report, taken, onUndo }: Done & { onUndo: () => void }) {
  const { accepted, replaced, rejected } = report;
  return (
    <div class="report" role="status">
      <p>
        <strong>{counted(accepted, 'row')} taken</strong>
        {replaced > 0 ? `, ${replaced} in the place of an entry of the same name` : ''};{' '}
        {rejected.length === 0 ? 'none left out.' : `${counted(rejected.length, 'row')} left out.`}
      </p>
      {taken.length > 0 ? (
        <p>
          <Button onPress={onUndo}>Undo the import of {counted(taken.length, 'entry', 'entries')}</Button>
        </p>
      ) : null}
      {rejected.length > 0 ? (
        <Table
          caption="Rows that were left out"
          stacks
          columns={[
            { head: 'Row', numeric: true },
            { head: 'Column' },
            { head: 'Text' },
            { head: 'Why' },
            { head: 'Accepted' },
          ]}
          rows={rejected.map((row, index) => ({
            key: String(index),
            cells: [row.row, row.column ?? '', row.text, row.reason, row.accepted],
          }))}
        />
      ) : null}
    </div>
  );
}
