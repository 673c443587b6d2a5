// A file of what waited, read back in: on the device that saved it or another one. Each operation is sent once.

import { useState } from 'preact/hooks';

import { jobs, troubleOf, type Trouble } from '../api/client';
import { Strip } from '../parts/Strip';
import { link } from '../routes';
import { saying } from '../status';
import { counted, when } from '../units';
import { wordsOf, type Entry } from './entry';
import { read } from './file';
import { outbox, type Outcome } from './index';

type Came = { entry: Entry; outcome: Outcome };

export function ReadWaiting() {
  const [came, setCame] = useState<{ file: string; all: readonly Came[]; names: ReadonlyMap<string, string> } | null>(
    null,
  );
  const [trouble, setTrouble] = useState<Trouble | null>(null);

  const choose = async (file: File) => {
    setTrouble(null);
    setCame(null);
    let entries: Entry[];
    try {
      entries = read(await file.text());
    } catch (thrown) {
      const message = thrown instanceof Error ? thrown.message : String(thrown);
      const hint = 'Choose the file that “Save what waits to a file” made. Nothing of it was sent.';
      return setTrouble({ ...troubleOf(thrown), message: `${file.name}: ${message}`, hint });
    }
    const all = await saying('Sending what waited …', outbox.bring(entries));
    const names = await jobs.list().then(
      (cards) => new Map(cards.map(({ id, name }) => [id, name])),
      () => new Map<string, string>(),
    );
    setCame({ file: file.name, all, names });
  };
  return (
    <section class="page read-waiting" aria-labelledby="read-waiting">
      <h2 id="read-waiting">What waited on another device</h2>
      <p>
        A phone out of reach saves what waits on it to a file. Read that file here and it is sent in order; what has
        arrived before is not done twice.
      </p>
      <p class="file-choice">
        <input
          id="waiting-file"
          class="sr-only"
          type="file"
          accept=".json,application/json"
          onChange={(event) => {
            const file = event.currentTarget.files?.[0];
            event.currentTarget.value = '';
            if (file) void choose(file);
          }}
        />
        <label for="waiting-file" class="file-button">
          Read a file of what waited
        </label>
      </p>
      {trouble ? <Strip trouble={trouble} onClose={() => setTrouble(null)} /> : null}
      {came ? <Report {...came} /> : null}
    </section>
  );
}

function Report({ file, all, names }: { file: string; all: readonly Came[]; names: ReadonlyMap<string, string> }) {
  const [sent, kept, refused] = (['sent', 'kept', 'refused'] as const).map(
    (is) => all.filter(({ outcome }) => outcome.is === is).length,
  );
  const parts = [
    sent ? `${sent} arrived` : null,
    kept ? `${kept} kept on this device until dryfit answers` : null,
    refused ? `${refused} not taken` : null,
  ].filter((part) => part !== null);
  return (
    <div class="report" role="status">
      <p>
        <strong>
          {file}: {all.length === 0 ? 'nothing waited in it' : parts.join(', ')}.
        </strong>
      </p>
      <ul class="came">
        {all.map(({ entry, outcome }) => (
          <li key={entry.op}>
            <strong>{WORDS[outcome.is]}</strong>: {wordsOf(entry)}{' '}
            <span class="soft small">
              made {when(entry.made)}, for{' '}
              {names.has(entry.job) ? (
                <a href={link('walk', { id: entry.job })}>{names.get(entry.job)}</a>
              ) : (
                'a job that is not here'
              )}
            </span>
            {outcome.is === 'sent' && outcome.saved !== null ? (
              <span class="soft small">. {outcome.saved.says}</span>
            ) : null}
            {outcome.is === 'refused' ? (
              <p class="because">
                {outcome.trouble.message}. {outcome.trouble.hint}
              </p>
            ) : null}
          </li>
        ))}
      </ul>
      {refused ? (
        <p class="soft">
          What was not taken is kept on this device, {counted(refused, 'entry', 'entries')} in all: its job’s pages
          offer to send it again or to let it go.
        </p>
      ) : null}
    </div>
  );
}

const WORDS = { sent: 'Arrived', kept: 'Kept', refused: 'Not taken' } as const;
