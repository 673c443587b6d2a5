// One entry of the catalogue: each fact as its spec sheet has it, and where it was read.

import { useMemo, useState } from 'preact/hooks';

import { catalogue, reasonOf, troubleOf, type Trouble } from '../api/client';
import type { CatalogueEntry, CatalogueKind, Json } from '../api/schema';
import { asksOf } from '../house/sockets';
import { RowsForm } from '../house/Rows';
import { shapesOf as rowsOf } from '../house/shapes';
import { Button } from '../parts/Button';
import { ChoiceField, TextField } from '../parts/Field';
import { Strip } from '../parts/Strip';
import { Wrong } from '../parts/Wrong';
import { say, saying } from '../status';
import { freeId, listAt, quoted } from '../walk/document';
import { draftOf, dropDraft, keepDraft, type EntryDraft } from './draft';
import { factsOf, nameOf, readFromOf, shapesOf, textsOf, type FactShape } from './facts';

type Props = {
  kind: CatalogueKind;
  /** Null for one that is new. */
  entry: CatalogueEntry | null;
  schema: unknown;
  onSaved: (id: string) => void;
  onGone: () => void;
  onClose: () => void;
};

export function EntryForm({ kind, entry, schema, onSaved, onGone, onClose }: Props) {
  const shapes = useMemo(() => shapesOf(schema, kind.kind, kind.facts), [schema, kind]);
  const saved = (): EntryDraft => ({
    texts: textsOf(entry?.facts, shapes),
    read: readFromOf(entry?.facts),
    ports: listAt(entry?.facts, 'port') as Json[], // A document is JSON.
  });
  const draftKey = [kind.kind, entry?.id ?? null] as const;
  const [found, setFound] = useState(() => draftOf(...draftKey));
  const [typed, setTyped] = useState(() => found ?? saved());
  const { texts, read, ports } = typed;
  const type = (change: (old: EntryDraft) => Partial<EntryDraft>) => {
    const now = { ...typed, ...change(typed) };
    keepDraft(...draftKey, now);
    setTyped(now);
  };
  const throwAway = () => {
    dropDraft(...draftKey);
    setFound(null);
    setTyped(saved());
    setTrouble(null);
    setNameless(false);
  };
  const sockets = useMemo(
    () => rowsOf(schema, null, `kit.${kind.kind}`).find(({ path }) => path === 'port'),
    [schema, kind],
  );
  const [trouble, setTrouble] = useState<Trouble | null>(null);
  const [nameless, setNameless] = useState(false);
  const [refusals, setRefusals] = useState(0);

  const save = async () => {
    const name = texts.get('name')?.trim() ?? '';
    if (entry === null && name === '') {
      setNameless(true);
      return setRefusals(refusals + 1);
    }
    const taken = kind.entries.map(({ id }) => id);
    const id = entry?.id ?? freeId(name, taken);
    setTrouble(null);
    try {
      await saying('Saving …', catalogue.put(kind.kind, id, withPorts(factsOf(id, texts, read, shapes), ports)));
      dropDraft(...draftKey);
      say(`Saved ${name || id}.`);
      onSaved(id);
    } catch (thrown) {
      setTrouble(troubleOf(thrown));
      setRefusals(refusals + 1);
    }
  };
  const remove = async () => {
    if (!entry) return;
    try {
      await catalogue.remove(kind.kind, entry.id);
      dropDraft(...draftKey);
      say(`${entry.name} is out of the catalogue. Jobs that use it keep their copy.`);
      onGone();
    } catch (thrown) {
      setTrouble(troubleOf(thrown));
    }
  };
  const shapeAt = (at: string | null) =>
    shapes.find(({ path }) => path === at || (at !== null && at.startsWith(`${path}.`)));
  const known = shapeAt(trouble?.at ?? null);
  const errorOf = (path: string) => {
    if (path === 'name' && nameless) return 'The entry has no name: type one.';
    const wrong = trouble?.problems.find(({ at }) => shapeAt(at ?? null)?.path === path);
    if (wrong) return [wrong.says, wrong.accepted ? `accepted: ${wrong.accepted}` : ''].filter(Boolean).join('; ');
    return trouble && known?.path === path ? reasonOf(trouble) : null;
  };
  const names = [...new Set(shapes.map(({ path }) => nameOf(path)))];
  return (
    <form
      class="entry"
      aria-label={entry ? entry.name : `New ${kind.kind}`}
      onSubmit={(event) => {
        event.preventDefault();
        void save();
      }}
    >
      <div class="entry-head">
        <h2>{entry ? entry.name : `New ${kind.kind}`}</h2>
        <Button kind="quiet" onPress={onClose}>
          Close
        </Button>
      </div>
      {trouble && !known ? <Strip trouble={trouble} onClose={() => setTrouble(null)} /> : null}
      {found ? (
        <p class="note" role="status">
          What was typed here before and not saved is kept.{' '}
          <Button kind="quiet" onPress={throwAway}>
            Throw it away
          </Button>
        </p>
      ) : null}
      <p class="soft small">What is not on the spec sheet may stay blank: dryfit then asks for it where it decides.</p>
      {names.map((name) => (
        <div key={name} class="entry-fact">
          <div class="entry-parts">
            {shapes
              .filter(({ path }) => nameOf(path) === name)
              .map((shape, index) => (
                <FactInput
                  key={shape.path}
                  shape={index === 0 ? shape : { ...shape, help: '' }}
                  text={texts.get(shape.path) ?? ''}
                  error={errorOf(shape.path)}
                  onInput={(text) => {
                    if (shape.path === 'name') setNameless(false);
                    type((old) => ({ texts: new Map(old.texts).set(shape.path, text) }));
                  }}
                />
              ))}
          </div>
          {name === 'name' ? null : (
            <TextField
              label={`Where ${name.replaceAll('_', ' ')} was read`}
              value={read.get(name) ?? ''}
              onInput={(text) => type((old) => ({ read: new Map(old.read).set(name, text) }))}
              autocomplete="off"
            />
          )}
        </div>
      ))}
      {sockets ? (
        <RowsForm
          shape={sockets}
          rows={ports}
          asks={asksOf}
          onRows={(rows) => {
            type(() => ({ ports: rows }));
            return Promise.resolve({ is: 'sent', saved: null });
          }}
        />
      ) : null}
      <Wrong round={refusals} />
      <p class="actions entry-foot">
        <Button kind="main" submit>
          {entry ? 'Save the entry' : 'Add to the catalogue'}
        </Button>
        {entry ? (
          <Button kind="quiet" onPress={() => void remove()}>
            Take it out of the catalogue
          </Button>
        ) : null}
      </p>
    </form>
  );
}

/** With the sockets, which are saved with the rest of the entry. */
function withPorts(facts: { [key: string]: Json }, ports: Json[]): { [key: string]: Json } {
  return ports.length === 0 ? facts : { ...facts, port: ports };
}

type InputProps = { shape: FactShape; text: string; error: string | null; onInput: (text: string) => void };

function FactInput({ shape, text, error, onInput }: InputProps) {
  const common = { label: shape.label, help: quoted(shape.help), error };
  const choices =
    shape.holds === 'flag'
      ? [
          { value: 'true', label: 'yes' },
          { value: 'false', label: 'no' },
        ]
      : shape.choices;
  if (choices.length > 0) {
    return (
      <ChoiceField {...common} value={text} choices={[{ value: '', label: 'not said' }, ...choices]} onChoose={onInput} />
    );
  }
  return <TextField {...common} unit={shape.unit} lines={shape.lines} value={text} onInput={onInput} autocomplete="off" />;
}
