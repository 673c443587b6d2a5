// Keys that work anywhere on a page, and the list of them that `?` shows.

import { useEffect, useRef, useState } from 'preact/hooks';

/** A line of the list. */
export type KeyHelp = { keys: string; does: string };

const SINGLE = 'dryfit:single-keys';
const helps = new Map<symbol, readonly KeyHelp[]>();
const listeners = new Set<() => void>();

/** Adds a part's own keys to the list for as long as the part is shown. */
export function useKeyHelp(help: readonly KeyHelp[]): void {
  const text = JSON.stringify(help);
  const latest = useRef(help);
  latest.current = help;
  useEffect(() => {
    const mine = Symbol('keys');
    helps.set(mine, latest.current);
    for (const listener of listeners) listener();
    return () => {
      helps.delete(mine);
      for (const listener of listeners) listener();
    };
  }, [text]);
}

/** All lines of the list. */
export function useAllKeyHelp(): readonly KeyHelp[] {
  const [, again] = useState(0);
  useEffect(() => {
    const update = () => again((n) => n + 1);
    listeners.add(update);
    return () => {
      listeners.delete(update);
    };
  }, []);
  return [...helps.values()].flat();
}

/** Runs `act` on a key anywhere on the page; `act` answers whether it took it. */
export function useKey(act: (event: KeyboardEvent) => boolean): void {
  const latest = useRef(act);
  latest.current = act;
  useEffect(() => {
    const press = (event: KeyboardEvent) => {
      if (!event.defaultPrevented && !event.isComposing && latest.current(event)) event.preventDefault();
    };
    addEventListener('keydown', press);
    return () => removeEventListener('keydown', press);
  }, []);
}

/** Somebody is typing: keys belong to the field. */
export function isTyping(event: KeyboardEvent): boolean {
  const { target } = event;
  if (!(target instanceof HTMLElement)) return false;
  if (
    target.isContentEditable ||
    target instanceof HTMLTextAreaElement ||
    target instanceof HTMLSelectElement
  )
    return true;
  return (
    target instanceof HTMLInputElement &&
    !['checkbox', 'radio', 'button', 'range', 'file'].includes(target.type)
  );
}

/** A single character without a modifier, where the reader has not turned such keys off. */
export function isSingleKey(event: KeyboardEvent, key: string): boolean {
  return (
    event.key === key &&
    !event.ctrlKey &&
    !event.metaKey &&
    !event.altKey &&
    !isTyping(event) &&
    singleKeysOn()
  );
}

export function singleKeysOn(): boolean {
  try {
    return localStorage.getItem(SINGLE) !== 'off';
  } catch {
    return true;
  }
}

export function setSingleKeys(on: boolean): void {
  try {
    localStorage.setItem(SINGLE, on ? 'on' : 'off');
  } catch {
    // Storage is shut off: the keys stay on, as the list of keys then still says.
  }
}
