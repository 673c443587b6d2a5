// What a finding waits for: each with a field that takes it, or the way to the page that has one.

import { useState } from 'preact/hooks';

import { catalogue, spaces, reasonOf, troubleOf } from '../api/client';
import type { Edit, Json, Need } from '../api/schema';
import { useJob } from '../job';
import { useMay } from '../may';
import { ChoiceField, TextField } from '../parts/Field';
import { link } from '../routes';
import { choicesOf, follow, get, hasLines, holds, isList } from '../schemaNode';
import { useResource } from '../useResource';
import { placeOf } from '../walk/place';

/** `onSave` hears that a field may go. */
export function Needs({ needs, onSave }: { needs: readonly Need[]; onSave: () => void }) {
  const job = useJob();
  const may = useMay();
  const schema = useResource('schema', catalogue.schema);
  return (
    <ul class="needs">
      {needs.map((need) => {
        const node = schema.data ? nodeAt(schema.data, need.at) : undefined;
        const asked = may === 'change' && isTyped(schema.data, node) && !need.at.startsWith('space.');
        return (
          <li key={need.at}>
            {asked ? (
              <NeedField need={need} node={node} onSave={onSave} />
            ) : (
              <>
                {need.what} <span class="soft">{need.tool}</span> <Way job={job.id} at={need.at} />
              </>
            )}
          </li>
        );
      })}
    </ul>
  );
}

/** The page whose form has a fact that no single field takes. */
function Way({ job, at }: { job: string; at: string }) {
  const [head, id = '', fact] = at.split('.');
  switch (head) {
    case 'space':
      // A room as a whole: what it asks for says itself where that is done.
      return fact === undefined ? null : (
        <a href={link('walk', { id: job }, { room: id, ...placeOf(at), field: at })}>Type it in Walk</a>
      );
    case 'item':
      return <a href={link('fit', { id: job }, { at: `item:${id}` })}>Show the thing</a>;
    case 'kit':
      return <span class="soft">It goes into the job’s file, at {at}.</span>;
    default:
      return <a href={link('house', { id: job })}>Type it in House</a>;
  }
}

const FLAGS = [
  { value: 'true', label: 'yes' },
  { value: 'false', label: 'no' },
];

function NeedField({ need, node, onSave }: { need: Need; node: unknown; onSave: () => void }) {
  const job = useJob();
  const [typed, setTyped] = useState('');
  const [error, setError] = useState<string | null>(null);
  const isFlag = holds(node, 0) === 'flag';
  const choices = isFlag ? FLAGS : choicesOf(node);
  const commit = async (given: string) => {
    const text = given.trim();
    if (text === '') return setError(null);
    let edit: Edit;
    try {
      if (isFlag) edit = { at: need.at, set: text === 'true' };
      else if (isList(node)) edit = { at: need.at, set: several(text) };
      else edit = (await spaces.field(job.id, need.at, text)).edit;
    } catch (thrown) {
      return setError(reasonOf(troubleOf(thrown)));
    }
    onSave();
    const outcome = await job.attempt({ edits: [edit], summary: `${need.what}: ${text}` });
    setError(outcome.is === 'refused' ? reasonOf(outcome.trouble) : null);
    if (outcome.is === 'sent') setTyped('');
  };
  const unit = get(node, 'x-bare-unit');
  const help = isList(node) ? `${need.tool}; commas between them` : need.tool;
  const common = { label: need.what.charAt(0).toUpperCase() + need.what.slice(1), help, error };
  if (choices.length > 0) {
    const all = [{ value: '', label: 'not said' }, ...choices];
    return <ChoiceField {...common} value={typed} choices={all} onChoose={(value) => void commit(value)} />;
  }
  return (
    <TextField
      {...common}
      unit={typeof unit === 'string' && unit !== '1' && !/[^\d.,\s\u2212-]/.test(typed) ? unit : null}
      lines={hasLines(node)}
      value={typed}
      onInput={setTyped}
      onCommit={(text) => void commit(text)}
      autocomplete="off"
    />
  );
}

/** What may stand at a path of the document; in a list an id or a number takes one of its elements. */
export function nodeAt(schema: unknown, at: string): unknown {
  return at.split('.').reduce((here: unknown, segment) => {
    const node = follow(schema, here);
    if (isList(node)) return follow(schema, get(node, 'items'));
    return follow(schema, get(get(node, 'properties'), segment));
  }, schema);
}

/** Whether one field takes it: a plain fact, or several with commas between them. */
export function isTyped(schema: unknown, node: unknown): boolean {
  const one = isList(node) ? follow(schema, get(node, 'items')) : node;
  return one !== undefined && !isList(one) && get(one, 'properties') === undefined;
}

function several(text: string): Json[] {
  const parts = text.split(',').map((part) => part.trim());
  return parts.filter((part) => part !== '').map((part) => (Number.isFinite(Number(part)) ? Number(part) : part));
}
