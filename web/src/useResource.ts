// Something loaded from the server, with the old answer kept in view until the new one is in.

import { useCallback, useEffect, useRef, useState } from 'preact/hooks';

import { isAborted, troubleOf, type Trouble } from './api/client';

export type Resource<T> = {
  /** The last answer; null before the first. */
  data: T | null;
  trouble: Trouble | null;
  loading: boolean;
  reload: () => void;
  /** Puts an answer in place that came another way, say with a save. */
  set: (data: T) => void;
};

/** Loads anew whenever `key` differs; an answer that comes after the next question is dropped. */
export function useResource<T>(key: string, load: (signal: AbortSignal) => Promise<T>): Resource<T> {
  const [state, setState] = useState<{ data: T | null; trouble: Trouble | null; loading: boolean }>({
    data: null,
    trouble: null,
    loading: true,
  });
  const [round, setRound] = useState(0);
  const latest = useRef(load);
  latest.current = load;

  useEffect(() => {
    const abort = new AbortController();
    setState((old) => ({ ...old, loading: true }));
    latest
      .current(abort.signal)
      .then((data) => {
        if (!abort.signal.aborted) setState({ data, trouble: null, loading: false });
      })
      .catch((thrown: unknown) => {
        if (abort.signal.aborted || isAborted(thrown)) return;
        setState((old) => ({ ...old, trouble: troubleOf(thrown), loading: false }));
      });
    return () => abort.abort();
  }, [key, round]);

  const reload = useCallback(() => setRound((round) => round + 1), []);
  const set = useCallback((data: T) => setState({ data, trouble: null, loading: false }), []);
  return { ...state, reload, set };
}
