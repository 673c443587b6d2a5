// The kit that a shop knows: by kind, typed or imported, copied into jobs.

import { catalogue } from '../api/client';
import { AddToJob } from '../catalogue/AddToJob';
import '../catalogue/catalogue.css';
import { EntryForm } from '../catalogue/EntryForm';
import { ImportTable } from '../catalogue/ImportTable';
import { useQuery } from '../location';
import { Button } from '../parts/Button';
import { ChoiceField } from '../parts/Field';
import { Strip } from '../parts/Strip';
import { Title } from '../parts/Title';
import { Waiting } from '../parts/Waiting';
import { link } from '../routes';
import { counted, when } from '../units';
import { useResource } from '../useResource';

const NEW = 'new';

export function Page() {
  const all = useResource('catalogue', catalogue.all);
  const schema = useResource('schema', catalogue.schema);
  const [query, setQuery] = useQuery();
  const kinds = all.data ?? [];
  const kind = kinds.find((one) => one.kind === query.get('kind')) ?? kinds[0];
  const wanted = query.get('entry');
  const entry = kind?.entries.find(({ id }) => id === wanted) ?? null;
  const job = query.get('job');
  const importing = query.get('import') === 'open';
  const urlOf = (next: { kind: string; entry?: string }) => link('catalogue', {}, { job, ...next });
  const titled = kinds.map((one) => ({ value: one.kind, label: `${one.kind} (${one.entries.length})` }));
  return (
    <div class="page">
      <Title page="Catalogue" />
      {job ? (
        <p>
          <a href={link('fit', { id: job })}>Back to the job</a>
        </p>
      ) : null}
      {all.trouble ? <Strip trouble={all.trouble} onAgain={all.reload} /> : null}
      {schema.trouble ? <Strip trouble={schema.trouble} onAgain={schema.reload} /> : null}
      {!kind || !schema.data ? (
        all.trouble || schema.trouble ? null : (
          <Waiting for="the catalogue" />
        )
      ) : (
        <div class="catalogue">
          <nav aria-label="Kinds of kit">
            <ul class="kinds">
              {kinds.map((one) => (
                <li key={one.kind}>
                  <a href={urlOf({ kind: one.kind })} aria-current={one.kind === kind.kind ? 'page' : undefined}>
                    {one.kind} <span class="soft">{one.entries.length}</span>
                  </a>
                </li>
              ))}
            </ul>
            <div class="kinds-select">
              <ChoiceField
                label="Kind of kit"
                value={kind.kind}
                choices={titled}
                onChoose={(value) => setQuery({ kind: value, entry: null, import: null })}
              />
            </div>
          </nav>
          <div class="stack">
            <section aria-label={`Entries of kind ${kind.kind}`}>
              <h2>
                {kind.entries.length === 0
                  ? `No ${kind.kind} yet`
                  : counted(kind.entries.length, kind.kind, `entries of kind ${kind.kind}`)}
              </h2>
              {kind.entries.length === 0 ? (
                <p class="soft">Type one off its spec sheet, or import a table of them.</p>
              ) : (
                <ul class="entries">
                  {kind.entries.map((one) => (
                    <li key={one.id}>
                      <a
                        href={urlOf({ kind: kind.kind, entry: one.id })}
                        aria-current={one.id === entry?.id ? 'true' : undefined}
                      >
                        {one.name} <span class="soft small">{when(one.changed)}</span>
                      </a>
                    </li>
                  ))}
                </ul>
              )}
              <p class="actions">
                <Button onPress={() => setQuery({ kind: kind.kind, entry: NEW, import: null })}>
                  New {kind.kind}
                </Button>
                <Button onPress={() => setQuery({ kind: kind.kind, entry: null, import: 'open' })}>
                  Import a table
                </Button>
                {kind.entries.length > 0 ? (
                  <>
                    <a class="button quiet" href={catalogue.exportUrl(kind.kind, 'csv')} download>
                      Export as CSV
                    </a>
                    <a class="button quiet" href={catalogue.exportUrl(kind.kind, 'xlsx')} download>
                      Export as XLSX
                    </a>
                  </>
                ) : null}
              </p>
            </section>
            {importing ? (
              <ImportTable
                key={kind.kind}
                kind={kind}
                schema={schema.data}
                onDone={all.reload}
                onClose={() => setQuery({ import: null })}
              />
            ) : null}
            {entry ? (
              <AddToJob
                key={`${kind.kind} ${entry.id}`}
                kind={kind.kind}
                entry={entry}
                job={job}
                onJob={(id) => setQuery({ job: id }, 'replace')}
              />
            ) : null}
            {entry || wanted === NEW ? (
              <EntryForm
                key={`${kind.kind} ${wanted}`}
                kind={kind}
                entry={entry}
                schema={schema.data}
                onSaved={(id) => {
                  all.reload();
                  setQuery({ entry: id }, 'replace');
                }}
                onGone={() => {
                  all.reload();
                  setQuery({ entry: null });
                }}
                onClose={() => setQuery({ entry: null })}
              />
            ) : null}
          </div>
        </div>
      )}
    </div>
  );
}
