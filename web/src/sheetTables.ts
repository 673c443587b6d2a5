// Rows of the job's sheets as things to tick or to list: what the sheets print is what the page shows.

import { sheets } from './api/client';
import type { Content, Sheet, SheetLine, SheetTable } from './api/schema';
import { useResource, type Resource } from './useResource';

export type LoadedSheet = { line: SheetLine; sheet: Sheet };

/** The sheets of the wanted kinds, in the order of the set. */
export function useSheets(id: string, revision: number, kinds: readonly string[]): Resource<LoadedSheet[]> {
  return useResource(`${id} ${revision} ${kinds.join()}`, async (signal) => {
    const lines = await sheets.list(id, signal);
    const wanted = lines.filter((line) => kinds.includes(line.kind));
    return Promise.all(wanted.map(async (line) => ({ line, sheet: await sheets.one(id, line.id, signal) })));
  });
}

/** A sheet's tables, those below its drawings too. */
export function tablesOf(sheet: Sheet): SheetTable[] {
  return sheet.contents.flatMap((content: Content) => {
    if (content.kind === 'table') return [content];
    return content.kind === 'drawing' ? content.tables : [];
  });
}

export function hasTicks(table: SheetTable): boolean {
  return table.columns.some((column) => column.holds === 'tick');
}

export type Cell = { head: string; text: string; holds: string };

/** A row's texts with their heads; boxes to tick by hand and blanks are left out. */
export function cellsOf(table: SheetTable, row: readonly string[]): Cell[] {
  const columns = table.columns.flatMap(({ head, holds }) => (holds === 'tick' ? [] : [{ head, holds }]));
  return columns.flatMap(({ head, holds }, index) => {
    const text = row[index] ?? '';
    return text === '' || text === '–' ? [] : [{ head, text, holds }];
  });
}

/** Something to tick, named by where it stands and its first words, so that it outlives an edit elsewhere. */
export type Task = {
  tick: string;
  /** The first cell: what it is called on the sheet. */
  name: string;
  cells: Cell[];
  sheet: SheetLine;
  drawing: string | null;
};

/** A table's rows as tasks. Rows with the same name on one sheet are told apart by their number. */
export function tasksOf({ line, sheet }: LoadedSheet, table: SheetTable, of: string): Task[] {
  const drawing = sheet.contents.find((content) => content.kind === 'drawing');
  const seen = new Map<string, number>();
  return table.rows.map((row) => {
    const cells = cellsOf(table, row);
    const name = cells[0]?.text ?? '';
    const times = (seen.get(name) ?? 0) + 1;
    seen.set(name, times);
    return {
      tick: [of, line.id, name, ...(times > 1 ? [String(times)] : [])].join('/'),
      name,
      cells: cells.slice(1),
      sheet: line,
      drawing: drawing?.kind === 'drawing' ? drawing.svg_url : null,
    };
  });
}
