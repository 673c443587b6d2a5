// A sheet's contents as they will print, for reading on a screen: always light, always in order.

import type { ComponentChildren } from 'preact';

import type { Content, Sheet, SheetFinding, SheetTable, Verdict as V } from '../api/schema';
import { Table } from './Table';
import { Verdict, VERDICTS } from './Verdict';

export function SheetView({ sheet }: { sheet: Sheet }) {
  return (
    <article class="paper sheet" aria-label={sheet.title}>
      <h2>{sheet.title}</h2>
      {sheet.contents.map((content, index) => (
        <ContentView key={index} content={content} title={sheet.title} />
      ))}
      <Cautions cautions={sheet.cautions} />
    </article>
  );
}

/** What to beware of. */
export function Cautions({ cautions }: { cautions: readonly string[] }) {
  if (cautions.length === 0) return null;
  return (
    <section class="cautions" aria-label="Cautions">
      <h3>Caution</h3>
      <ul>
        {cautions.map((caution) => (
          <li key={caution}>{caution}</li>
        ))}
      </ul>
    </section>
  );
}

/** The drawing as an image that opens alone, where a browser can enlarge it. */
export function Drawing({ url, title }: { url: string; title: string }) {
  return (
    <figure class="drawing">
      <a href={url} target="_blank" rel="noopener">
        <img src={url} alt={`Drawing: ${title}`} loading="lazy" />
      </a>
      <figcaption class="soft small">Press the drawing to open it alone.</figcaption>
    </figure>
  );
}

function ContentView({ content, title }: { content: Content; title: string }) {
  switch (content.kind) {
    case 'table':
      return <SheetTableView table={content} name={title} />;
    case 'text':
      return (
        <section>
          {content.heading ? <h3>{content.heading}</h3> : null}
          {content.paragraphs.map((paragraph) => (
            <p key={paragraph}>{paragraph}</p>
          ))}
        </section>
      );
    case 'list':
      return (
        <section>
          {content.heading ? <h3>{content.heading}</h3> : null}
          <ul>
            {content.items.map((item) => (
              <li key={item}>{item}</li>
            ))}
          </ul>
        </section>
      );
    case 'drawing':
      return (
        <section>
          {content.heading ? <h3>{content.heading}</h3> : null}
          <Drawing url={content.svg_url} title={content.heading || title} />
          {content.notes.length > 0 ? (
            <ul class="small">
              {content.notes.map((note) => (
                <li key={note}>{note}</li>
              ))}
            </ul>
          ) : null}
          {content.tables.map((table, index) => (
            <SheetTableView key={index} table={table} name={title} />
          ))}
        </section>
      );
    case 'findings':
      return (
        <section>
          {content.rows.map((row, index) => (
            <FindingRow key={index} row={row} />
          ))}
        </section>
      );
    default:
      return unheardOf(content);
  }
}

function FindingRow({ row }: { row: SheetFinding }) {
  return (
    <div class="finding-row">
      <p class="finding-head">
        <Verdict verdict={row.verdict} />
        <strong>{row.subject}</strong>
        <span class="soft">{row.title}</span>
        <span class="finding-margin">{row.margin_text}</span>
      </p>
      <p>{row.because}</p>
      {row.others.map((other) => (
        <p key={other}>{other}</p>
      ))}
      {row.remedies.length > 0 ? (
        <ul>
          {row.remedies.map((remedy) => (
            <li key={remedy}>{remedy}</li>
          ))}
        </ul>
      ) : null}
      <p class="soft small">Limit: {row.source}</p>
    </div>
  );
}

/** A sheet’s table by itself, outside a sheet too; there without boxes to tick by hand. */
export function SheetTableView({
  table,
  name,
  boxes = true,
}: {
  table: SheetTable;
  name: string;
  boxes?: boolean;
}) {
  const shown = table.columns.map((column) => boxes || column.holds !== 'tick');
  const columns = table.columns.filter((_, index) => shown[index]);
  const total = table.total.some(Boolean) ? cells(table, table.total, '') : null;
  return (
    <Table
      caption={table.heading || name}
      captionHidden={table.heading === ''}
      columns={columns.map((column) => ({ head: column.head, numeric: column.holds === 'number' }))}
      rows={table.rows.map((row, index) => ({
        key: String(index),
        cells: cells(table, row).filter((_, column) => shown[column]),
      }))}
      total={total?.filter((_, column) => shown[column]) ?? null}
    />
  );
}

/** A row's texts under their columns: boxes to tick by hand stand empty. */
function cells(table: SheetTable, row: readonly string[], box: ComponentChildren = <span class="box" />) {
  let next = 0;
  return table.columns.map((column) => {
    if (column.holds === 'tick') return box;
    const text = row[next++] ?? '';
    const verdict = column.holds === 'verdict' ? verdictOf(text) : null;
    return verdict ? <Verdict verdict={verdict} /> : text;
  });
}

export function verdictOf(text: string): V | null {
  return VERDICTS.find((verdict) => verdict === text) ?? null;
}

function unheardOf(content: never): never {
  throw new Error(`a sheet holds ${JSON.stringify(content)}, which this page can't show`);
}
