// The words for what is going on ("saving", "proving", "saved"), read out by screen readers.

import { useEffect, useState } from 'preact/hooks';

let words = '';
const listeners = new Set<(words: string) => void>();

/** Shows words in the page's status line; the next ones replace them. */
export function say(text: string): void {
  words = text;
  for (const listener of listeners) listener(text);
}

/** The words to show. */
export function useStatus(): string {
  const [shown, setShown] = useState(words);
  useEffect(() => {
    listeners.add(setShown);
    setShown(words);
    return () => {
      listeners.delete(setShown);
    };
  }, []);
  return shown;
}

/** Says `doing` once a wait has lasted long enough to be noticed, and takes it back at its end. */
export async function saying<T>(doing: string, work: Promise<T>): Promise<T> {
  const timer = setTimeout(() => say(doing), NOTICED_MS);
  try {
    return await work;
  } finally {
    clearTimeout(timer);
    if (words === doing) say('');
  }
}

/** Below a tenth of a second an answer feels immediate and a word would only flicker. */
const NOTICED_MS = 100;
