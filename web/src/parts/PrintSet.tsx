// Makes the set of sheets as one PDF: paper, progress with its stage, a way to stop, the file.

import { useEffect, useRef, useState } from 'preact/hooks';

import { isAborted, sheets, troubleOf, type Trouble } from '../api/client';
import { useJob } from '../job';
import { say } from '../status';
import { Button } from './Button';
import { ChoiceField } from './Field';
import { Strip } from './Strip';
import { watch, Working, type Progress } from './Working';

const PAPERS = [
  { value: 'letter', label: 'Letter' },
  { value: 'a4', label: 'A4' },
] as const;
type Paper = (typeof PAPERS)[number]['value'];

type State =
  | { is: 'idle' }
  | { is: 'working'; key: string; progress: Progress | null }
  | { is: 'done'; url: string; paper: Paper; revision: number };

export function PrintSet() {
  const { id, view } = useJob();
  const [paper, setPaper] = useState<Paper>(view.units === 'imperial' ? 'letter' : 'a4');
  const [state, setState] = useState<State>({ is: 'idle' });
  const [trouble, setTrouble] = useState<Trouble | null>(null);
  const stop = useRef<(() => void) | null>(null);
  // Who leaves the page no longer waits: the server then stops by itself.
  useEffect(() => () => stop.current?.(), []);

  async function start() {
    setTrouble(null);
    setState({ is: 'working', key: '', progress: null });
    try {
      const { key } = await sheets.print(id, paper, today());
      const abort = new AbortController();
      stop.current = () => abort.abort();
      const url = await watch(key, abort.signal, (progress) => setState({ is: 'working', key, progress }));
      setState({ is: 'done', url, paper, revision: view.revision });
      say('The PDF is ready');
    } catch (thrown) {
      setState({ is: 'idle' });
      if (!isAborted(thrown)) setTrouble(troubleOf(thrown));
    }
  }

  async function cancel(key: string) {
    stop.current?.();
    setState({ is: 'idle' });
    say('Stopped; nothing was printed');
    try {
      if (key !== '') await sheets.cancel(key);
    } catch (thrown) {
      // It may have ended between the press and its arrival, which is just as good.
      if (troubleOf(thrown).status === 0) setTrouble(troubleOf(thrown));
    }
  }

  return (
    <div class="print-set">
      <ChoiceField label="Paper" value={paper} choices={PAPERS} onChoose={setPaper} />
      {state.is === 'working' ? (
        <Working progress={state.progress} onCancel={() => void cancel(state.key)} />
      ) : (
        <div class="actions">
          <Button kind={state.is === 'done' ? 'plain' : 'main'} onPress={() => void start()}>
            Make the PDF of all sheets
          </Button>
          {state.is === 'done' ? (
            <a
              class="button main"
              href={state.url}
              download={`sheets-${state.paper}-revision-${state.revision}.pdf`}
            >
              Download the PDF
            </a>
          ) : null}
        </div>
      )}
      {trouble ? (
        <Strip trouble={trouble} onAgain={() => void start()} onClose={() => setTrouble(null)} />
      ) : null}
    </div>
  );
}

/** The reader's own date, since the sheets are dated where they are made. */
function today(): string {
  const now = new Date();
  const two = (n: number) => String(n).padStart(2, '0');
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}
