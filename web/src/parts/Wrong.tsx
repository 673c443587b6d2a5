// Beside the button of a form that was not taken: how many fields are wrong. The first of them gets the focus.

import { useEffect, useRef, useState } from 'preact/hooks';

const INVALID = '[aria-invalid="true"]';

/** `round` counts how often the form was refused. */
export function Wrong({ round }: { round: number }) {
  const place = useRef<HTMLParagraphElement>(null);
  const [count, setCount] = useState(0);
  const wrong = () => [...(place.current?.closest('form')?.querySelectorAll<HTMLElement>(INVALID) ?? [])];
  useEffect(() => {
    if (round === 0) return;
    const [first] = wrong();
    first?.focus({ preventScroll: true });
    first?.scrollIntoView({ block: 'center' });
  }, [round]);
  // Each field that is corrected is one less.
  useEffect(() => setCount(round === 0 ? 0 : wrong().length));
  return (
    <p ref={place} class="field-error" role="status">
      {count === 0 ? null : count === 1 ? 'One field is wrong; it says why.' : `${count} fields are wrong; each says why.`}
    </p>
  );
}
