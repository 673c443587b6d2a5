// A labelled input with its help and its mistake, tied together for screen readers.

import type { ComponentChildren, InputHTMLAttributes } from 'preact';
import { useId } from 'preact/hooks';

import { useHeld } from './held';

/** What the input itself must carry. */
export type Tied = {
  id: string;
  'aria-describedby': string | undefined;
  'aria-invalid': boolean | undefined;
};

type Props = {
  label: string;
  help?: string | null | undefined;
  /** What is wrong with what stands in it; what was typed stays. */
  error?: string | null | undefined;
  /** Behind the input. */
  unit?: string | null | undefined;
  children: (tied: Tied) => ComponentChildren;
};

export function Field({ label, help, error, unit, children }: Props) {
  const id = useId();
  const described = [error ? `${id}-error` : '', help ? `${id}-help` : ''].filter(Boolean).join(' ');
  return (
    <div class="field">
      <label for={id}>{label}</label>
      <span class="field-input">
        {children({
          id,
          'aria-describedby': described || undefined,
          'aria-invalid': error ? true : undefined,
        })}
        {unit ? <span class="unit">{unit}</span> : null}
      </span>
      {error ? (
        <span id={`${id}-error`} class="field-error">
          {error}
        </span>
      ) : null}
      {help ? (
        <span id={`${id}-help`} class="field-help">
          {help}
        </span>
      ) : null}
    </div>
  );
}

type TextProps = Omit<Props, 'children'> & {
  value: string;
  onInput: (text: string) => void;
  /** Enter, or leaving the field. */
  onCommit?: (text: string) => void;
  /** Several, whose breaks are kept. */
  lines?: boolean;
} & Pick<InputHTMLAttributes<HTMLInputElement>, 'inputMode' | 'autocomplete' | 'required' | 'placeholder'>;

/** A text, of one line unless told otherwise. Lengths too: the server reads them, so that every door accepts the same. */
export function TextField({ label, help, error, unit, value, onInput, onCommit, lines = false, ...rest }: TextProps) {
  const held = useHeld(value);
  type Typing = { currentTarget: HTMLInputElement | HTMLTextAreaElement };
  const typed = {
    value: held.text,
    onFocus: held.hold,
    onBlur: held.release,
    onInput: (event: Typing) => {
      held.release();
      onInput(event.currentTarget.value);
    },
    onChange: (event: Typing) => onCommit?.(event.currentTarget.value),
  };
  return (
    <Field label={label} help={help} error={error} unit={unit}>
      {(tied) =>
        lines ? (
          <textarea {...tied} {...typed} rows={6} spellcheck={false} />
        ) : (
          <input {...tied} {...rest} {...typed} type="text" />
        )
      }
    </Field>
  );
}

type ChoiceProps<V extends string> = Omit<Props, 'children'> & {
  value: V;
  choices: readonly { value: V; label: string }[];
  onChoose: (value: V) => void;
};

/** One of a few. */
export function ChoiceField<V extends string>({
  label,
  help,
  error,
  unit,
  value,
  choices,
  onChoose,
}: ChoiceProps<V>) {
  return (
    <Field label={label} help={help} error={error} unit={unit}>
      {(tied) => (
        <select
          {...tied}
          value={value}
          onChange={(event) => {
            const chosen = choices.find((choice) => choice.value === event.currentTarget.value);
            if (chosen) onChoose(chosen.value);
          }}
        >
          {choices.map((choice) => (
            <option key={choice.value} value={choice.value} selected={choice.value === value}>
              {choice.label}
            </option>
          ))}
        </select>
      )}
    </Field>
  );
}
