// Rows of sheets as things to tick.

import { describe, expect, it } from 'vitest';

import type { Sheet, SheetLine, SheetTable } from '../../src/api/schema';
import { cellsOf, hasTicks, tablesOf, tasksOf } from '../../src/sheetTables';

const line: SheetLine = { id: 'cables', title: 'Cable schedule', kind: 'cables', space: null };
const table: SheetTable = {
  heading: '',
  columns: [
    { head: 'Pulled', holds: 'tick' },
    { head: 'Label', holds: 'text' },
    { head: 'Cut', holds: 'number' },
    { head: 'Way', holds: 'text' },
  ],
  rows: [
    ['W01', '41′ 6″', 'up'],
    ['W02', '–', ''],
    ['W01', '3′ 0″', 'down'],
  ],
  total: [],
};
const sheet: Sheet = {
  id: 'cables',
  title: 'Cable schedule',
  cautions: [],
  contents: [
    { kind: 'text', heading: '', paragraphs: ['Cut along the lines.'] },
    { kind: 'table', ...table },
    {
      kind: 'drawing',
      heading: '1 : 50',
      svg_url: '/drawing.svg',
      notes: [],
      tables: [{ ...table, heading: 'below' }],
    },
  ],
};

it('finds tables below drawings too', () => {
  expect(tablesOf(sheet).map((one) => one.heading)).toEqual(['', 'below']);
});

it('knows a table to be ticked', () => {
  expect(hasTicks(table)).toBe(true);
  expect(hasTicks({ ...table, columns: table.columns.slice(1) })).toBe(false);
});

describe('cells', () => {
  it('stand under their heads, past the tick box', () => {
    expect(cellsOf(table, ['W01', '41′ 6″', 'up'])).toEqual([
      { head: 'Label', text: 'W01', holds: 'text' },
      { head: 'Cut', text: '41′ 6″', holds: 'number' },
      { head: 'Way', text: 'up', holds: 'text' },
    ]);
  });
  it('leave out blanks', () =>
    expect(cellsOf(table, ['W02', '–', '']).map((cell) => cell.text)).toEqual(['W02']));
});

describe('tasks', () => {
  const tasks = tasksOf({ line, sheet }, table, 'day');
  it('are named by their first cell', () =>
    expect(tasks.map((task) => task.name)).toEqual(['W01', 'W02', 'W01']));
  it('are told apart where names repeat', () => {
    expect(tasks.map((task) => task.tick)).toEqual(['day/cables/W01', 'day/cables/W02', 'day/cables/W01/2']);
  });
  it('keep their tick when another row goes', () => {
    const fewer = tasksOf({ line, sheet }, { ...table, rows: table.rows.slice(1, 2) }, 'day');
    expect(fewer[0]?.tick).toBe('day/cables/W02');
  });
  it('know the drawing of their sheet', () => expect(tasks[0]?.drawing).toBe('/drawing.svg'));
});
