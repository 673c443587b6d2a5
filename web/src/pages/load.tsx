// What goes into the van: parts and cable to cut, ticked off as they are carried out.

import { useJob } from '../job';
import { useQuery } from '../location';
import { AddKit } from '../parts/AddKit';
import { Strip } from '../parts/Strip';
import { TickList, TickTrouble } from '../parts/TickList';
import { Title } from '../parts/Title';
import { Waiting } from '../parts/Waiting';
import { hasTicks, tablesOf, tasksOf, useSheets, type Task } from '../sheetTables';
import { useTicks, type Ticks } from '../ticks';
import { counted } from '../units';

export function Page() {
  const { id, view, revision } = useJob();
  const found = useSheets(id, revision, ['parts', 'cables']);
  const ticks = useTicks(id);
  const [query, setQuery] = useQuery();
  const text = query.get('has') ?? '';
  const onlyLeft = query.get('left') === 'only';

  const lists = (found.data ?? []).flatMap((loaded) =>
    tablesOf(loaded.sheet)
      .filter(hasTicks)
      .filter((table) => table.rows.length > 0)
      .map((table) => ({
        key: `${loaded.line.id} ${table.heading}`,
        title:
          loaded.line.kind === 'cables'
            ? 'Cables to cut and label'
            : table.heading.split(';')[0] || loaded.sheet.title,
        tasks: tasksOf(loaded, table, 'load').filter((task) => loaded.line.kind !== 'cables' || isCut(task)),
      })),
  );
  const all = lists.flatMap((list) => list.tasks);
  const left = all.filter((task) => !ticks.done(task.tick)).length;

  return (
    <div class="page">
      <Title page="Load" of={view.name} />
      {found.trouble ? <Strip trouble={found.trouble} onAgain={found.reload} /> : null}
      <TickTrouble ticks={ticks} />
      {found.data === null && !found.trouble ? <Waiting for="the lists" /> : null}
      {found.data ? (
        <>
          <p role="status" class="figure">
            {all.length === 0
              ? 'Nothing to load yet: the job lists no new kit and no cable.'
              : leftWords(left, all.length)}
          </p>
          {all.length === 0 ? <AddKit job={id} /> : null}
          {all.length > 0 ? (
            <div class="actions">
              <label class="field">
                <span>Show what has these words</span>
                <input
                  type="search"
                  value={text}
                  onInput={(event) => setQuery({ has: event.currentTarget.value || null }, 'replace')}
                />
              </label>
              <label class="check">
                <input
                  type="checkbox"
                  checked={onlyLeft}
                  onChange={(event) =>
                    setQuery({ left: event.currentTarget.checked ? 'only' : null }, 'replace')
                  }
                />
                Only what is left
              </label>
            </div>
          ) : null}
          {lists.map(({ key, ...list }) => (
            <TickList
              key={key}
              {...list}
              ticks={ticks}
              shows={(task) => shows(task, text, onlyLeft, ticks)}
            />
          ))}
          <p class="note">
            Fixings, tools and ladders are not worked out: take those by the shop’s own list.
          </p>
        </>
      ) : null}
    </div>
  );
}

/** A cable without a length is in the house already, comes ready made, or is still to be measured. */
function isCut(task: Task): boolean {
  return task.cells.some((cell) => cell.holds === 'number');
}

function leftWords(left: number, of: number): string {
  return left === 0 ? `All ${of} ticked` : `${counted(left, 'line')} of ${of} left to load`;
}

function shows(task: Task, text: string, onlyLeft: boolean, ticks: Ticks): boolean {
  if (onlyLeft && ticks.done(task.tick)) return false;
  const all = [task.name, ...task.cells.map((cell) => cell.text)].join(' ').toLocaleLowerCase();
  return text
    .toLocaleLowerCase()
    .split(/\s+/)
    .every((word) => all.includes(word));
}
