// Things to tick off, each with what its sheet says of it.

import { useMay } from '../may';
import type { Ticks } from '../ticks';
import type { Task } from '../sheetTables';
import { when } from '../units';
import { Strip } from './Strip';

type Props = { title: string; tasks: readonly Task[]; ticks: Ticks; shows: (task: Task) => boolean };

export function TickList({ title, tasks, ticks, shows }: Props) {
  const left = tasks.filter((task) => !ticks.done(task.tick)).length;
  const shown = tasks.filter(shows);
  return (
    <section>
      <h2>
        {title} <span class="soft left">{left === 0 ? 'all ticked' : `${left} of ${tasks.length} left`}</span>
      </h2>
      {shown.length === 0 ? <p class="soft">None of them matches.</p> : null}
      <ul class="ticks">
        {shown.map((task) => (
          <li key={task.tick}>
            <TickRow task={task} ticks={ticks} />
          </li>
        ))}
      </ul>
    </section>
  );
}

export function TickRow({ task, ticks }: { task: Task; ticks: Ticks }) {
  const by = ticks.by(task.tick);
  const may = useMay();
  return (
    <label class="tick">
      <input
        type="checkbox"
        checked={ticks.done(task.tick)}
        disabled={may === 'look'}
        onChange={(event) => ticks.set(task.tick, event.currentTarget.checked)}
      />
      <span>
        <span class="tick-name">{task.name}</span>
        <span class="tick-cells soft">
          {task.cells.map((cell) => (
            <span key={cell.head}>
              {cell.head}: {cell.text}
            </span>
          ))}
          {by ? (
            <span>
              ticked by {by.who}, {when(by.when)}
            </span>
          ) : null}
        </span>
      </span>
    </label>
  );
}

/** Why ticks can't be read, or one was not taken. What waits is told by the job's frame. */
export function TickTrouble({ ticks }: { ticks: Ticks }) {
  return ticks.trouble ? <Strip trouble={ticks.trouble} onAgain={ticks.retry} /> : null;
}
