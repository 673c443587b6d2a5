// A table of texts: figures line up on the right, words on the left.

import type { ComponentChildren } from 'preact';

export type Column = { head: string; numeric?: boolean };

type Props = {
  caption: string;
  /** The caption is for screen readers only when a heading above says the same. */
  captionHidden?: boolean;
  columns: readonly Column[];
  rows: readonly { key: string; cells: readonly ComponentChildren[] }[];
  /** A last row, each cell under its column. */
  total?: readonly ComponentChildren[] | null;
  /** Each row becomes a block on a narrow screen: for columns of prose. */
  stacks?: boolean;
};

export function Table({ caption, captionHidden = false, columns, rows, total, stacks = false }: Props) {
  return (
    // Scrolls by itself where it is wider than the page, and can be reached by keys to do so.
    <div class="table-scroll" tabIndex={0} role="region" aria-label={caption}>
      {/* Roles said outright, since a table laid out as blocks would lose them. */}
      <table role="table" class={stacks ? 'stacks' : ''}>
        <caption class={captionHidden ? 'sr-only' : ''}>{caption}</caption>
        <thead role="rowgroup">
          <tr role="row">
            {columns.map((column) => (
              <th key={column.head} role="columnheader" scope="col" class={column.numeric ? 'numeric' : ''}>
                {column.head}
              </th>
            ))}
          </tr>
        </thead>
        <tbody role="rowgroup">
          {rows.map((row) => (
            <tr key={row.key} role="row">
              {row.cells.map((cell, index) => (
                <td
                  key={index}
                  role="cell"
                  data-head={columns[index]?.head}
                  class={columns[index]?.numeric ? 'numeric' : ''}
                >
                  {cell}
                </td>
              ))}
            </tr>
          ))}
        </tbody>
        {total ? (
          <tfoot role="rowgroup">
            <tr role="row">
              {total.map((cell, index) => (
                <td
                  key={index}
                  role="cell"
                  data-head={cell === '' ? undefined : columns[index]?.head}
                  class={columns[index]?.numeric ? 'numeric' : ''}
                >
                  {cell}
                </td>
              ))}
            </tr>
          </tfoot>
        ) : null}
      </table>
    </div>
  );
}
