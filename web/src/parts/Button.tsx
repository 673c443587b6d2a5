// A button whose words say what follows. Where it can't be pressed it says why.

import type { ComponentChildren } from 'preact';
import { useId } from 'preact/hooks';

type Props = {
  children: ComponentChildren;
  /** Left out where `submit` sends the form around it. */
  onPress?: () => void;
  submit?: boolean;
  /** `main` is the one thing to do next in its part of the page. */
  kind?: 'plain' | 'main' | 'quiet';
  /** Why it can't be pressed; shown beside it, and it stays reachable by keys. */
  because?: string | null | undefined;
  /** Its own request is under way. */
  busy?: boolean;
  pressed?: boolean;
  /** Replaces the visible words for a screen reader, and must contain them. */
  label?: string;
};

export function Button({
  children,
  onPress,
  submit = false,
  kind = 'plain',
  because,
  busy = false,
  pressed,
  label,
}: Props) {
  const reason = useId();
  const blocked = busy || Boolean(because);
  return (
    <>
      <button
        type={submit ? 'submit' : 'button'}
        class={`button ${kind}`}
        aria-disabled={blocked || undefined}
        aria-describedby={because ? reason : undefined}
        aria-pressed={pressed}
        aria-label={label}
        onClick={(event) => {
          if (blocked) event.preventDefault();
          else onPress?.();
        }}
      >
        {children}
      </button>
      {because ? (
        <span id={reason} class="because">
          {because}
        </span>
      ) : null}
    </>
  );
}
