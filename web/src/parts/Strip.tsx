// What went wrong, at the top of the page or of a part, with what to do and what is kept.

import { useEffect, useRef } from 'preact/hooks';

import type { Trouble } from '../api/client';
import { Button } from './Button';

type Props = {
  trouble: Trouble;
  /** Tries again, if that makes sense. */
  onAgain?: (() => void) | undefined;
  onClose?: (() => void) | undefined;
};

/** Takes the focus when it appears, so that nobody types on past it. */
export function Strip({ trouble, onAgain, onClose }: Props) {
  const strip = useRef<HTMLDivElement>(null);
  useEffect(() => strip.current?.focus(), [trouble]);
  return (
    <div class="strip" role="alert" tabIndex={-1} ref={strip}>
      <p class="strip-message">{sentence(trouble.message)}</p>
      {trouble.at ? <p class="soft">At {trouble.at}</p> : null}
      {trouble.hint ? <p>{sentence(trouble.hint)}</p> : null}
      {trouble.accepted ? <p>Accepted: {trouble.accepted}</p> : null}
      {trouble.kept ? <p>{sentence(trouble.kept)}</p> : null}
      {onAgain || onClose ? (
        <p class="actions">
          {onAgain ? <Button onPress={onAgain}>Try again</Button> : null}
          {onClose ? (
            <Button kind="quiet" onPress={onClose}>
              Close this message
            </Button>
          ) : null}
        </p>
      ) : null}
    </div>
  );
}

/** Fragments that chain in a log, as a sentence for a reader. */
function sentence(text: string): string {
  const first = text.charAt(0).toLocaleUpperCase() + text.slice(1);
  return /[.!?:…]$/.test(first) ? first : `${first}.`;
}
