// A list of the job that belongs to no room: its elements to open, and a form for a further one.

import { useState } from 'preact/hooks';

import type { Json } from '../api/schema';
import { useJob } from '../job';
import { useMay } from '../may';
import { Button } from '../parts/Button';
import { link } from '../routes';
import { idsAt, listAt, shownAt } from '../walk/document';
import { withFact } from './element';
import { Facts } from './Facts';
import { FactInput } from './Rows';
import { valueOf, type Shape } from './shapes';

export type Part = { path: string; heading: string; one: string; empty: string };
type Props = { part: Part; shapes: readonly Shape[] };

const withArticle = (name: string) => `${/^[aeiou]/.test(name) ? 'an' : 'a'} ${name}`;

export function List({ part, shapes }: Props) {
  const job = useJob();
  const may = useMay();
  const { document } = job.view;
  const ids = idsAt(document, part.path);
  const facts = shapes.filter(({ path }) => path !== 'id');
  return (
    <section class="house-part" aria-label={part.heading}>
      <h2>{part.heading}</h2>
      {ids.length === 0 ? <p class="soft">{part.empty}</p> : null}
      {ids.map((id) => {
        const path = `${part.path}.${id}`;
        const said = facts.filter(({ isRequired }) => isRequired).map((shape) => shownAt(document, `${path}.${shape.path}`));
        return (
          <details key={id} class="thing">
            <summary>
              <strong>{id}</strong> <span class="soft">{said.filter(Boolean).join(', ')}</span>
            </summary>
            <Facts path={path} label={id} shapes={facts} />
            {part.path === 'cable' ? (
              <p>
                <a href={link('fit', { id: job.id }, { cable: id })}>Its way, and what else there would be</a>
              </p>
            ) : null}
            {may === 'change' ? (
              <p class="actions">
                <Button
                  kind="quiet"
                  onPress={() => void job.save({ edits: [{ at: path, set: null }], summary: `Take ${id} away` })}
                >
                  Take away: {id}
                </Button>
              </p>
            ) : null}
          </details>
        );
      })}
      {may === 'change' ? <Add part={part} shapes={shapes} taken={ids} /> : null}
    </section>
  );
}

type AddProps = Props & { taken: readonly string[] };

/** Asks for what must be there; the rest is typed once it is. */
function Add({ part, shapes, taken }: AddProps) {
  const job = useJob();
  const [open, setOpen] = useState(false);
  const [texts, setTexts] = useState<ReadonlyMap<string, string>>(new Map());
  const asked = shapes.filter(({ isRequired }) => isRequired).flatMap(questions);
  const textOf = ({ shape }: Question) => texts.get(shape.path)?.trim() ?? '';
  const none = asked.find(({ shape }) => shape.holds === 'choice' && shape.choices.length === 0)?.shape;
  const blank = asked.find((question) => question.shape.isRequired && textOf(question) === '')?.shape;
  const isTaken = taken.includes(texts.get('id')?.trim() ?? '');
  const because = none
    ? `This job has nothing yet that ${none.label.toLowerCase()} could name.`
    : blank
      ? `${blank.path === 'id' ? 'Name' : blank.label} is blank.`
      : isTaken
        ? 'There is one of that name.'
        : null;
  const add = async () => {
    const told = asked.filter((question) => textOf(question) !== '');
    const set = told.reduce<Json>((built, question) => question.put(built, valueOf(question.shape, textOf(question))), {});
    const id = texts.get('id')?.trim() ?? '';
    const edits =
      listAt(job.view.document, part.path).length === 0
        ? [{ at: part.path, set: [set] }]
        : [{ at: `${part.path}.${id}`, set }];
    const outcome = await job.change({ edits, summary: `Add ${part.one} ${id}` });
    if (outcome.is === 'refused') return;
    setTexts(new Map());
    setOpen(false);
  };
  if (!open) return <Button onPress={() => setOpen(true)}>Add {withArticle(part.one)}</Button>;
  return (
    <form
      class="house-add"
      aria-label={`A further ${part.one}`}
      onSubmit={(event) => {
        event.preventDefault();
        if (because === null) void add();
      }}
    >
      <div class="fields">
        {asked.map(({ shape }) => (
          <FactInput
            key={shape.path}
            shape={shape.path === 'id' ? { ...shape, label: 'Name' } : shape}
            value={texts.get(shape.path) ?? ''}
            onInput={(text) => setTexts((old) => new Map(old).set(shape.path, text))}
          />
        ))}
      </div>
      <p class="actions">
        <Button submit kind="main" because={because}>
          Add this {part.one}
        </Button>
        <Button kind="quiet" onPress={() => setOpen(false)}>
          Leave it
        </Button>
      </p>
    </form>
  );
}

/** What is asked of a further one, and where the answer goes. */
type Question = { shape: Shape; put: (built: Json, set: Json) => Json };

/** Of rows that must be there: each fact of each. */
function questions(shape: Shape): Question[] {
  if (shape.holds !== 'rows') return [{ shape, put: (built, set) => withFact(built, shape.path, set) }];
  return Array.from({ length: shape.rowsLeast }, (_, row) => row).flatMap((row) =>
    shape.columns.map((column): Question => ({
      shape: {
        ...column,
        path: `${shape.path}.${row}.${column.path}`,
        label: `${shape.label} ${row + 1}: ${column.label.charAt(0).toLowerCase()}${column.label.slice(1)}`,
      },
      put: (built, set) => {
        const rows = listAt(built, shape.path) as Json[]; // It was built here.
        const all = Array.from({ length: shape.rowsLeast }, (_, at) => rows[at] ?? {});
        return withFact(built, shape.path, all.map((one, at) => (at === row ? withFact(one, column.path, set) : one)));
      },
    })),
  );
}
