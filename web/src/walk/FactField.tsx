// Any fact of the job as a field: read by the server, saved when it is left, and undone as one.

import { useId, useRef } from 'preact/hooks';

import type { Field as Fact } from '../api/schema';
import { Button } from '../parts/Button';
import { Field, type Tied } from '../parts/Field';
import { useHeld } from '../parts/held';
import { useWalk } from './context';
import { quoted } from './document';
import { next, useKeypad } from './Keypad';

/** More choices than these are a list to open. */
const CHIPS_MAX = 6;
/** From Enter to the next field at the most. */
const PATIENCE_MS = 400;
const FLAGS = [
  { value: 'yes', label: 'Yes' },
  { value: 'no', label: 'No' },
];

type Props = {
  fact: Fact;
  /** Instead of the fact's own name, where its thing stands above. */
  label?: string;
  /** A sentence that the page above says already is left out. */
  help?: boolean;
  /** Before Enter goes on to the next field. */
  onEnter?: () => boolean;
};

export function FactField({ fact, label = fact.label, help = true, onEnter }: Props) {
  const walk = useWalk();
  const text = walk.text(fact);
  const trouble = walk.trouble(fact.at);
  const waits = fact.text === null && !walk.isTyped(fact.at) ? decides(fact.blocks) : '';
  const help_text = [help ? quoted(fact.help) : '', waits].filter(Boolean).join(' ');
  const choices = fact.kind === 'flag' ? FLAGS : fact.choices;
  const message = trouble ? spoken(quoted(trouble.message)) : null;
  const error = trouble ? <Refusal text={text} trouble={trouble} /> : null;

  if (choices !== null && choices.length === 0) {
    return (
      <p class="fact small">
        <strong>{label}</strong> <span class="soft">{quoted(fact.help)} This job has none to choose yet.</span>
      </p>
    );
  }
  if (choices !== null && choices.length <= CHIPS_MAX) {
    return (
      <Chips
        label={label}
        at={fact.at}
        help={help_text}
        value={text}
        choices={choices}
        onChoose={(value) => void walk.commit(fact, value)}
        error={message}
        hint={error}
      />
    );
  }
  return (
    <div class={trouble ? 'fact refused' : 'fact'}>
      <Field label={label} help={help_text} error={message} unit={unitOf(fact, text)}>
        {(tied) =>
          choices !== null ? (
            <select
              {...tied}
              data-at={fact.at}
              value={text}
              onChange={(event) => void walk.commit(fact, event.currentTarget.value)}
            >
              <option value="" selected={text === ''}>
                not said
              </option>
              {choices.map((choice) => (
                <option key={choice.value} value={choice.value} selected={choice.value === text}>
                  {choice.label}
                </option>
              ))}
            </select>
          ) : (
            <TextInput tied={tied} fact={fact} text={text} onEnter={onEnter} />
          )
        }
      </Field>
      {error}
    </div>
  );
}

type InputProps = { tied: Tied; fact: Fact; text: string; onEnter: (() => boolean) | undefined };

/** Lengths are typed on the page's own keypad where fingers point. */
function TextInput({ tied, fact, text, onEnter }: InputProps) {
  const walk = useWalk();
  const keypad = useKeypad();
  const input = useRef<HTMLInputElement>(null);
  const held = useHeld(text);
  const padded = fact.kind === 'length' && keypad !== null && keypad.coarse;
  const own = padded && !keypad.system;
  const figures = fact.kind !== 'text' && fact.kind !== 'choice';
  return (
    <>
      <input
        {...tied}
        ref={input}
        type="text"
        autocomplete="off"
        spellcheck={false}
        inputMode={own ? 'none' : figures && fact.kind !== 'length' ? 'decimal' : 'text'}
        data-at={fact.at}
        value={held.text}
        onInput={(event) => {
          held.release();
          walk.type(fact, event.currentTarget.value);
        }}
        onFocus={(event) => {
          held.hold();
          keypad?.focus(fact.kind === 'length' ? event.currentTarget : null);
        }}
        onBlur={(event) => {
          held.release();
          keypad?.focus(null);
          if (walk.isTyped(fact.at)) void walk.commit(fact, event.currentTarget.value);
        }}
        onKeyDown={(event) => {
          if (event.key !== 'Enter' || event.isComposing) return;
          event.preventDefault();
          const field = event.currentTarget;
          // What does not read keeps the focus, with its message below; nobody waits long for that.
          const patience = new Promise<true>((resolve) => setTimeout(() => resolve(true), PATIENCE_MS));
          // What is held from before another saved it is nobody's word for it now.
          const back = () => walk.bringBack(fact.at);
          const reading = held.text === text ? walk.commit(fact, field.value, back) : Promise.resolve(true);
          let isLeft = false;
          void Promise.race([reading, patience]).then((reads) => {
            if (!reads) return;
            isLeft = true;
            if (!onEnter?.()) next(field);
          });
          void reading.then((reads) => {
            if (!reads && isLeft) back();
          });
        }}
      />
      {padded && keypad.system ? (
        <Button
          kind="quiet"
          onPress={() => {
            keypad.setSystem(false);
            input.current?.focus();
          }}
        >
          Keypad
        </Button>
      ) : null}
    </>
  );
}

type ChipsProps = {
  label: string;
  at?: string;
  help?: string | undefined;
  value: string;
  choices: readonly { value: string; label: string }[];
  onChoose: (value: string) => void;
  error?: string | null;
  /** Below the error. */
  hint?: preact.ComponentChildren;
};

/** A few choices side by side. */
export function Chips({ label, at, help, value, choices, onChoose, error = null, hint }: ChipsProps) {
  const id = useId();
  return (
    <div
      class={error === null ? 'fact chips' : 'fact chips refused'}
      role="group"
      aria-label={label}
      aria-describedby={error === null ? undefined : id}
    >
      <span class="chips-label" aria-hidden="true">
        {label}
      </span>
      <div class="chips-row">
        {choices.map((choice, index) => (
          <button
            key={choice.value}
            type="button"
            class="button"
            data-at={index === 0 ? at : undefined}
            aria-pressed={choice.value === value}
            onClick={() => onChoose(choice.value)}
          >
            {choice.label}
          </button>
        ))}
      </div>
      {error === null ? null : (
        <span id={id} class="field-error">
          {error}
        </span>
      )}
      {hint}
      {help ? <span class="field-help">{help}</span> : null}
    </div>
  );
}

type RefusalProps = { text: string; trouble: { column: number | null; hint: string | null } };

/** The typed text with the letter marked at which reading stopped, and what is accepted. */
function Refusal({ text, trouble }: RefusalProps) {
  const column = trouble.column === null ? null : trouble.column - 1;
  return (
    <p class="refusal small">
      {column === null || column >= text.length ? null : (
        <span class="refusal-text">
          {text.slice(0, column)}
          <mark>{text.slice(column, column + 1)}</mark>
          {text.slice(column + 1)}
        </span>
      )}{' '}
      {trouble.hint ? spoken(quoted(trouble.hint)) : null}
    </p>
  );
}

function spoken(words: string): string {
  const first = words.charAt(0).toLocaleUpperCase() + words.slice(1);
  return /[.!?]$/.test(first) ? first : `${first}.`;
}

/** A unit behind a bare number only: a text with its own says it already. */
function unitOf(fact: Fact, text: string): string | null {
  return /[^\d.,\s\u2212-]/.test(text) ? null : fact.unit;
}

function decides(count: number): string {
  if (count === 0) return '';
  return count === 1 ? 'Decides one finding.' : `Decides ${count} findings.`;
}
