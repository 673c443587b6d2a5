// What has changed in a job, by whom, and how two of its revisions differ.

import { useState } from 'preact/hooks';

import { jobs, troubleOf, type Trouble } from '../api/client';
import type { Revision } from '../api/schema';
import { useJob } from '../job';
import { LOOKS_ONLY, useMay } from '../may';
import { Button } from '../parts/Button';
import { Compare } from '../parts/Compare';
import { ContestedFacts } from '../parts/Contested';
import { Strip } from '../parts/Strip';
import { Table } from '../parts/Table';
import { Title } from '../parts/Title';
import { Waiting } from '../parts/Waiting';
import { say } from '../status';
import { counted, when } from '../units';
import { useResource } from '../useResource';

/** So many at first; a job that a crew works on has hundreds. */
const SHOWN = 20;

export function Page() {
  const { id, view, revision, undo, redo } = useJob();
  const history = useResource(`${id} ${revision}`, (signal) => jobs.history(id, signal));
  const [all, setAll] = useState(false);
  const [trouble, setTrouble] = useState<Trouble | null>(null);
  const revisions = history.data ?? [];
  const may = useMay();
  const because = (what: string | null, word: string): string | null =>
    may === 'look' ? LOOKS_ONLY : what === null ? `Nothing to ${word}` : null;

  async function name(n: number, text: string) {
    setTrouble(null);
    try {
      await jobs.nameRevision(id, n, text);
      say(text === '' ? `Revision ${n} has no name` : `Revision ${n} is named ${text}`);
      history.reload();
    } catch (thrown) {
      setTrouble(troubleOf(thrown));
    }
  }

  return (
    <div class="page">
      <Title page="History" of={view.name} />
      {trouble ? <Strip trouble={trouble} onClose={() => setTrouble(null)} /> : null}
      {history.trouble ? <Strip trouble={history.trouble} onAgain={history.reload} /> : null}
      <div class="actions">
        <span class="with-reason">
          <Button because={because(view.undo, 'undo')} onPress={() => void undo()}>
            {view.undo === null ? 'Undo' : `Undo: ${view.undo}`}
          </Button>
        </span>
        <span class="with-reason">
          <Button because={because(view.redo, 'redo')} onPress={() => void redo()}>
            {view.redo === null ? 'Redo' : `Redo: ${view.redo}`}
          </Button>
        </span>
      </div>
      <ContestedFacts />
      <section>
        <h2>Revisions</h2>
        <p class="soft">
          Newest first. A name (“as quoted”, “as agreed on site”) makes one easy to find again.
        </p>
        {history.data === null && !history.trouble ? <Waiting for="the revisions" /> : null}
        {history.data ? (
          <Table
            caption="Revisions"
            captionHidden
            stacks
            columns={[
              { head: 'No.', numeric: true },
              { head: 'What changed' },
              { head: 'Who and when' },
              { head: 'Name' },
            ]}
            rows={(all ? revisions : revisions.slice(0, SHOWN)).map((one) => ({
              key: String(one.n),
              cells: [
                one.n,
                one.undone ? <Undone summary={one.summary} /> : one.summary,
                `${one.who}, ${when(one.when)}`,
                <NameCell
                  key={`${one.n} ${one.name ?? ''}`}
                  revision={one}
                  onName={(text) => void name(one.n, text)}
                />,
              ],
            }))}
          />
        ) : null}
        {!all && revisions.length > SHOWN ? (
          <Button onPress={() => setAll(true)}>
            Show the {counted(revisions.length - SHOWN, 'earlier revision')}
          </Button>
        ) : null}
      </section>
      {history.data ? (
        <section>
          <h2>Compare two</h2>
          <Compare id={id} revisions={revisions} sides={{ from: 'Earlier', to: 'Later' }} />
        </section>
      ) : null}
      <section>
        <h2>Take it along</h2>
        <p class="soft">The job file is one text that every dryfit reads; the bundle holds its photographs too.</p>
        <p class="actions">
          <a class="button" href={jobs.fileUrl(id)} download>
            Download the job file
          </a>
          <a class="button" href={jobs.bundleUrl(id)} download>
            Download the bundle
          </a>
        </p>
      </section>
    </div>
  );
}

/** Taken back by a later revision; it stays in the list, since redo makes it again. */
function Undone({ summary }: { summary: string }) {
  return (
    <span class="soft">
      <s>{summary}</s> (undone)
    </span>
  );
}

function NameCell({ revision, onName }: { revision: Revision; onName: (name: string) => void }) {
  const [editing, setEditing] = useState(false);
  const [text, setText] = useState(revision.name ?? '');
  if (!editing) {
    return (
      <span class="actions">
        {revision.name ? <strong>{revision.name}</strong> : null}
        <Button
          kind="quiet"
          label={revision.name ? `Rename revision ${revision.n}` : `Give it a name: revision ${revision.n}`}
          onPress={() => setEditing(true)}
        >
          {revision.name ? 'Rename' : 'Give it a name'}
        </Button>
      </span>
    );
  }
  const save = () => {
    setEditing(false);
    onName(text.trim());
  };
  return (
    <form
      class="actions"
      onSubmit={(event) => {
        event.preventDefault();
        save();
      }}
    >
      <input
        type="text"
        value={text}
        aria-label={`Name of revision ${revision.n}`}
        autoFocus
        maxLength={80}
        onInput={(event) => setText(event.currentTarget.value)}
        onKeyDown={(event) => {
          if (event.key === 'Escape') setEditing(false);
        }}
      />
      <Button submit>Save the name</Button>
    </form>
  );
}
