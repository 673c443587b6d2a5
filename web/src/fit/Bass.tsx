// A space's bass beside the findings: solved once, with progress; then the best places for subs,
// what each seat hears of subs that are tried, and the field over the room.

import { useEffect, useRef, useState } from 'preact/hooks';

import { bass, isAborted, sheets, troubleOf, type Trouble } from '../api/client';
import { useJob } from '../job';
import { LOOKS_ONLY, useMay } from '../may';
import { Button } from '../parts/Button';
import { TextField } from '../parts/Field';
import { Strip } from '../parts/Strip';
import { Waiting } from '../parts/Waiting';
import { watch, Working, type Progress } from '../parts/Working';
import { say } from '../status';
import { useResource } from '../useResource';
import { BassFound } from './BassFound';
import './bass.css';
import type { Scene } from './scene';

type Work = { key: string; progress: Progress | null };

export function Bass({ scene, onClose }: { scene: Scene; onClose: () => void }) {
  const job = useJob();
  const may = useMay();
  const [work, setWork] = useState<Work | null>(null);
  const [trouble, setTrouble] = useState<Trouble | null>(null);
  const [level, setLevel] = useState('115');
  const [crossover, setCrossover] = useState('80');
  const stop = useRef<(() => void) | null>(null);
  // Who closes it no longer waits: the server then stops by itself.
  useEffect(() => () => stop.current?.(), []);
  const loaded = useResource(`${job.id} ${scene.space} ${job.revision}`, (signal) =>
    bass.known(job.id, scene.space, signal),
  );
  const known = loaded.data?.space === scene.space ? loaded.data : null;

  async function solve() {
    setTrouble(null);
    setWork({ key: '', progress: null });
    try {
      const { key } = await bass.solve(job.id, scene.space, {
        level_db: Number(level),
        crossover_hz: Number(crossover),
      });
      const abort = new AbortController();
      stop.current = () => abort.abort();
      await watch(key, abort.signal, (progress) => setWork({ key, progress }));
      say('The bass is solved');
      loaded.reload();
    } catch (thrown) {
      if (!isAborted(thrown)) setTrouble(troubleOf(thrown));
    }
    setWork(null);
  }

  async function cancel(key: string) {
    stop.current?.();
    say('Stopped');
    try {
      if (key !== '') await sheets.cancel(key);
    } catch (thrown) {
      // It may have ended between the press and its arrival, which is just as good.
      if (troubleOf(thrown).status === 0) setTrouble(troubleOf(thrown));
    }
  }

  return (
    <section class="bass" aria-label="Bass">
      <div class="fit-head">
        <h2>Bass</h2>
        <Button onPress={onClose}>Close</Button>
      </div>
      {loaded.trouble ? <Strip trouble={loaded.trouble} onAgain={loaded.reload} /> : null}
      {known === null && !loaded.trouble ? <Waiting for="the bass" /> : null}
      {known ? <p>{known.says}</p> : null}
      {known && known.state !== 'impossible' ? (
        work ? (
          <Working progress={work.progress} onCancel={() => void cancel(work.key)} />
        ) : (
          <div class="bass-ask">
            <TextField label="Level wanted" unit="dB" inputMode="numeric" value={level} onInput={setLevel} />
            <TextField label="Crossover" unit="Hz" inputMode="numeric" value={crossover} onInput={setCrossover} />
            <Button
              kind={known.state === 'solved' ? 'plain' : 'main'}
              onPress={() => void solve()}
              because={may === 'change' ? null : LOOKS_ONLY}
            >
              {known.state === 'unsolved' ? 'Solve the bass' : 'Compare places again'}
            </Button>
          </div>
        )
      ) : null}
      {trouble ? (
        <Strip trouble={trouble} onAgain={() => void solve()} onClose={() => setTrouble(null)} />
      ) : null}
      {known?.study ? <BassFound scene={scene} study={known.study} /> : null}
    </section>
  );
}
