// What the job takes as far as it is known: parts, and what mending each failing finding would cost.

import { findings } from '../api/client';
import type { Finding, Remedy } from '../api/schema';
import { useJob } from '../job';
import { AddKit } from '../parts/AddKit';
import { Strip } from '../parts/Strip';
import { SheetTableView } from '../parts/SheetView';
import { Title } from '../parts/Title';
import { Waiting } from '../parts/Waiting';
import { link } from '../routes';
import { tablesOf, useSheets } from '../sheetTables';
import { counted, duration, figure, length } from '../units';
import { useResource } from '../useResource';

export function Page() {
  const { id, view, revision } = useJob();
  const parts = useSheets(id, revision, ['parts']);
  const proof = useResource(`${id} ${revision}`, (signal) => findings.all(id, signal));
  const tables = (parts.data ?? []).flatMap(({ sheet }) => tablesOf(sheet));
  const rows = (proof.data?.findings ?? []).filter(({ verdict }) => verdict === 'fails').flatMap(rowsOf);
  const free = rows.filter(({ remedy }) => !adds(remedy));
  const money = currency(view.document);
  return (
    <div class="page">
      <Title page="Quote" of={view.name} />
      {parts.trouble ? <Strip trouble={parts.trouble} onAgain={parts.reload} /> : null}
      {proof.trouble ? <Strip trouble={proof.trouble} onAgain={proof.reload} /> : null}
      <div class="with-margin">
        <div>
          <section>
            <h2>Parts and cable</h2>
            {parts.data === null && !parts.trouble ? <Waiting for="the parts" /> : null}
            {parts.data && tables.length === 0 ? (
              <>
                <p>The job lists no new kit and no cable yet.</p>
                <AddKit job={id} />
              </>
            ) : null}
            {tables.map((table, index) => (
              <SheetTableView key={index} table={table} name="Parts" boxes={false} />
            ))}
          </section>
          <section class="spaced">
            <h2>What mending would take</h2>
            <p class="soft">
              Each way to mend a finding that fails, with what it adds. Some exclude each other, so nothing is
              added up.
            </p>
            {proof.data === null && !proof.trouble ? <Waiting for="the findings" /> : null}
            {proof.data && rows.length === 0 ? <p>Nothing fails that dryfit knows a remedy for.</p> : null}
            {rows.length > 0 ? (
              <RemedyList id={id} rows={rows.filter(({ remedy }) => adds(remedy))} money={money} />
            ) : null}
            {free.length > 0 ? (
              <details>
                <summary>
                  {counted(free.length, 'remedy', 'remedies')} that add no time, wire or hole that dryfit
                  knows of
                </summary>
                <RemedyList id={id} rows={free} money={money} />
              </details>
            ) : null}
          </section>
        </div>
        <aside class="margin" aria-label="What this page does not know">
          <h2 class="small">Not a quote to sign yet</h2>
          <p>
            Prices of kit, hours of the whole job, packages side by side, works by others, tax and deposit are
            not worked out. Take them from the shop’s own list.
          </p>
          <p>
            With a rate per hour and a currency, which stand in <a href={link('house', { id })}>House</a>, time has
            its price here.
          </p>
        </aside>
      </div>
    </div>
  );
}

type Row = { finding: Finding; remedy: Remedy };

function RemedyList({ id, rows, money }: { id: string; rows: readonly Row[]; money: string }) {
  const { units } = useJob().view;
  return (
    <ul class="remedies">
      {rows.map(({ finding, remedy }) => (
        <li key={`${finding.key} ${remedy.id}`}>
          <a href={link('why', { id, key: finding.key })}>{finding.subject.label}</a>
          <span>{remedy.says}</span>
          <span class="remedy-adds">
            {[
              remedy.time_s === 0 ? null : duration(remedy.time_s),
              remedy.wire_m === 0 ? null : `${length(remedy.wire_m, units)} wire`,
              remedy.holes === 0 ? null : counted(remedy.holes, 'hole'),
              remedy.money === null || remedy.money === 0 ? null : `${figure(remedy.money, 2)} ${money}`,
            ]
              .filter((part) => part !== null)
              .map((part) => (
                <span key={part}>{part}</span>
              ))}
          </span>
        </li>
      ))}
    </ul>
  );
}

/** Something that a quote would have to hold. */
function adds({ time_s, wire_m, holes, money }: Remedy): boolean {
  return time_s !== 0 || wire_m !== 0 || holes !== 0 || (money !== null && money !== 0);
}

function rowsOf(finding: Finding): Row[] {
  return finding.remedies.map((remedy) => ({ finding, remedy }));
}

/** The job's own word for its money, where it states one. */
function currency(document: unknown): string {
  const rates = member(document, 'rates');
  const named = member(rates, 'currency');
  return typeof named === 'string' ? named : '';
}

function member(value: unknown, key: string): unknown {
  if (typeof value !== 'object' || value === null) return undefined;
  return Object.entries(value).find(([name]) => name === key)?.[1];
}
