// The sheets that the crew carries: which there are, what stands on one, and the set as PDF.

import { sheets } from '../api/client';
import type { SheetLine } from '../api/schema';
import { useJob } from '../job';
import { useQuery } from '../location';
import { ChoiceField } from '../parts/Field';
import { PrintSet } from '../parts/PrintSet';
import { SheetView } from '../parts/SheetView';
import { Strip } from '../parts/Strip';
import { Title } from '../parts/Title';
import { Waiting } from '../parts/Waiting';
import { link } from '../routes';
import { useResource } from '../useResource';

export function Page() {
  const { id, view, revision } = useJob();
  const [query] = useQuery();
  const list = useResource(`${id} ${revision}`, (signal) => sheets.list(id, signal));
  const lines = list.data ?? [];
  const chosen = lines.find((line) => line.id === query.get('sheet')) ?? lines[0] ?? null;
  return (
    <div class="page sheets-page">
      <div class="sheets-head">
        <Title page="Sheets" of={view.name} />
        <PrintSet />
      </div>
      {list.trouble ? <Strip trouble={list.trouble} onAgain={list.reload} /> : null}
      {list.data === null && !list.trouble ? <Waiting for="the sheets" /> : null}
      {chosen ? (
        <div class="sheets-body">
          <SheetList id={id} lines={lines} chosen={chosen} />
          <Preview id={id} revision={revision} line={chosen} />
        </div>
      ) : null}
    </div>
  );
}

function SheetList({ id, lines, chosen }: { id: string; lines: readonly SheetLine[]; chosen: SheetLine }) {
  const [, setQuery] = useQuery();
  return (
    <nav class="sheet-list" aria-label="Sheets">
      <ol>
        {lines.map((line) => (
          <li key={line.id}>
            <a
              href={link('sheets', { id }, { sheet: line.id })}
              aria-current={line.id === chosen.id ? 'true' : undefined}
            >
              {line.title}
            </a>
          </li>
        ))}
      </ol>
      <div class="sheet-select">
        <ChoiceField
          label="Sheet"
          value={chosen.id}
          choices={lines.map((line) => ({ value: line.id, label: line.title }))}
          onChoose={(sheet) => setQuery({ sheet })}
        />
      </div>
    </nav>
  );
}

function Preview({ id, revision, line }: { id: string; revision: number; line: SheetLine }) {
  const sheet = useResource(`${id} ${revision} ${line.id}`, (signal) => sheets.one(id, line.id, signal));
  if (sheet.trouble) return <Strip trouble={sheet.trouble} onAgain={sheet.reload} />;
  if (!sheet.data || sheet.data.id !== line.id) return <Waiting for={line.title} />;
  const drawn = sheet.data.contents.some((content) => content.kind === 'drawing');
  return (
    <div class="preview">
      {drawn ? (
        <p class="actions">
          <a class="button" href={sheets.svgUrl(id, line.id)} download={`${line.id}.svg`}>
            Download the drawing as SVG
          </a>
        </p>
      ) : null}
      <SheetView sheet={sheet.data} />
    </div>
  );
}
