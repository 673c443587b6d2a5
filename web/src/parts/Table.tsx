// A table of texts: figures line up on the right, words on the left.

import type { ComponentChildren } from 'preact';

export type Column = { head: string; numeric?: boolean };

type Props = {
  caption: string;
  /** The caption is for screen readers only when a heading above says the same. */
  captionHidden?: boolean;
  columns: readonly Column[];
  rows: readonly { key: string; cells: readonly ComponentChildren[] }[];
  total?: string | null;
};

export function Table({ caption, captionHidden = false, columns, rows, total }: Props) {
  return (
    // Scrolls by itself where it is wider than the page, and can be reached by keys to do so.
    <div class="table-scroll" tabIndex={0} role="region" aria-label={caption}>
      <table>
        <caption class={captionHidden ? 'sr-only' : ''}>{caption}</caption>
        <thead>
          <tr>
            {columns.map((column) => (
              <th key={column.head} scope="col" class={column.numeric ? 'numeric' : ''}>
                {column.head}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.map((row) => (
            <tr key={row.key}>
              {row.cells.map((cell, index) => (
                <td key={index} class={columns[index]?.numeric ? 'numeric' : ''}>
                  {cell}
                </td>
              ))}
            </tr>
          ))}
        </tbody>
        {total ? (
          <tfoot>
            <tr>
              <td colSpan={columns.length}>{total}</td>
            </tr>
          </tfoot>
        ) : null}
      </table>
    </div>
  );
}
