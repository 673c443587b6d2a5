// The day on site: each cable and each thing to fit as a task, with its drawing, one hand on the ladder.

import { useEffect, useRef } from 'preact/hooks';

import { useJob } from '../job';
import { useQuery } from '../location';
import { LOOKS_ONLY, useMay } from '../may';
import { AddKit } from '../parts/AddKit';
import { Cautions } from '../parts/SheetView';
import { Strip } from '../parts/Strip';
import { TickTrouble } from '../parts/TickList';
import { Title } from '../parts/Title';
import { Verdict } from '../parts/Verdict';
import { Waiting } from '../parts/Waiting';
import { Button } from '../parts/Button';
import { verdictOf } from '../parts/SheetView';
import { link } from '../routes';
import { hasTicks, tablesOf, tasksOf, useSheets, type Task } from '../sheetTables';
import { useTicks } from '../ticks';
import { counted } from '../units';
import { CutOuts } from '../wiring/CutOuts';
import { Racks } from '../wiring/Racks';
import { useWiring } from '../wiring/useWiring';

/** What comes sooner after a press than anybody means it. */
const DOUBLE_TAP_MS = 500;

export function Page() {
  const { id, view, revision } = useJob();
  const found = useSheets(id, revision, ['cables', 'wall', 'ceiling', 'plan']);
  const ticks = useTicks(id);
  const [query, setQuery] = useQuery();
  const may = useMay();
  const wired = useWiring();

  const sheets = found.data ?? [];
  const tasks = sheets.flatMap((loaded) =>
    tablesOf(loaded.sheet)
      .filter(hasTicks)
      .flatMap((table) => tasksOf(loaded, table, 'day')),
  );
  const open = tasks.filter((task) => !ticks.done(task.tick));
  const done = tasks.filter((task) => ticks.done(task.tick));
  const now = open.find((task) => task.tick === query.get('task')) ?? open[0] ?? null;
  // Pressed below or done: the card that took its place is what to look at next.
  const moves = useRef(false);
  const status = useRef<HTMLParagraphElement>(null);
  useEffect(() => {
    if (!moves.current) return;
    moves.current = false;
    const head = document.getElementById('now');
    (head ?? status.current)?.focus({ preventScroll: true });
    (head?.closest('section') ?? status.current)?.scrollIntoView({ block: 'nearest' });
    head?.scrollIntoView({ block: 'nearest' });
  }, [now?.tick]);
  const doneAt = useRef(-Infinity);
  const finish = (tick: string) => {
    // The second tap of a double one falls on the task that has taken the place of the first.
    if (performance.now() - doneAt.current < DOUBLE_TAP_MS) return;
    doneAt.current = performance.now();
    moves.current = true;
    ticks.set(tick, true);
  };
  const cautions = [
    ...new Set(sheets.filter(({ line }) => line.id === now?.sheet.id).flatMap(({ sheet }) => sheet.cautions)),
  ];

  return (
    <div class="page day">
      <Title page="Day" of={view.name} />
      {found.trouble ? <Strip trouble={found.trouble} onAgain={found.reload} /> : null}
      <TickTrouble ticks={ticks} />
      {found.data === null && !found.trouble ? <Waiting for="the tasks" /> : null}
      {found.data ? (
        <>
          <p ref={status} role="status" class="soft" tabIndex={-1}>
            {tasks.length === 0
              ? 'No cable to pull and nothing to fit is listed yet.'
              : open.length === 0
                ? `All ${counted(tasks.length, 'task')} done.`
                : `${counted(open.length, 'task')} left of ${tasks.length}.`}
          </p>
          {tasks.length === 0 ? <AddKit job={id} /> : null}
          {now ? <Now key={now.tick} id={id} task={now} onDone={() => finish(now.tick)} /> : null}
          <Cautions cautions={cautions} />
          {open.length > 1 ? (
            <section>
              <h2>Later</h2>
              <p class="note">
                In the order of the sheets. The shortest order of the day is not computed yet: the crew
                chooses, and pressing a task brings it up.
              </p>
              <ul class="later">
                {open
                  .filter((task) => task !== now)
                  .map((task) => (
                    <li key={task.tick}>
                      <a
                        href={link('day', { id }, { task: task.tick })}
                        onClick={() => {
                          moves.current = true;
                        }}
                      >
                        <strong>{task.name}</strong> <span class="soft">{task.sheet.title}</span>
                      </a>
                    </li>
                  ))}
              </ul>
            </section>
          ) : null}
          {wired.data ? (
            <>
              <CutOuts cutOuts={wired.data.cut_outs} />
              <Racks racks={wired.data.racks} />
            </>
          ) : null}
          {done.length > 0 ? (
            <details>
              <summary>Done: {done.length}</summary>
              <ul class="later">
                {done.map((task) => (
                  <li key={task.tick} class="actions">
                    <span>
                      {task.name} <span class="soft">{task.sheet.title}</span>
                    </span>
                    <Button
                      kind="quiet"
                      busy={may === 'look'}
                      label={`Not done after all: ${task.name}`}
                      onPress={() => {
                        moves.current = true;
                        ticks.set(task.tick, false);
                        setQuery({ task: task.tick }, 'replace');
                      }}
                    >
                      Not done after all
                    </Button>
                  </li>
                ))}
              </ul>
            </details>
          ) : null}
        </>
      ) : null}
    </div>
  );
}

function Now({ id, task, onDone }: { id: string; task: Task; onDone: () => void }) {
  const may = useMay();
  return (
    <section class="now" aria-labelledby="now">
      <p class="soft">{task.sheet.title}</p>
      <h2 id="now" tabIndex={-1}>{task.name}</h2>
      <dl class="facts">
        {task.cells.map((cell) => (
          <div key={cell.head}>
            <dt>{cell.head}</dt>
            <dd>{cell.holds === 'verdict' ? <VerdictOr text={cell.text} /> : cell.text}</dd>
          </div>
        ))}
      </dl>
      <p class="actions">
        <Button
          kind="main"
          label={`Done: ${task.name}`}
          because={may === 'look' ? LOOKS_ONLY : null}
          onPress={onDone}
        >
          Done
        </Button>
        <a href={link('sheets', { id }, { sheet: task.sheet.id })}>
          {task.drawing ? 'Open its drawing' : 'Open its sheet'}
        </a>
      </p>
    </section>
  );
}

function VerdictOr({ text }: { text: string }) {
  const verdict = verdictOf(text);
  return verdict ? <Verdict verdict={verdict} /> : <>{text}</>;
}
