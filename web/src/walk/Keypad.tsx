// A keypad for lengths at the foot of the screen: what a tape reads, within one thumb's reach.
//
// It writes letters into the field that has the focus, as any keyboard does. What they mean is the server's to say.

import { createContext } from 'preact';
import { useContext, useEffect, useState } from 'preact/hooks';

import type { Units } from '../api/schema';

export type KeypadState = {
  /** The device's own keyboard is wanted. */
  system: boolean;
  /** Fingers are what points here. */
  coarse: boolean;
  focus: (input: HTMLInputElement | null) => void;
  setSystem: (system: boolean) => void;
};

export const KeypadContext = createContext<KeypadState | null>(null);

export function useKeypad(): KeypadState | null {
  return useContext(KeypadContext);
}

const FRACTIONS = ['1/8', '1/4', '3/8', '1/2', '5/8', '3/4', '7/8'];
const FEET = ['7', '8', '9', '′', '4', '5', '6', '″', '1', '2', '3', '0'];
const METRES = ['7', '8', '9', 'm', '4', '5', '6', 'cm', '1', '2', '3', 'mm', '0', '.'];

type Props = { units: Units; input: HTMLInputElement; onSystem: () => void };

export function Keypad({ units, input, onSystem }: Props) {
  // The focused field stays above the keypad.
  useEffect(() => {
    document.documentElement.classList.add('with-keypad');
    const later = setTimeout(() => input.scrollIntoView({ block: 'center' }), 50);
    return () => {
      clearTimeout(later);
      document.documentElement.classList.remove('with-keypad');
    };
  }, [input]);
  const key = (name: string, says: string, act: () => void, wide = false) => (
    <button
      key={name}
      type="button"
      tabIndex={-1}
      class={wide ? 'key wide' : 'key'}
      aria-label={says}
      // The focus stays in the field.
      onPointerDown={(event) => event.preventDefault()}
      onMouseDown={(event) => event.preventDefault()}
      onClick={act}
    >
      {name}
    </button>
  );
  // Enter may just have gone on to another field.
  const field = () => (isField(document.activeElement) ? document.activeElement : input);
  const letters = (name: string) => key(name, SAID[name] ?? name, () => write(field(), name));
  return (
    <div class="keypad" role="group" aria-label="Keypad for lengths">
      {units === 'imperial' ? <div class="keys-fractions">{FRACTIONS.map(letters)}</div> : null}
      <div class="keys-digits">
        {(units === 'imperial' ? FEET : METRES).map(letters)}
        {key('⌫', 'Erase', () => erase(field()))}
        {units === 'imperial' ? key('.', 'point', () => write(field(), '.')) : null}
        {key('Keyboard', 'Keyboard of the device', onSystem)}
        {key('Next', 'Next field', () => enter(field()), true)}
      </div>
    </div>
  );
}

const SAID: Record<string, string> = { '′': 'feet', '″': 'inches', m: 'metres', cm: 'centimetres', mm: 'millimetres' };

function isField(element: Element | null): element is HTMLInputElement {
  return element instanceof HTMLInputElement && element.dataset['at'] !== undefined;
}

/** Letters at the caret; a fraction keeps its distance from the figure before it. */
export function write(input: HTMLInputElement, letters: string): void {
  const from = input.selectionStart ?? input.value.length;
  const to = input.selectionEnd ?? from;
  const before = input.value.slice(0, from);
  const spaced = letters.includes('/') && /\d$/.test(before) ? ` ${letters}` : letters;
  put(input, spaced, from, to);
}

export function erase(input: HTMLInputElement): void {
  const to = input.selectionEnd ?? input.value.length;
  const start = input.selectionStart ?? to;
  if (start !== to) return put(input, '', start, to);
  // A fraction goes as it came: at once.
  const fraction = /\s?\d\/\d$/.exec(input.value.slice(0, to));
  put(input, '', Math.max(0, to - (fraction?.[0].length ?? 1)), to);
}

/** As the Enter key does: the field says what comes next. */
function enter(input: HTMLInputElement): void {
  input.dispatchEvent(new KeyboardEvent('keydown', { key: 'Enter', bubbles: true, cancelable: true }));
}

function put(input: HTMLInputElement, letters: string, from: number, to: number): void {
  input.setRangeText(letters, from, to, 'end');
  input.dispatchEvent(new Event('input', { bubbles: true }));
}

/** On to the next field that takes a text. */
export function next(input: HTMLInputElement): void {
  const all = [...document.querySelectorAll<HTMLInputElement>('input[data-at]')].filter(
    (one) => one.offsetParent !== null,
  );
  const following = all[all.indexOf(input) + 1];
  if (following) {
    following.focus();
    following.select();
    return;
  }
  // Past the last one: back to the head of its thing, or of the step. A button behind it might take something away.
  const thing = input.closest('details')?.querySelector<HTMLElement>('summary');
  const head = thing ?? document.querySelector<HTMLElement>('.walk-column h2');
  if (head) head.focus();
  else input.blur();
}

/** Which field is written to, and with what. */
export function useKeypadState(): { state: KeypadState; input: HTMLInputElement | null } {
  const [input, setInput] = useState<HTMLInputElement | null>(null);
  const [system, setSystem] = useState(false);
  const [coarse, setCoarse] = useState(() => matchMedia('(pointer: coarse)').matches);
  useEffect(() => {
    const query = matchMedia('(pointer: coarse)');
    const update = () => setCoarse(query.matches);
    query.addEventListener('change', update);
    return () => query.removeEventListener('change', update);
  }, []);
  const focus = (focused: HTMLInputElement | null) => {
    if (focused) setInput(focused);
    // The keypad stays where the focus only goes from one length to the next.
    else setTimeout(() => setInput((old) => (old === document.activeElement ? old : null)));
  };
  return { state: { system, coarse, focus, setSystem }, input: coarse && !system ? input : null };
}
