// A verdict as shape and word. Colour comes third: nobody has to tell it apart.

import type { JSX } from 'preact';

import type { Counts, Verdict as V } from '../api/schema';

/** Worst first: the order of lists. */
export const VERDICTS: readonly V[] = ['fails', 'tight', 'unknown', 'fits'];

export function Verdict({ verdict }: { verdict: V }) {
  return (
    <span class={`verdict ${verdict}`}>
      <VerdictShape verdict={verdict} />
      {verdict}
    </span>
  );
}

/** The shape alone; its word stands beside it. Takes the colour of the text. */
export function VerdictShape({ verdict }: { verdict: V }) {
  return (
    <svg class="verdict-shape" viewBox="0 0 16 16" aria-hidden="true" focusable="false">
      {SHAPES[verdict]}
    </svg>
  );
}

/** How many findings have each verdict; those that none has are left out. */
export function CountsLine({ counts, of }: { counts: Counts; of?: string }) {
  const present = VERDICTS.filter((verdict) => counts[verdict] > 0);
  if (present.length === 0) return <span class="soft">nothing to prove yet</span>;
  return (
    <span class="counts" role="group" aria-label={of ? `Findings of ${of}` : 'Findings'}>
      {present.map((verdict) => (
        <span key={verdict} class={`verdict ${verdict}`}>
          <VerdictShape verdict={verdict} />
          {counts[verdict]}{' '}
          {verdict === 'unknown' ? 'unknown' : counts[verdict] === 1 ? verdict : PLURAL[verdict]}
        </span>
      ))}
    </span>
  );
}

/** `2 fail, 1 unknown`, the worst first. */
export function verdictsOf(findings: readonly { verdict: V }[]): string {
  return VERDICTS.flatMap((verdict) => {
    const count = findings.filter((one) => one.verdict === verdict).length;
    return count === 0 ? [] : [`${count} ${count === 1 ? verdict : PLURAL[verdict]}`];
  }).join(', ');
}

const PLURAL: Record<V, string> = { fails: 'fail', tight: 'tight', unknown: 'unknown', fits: 'fit' };

const SHAPES: Record<V, JSX.Element> = {
  fits: (
    <>
      <circle cx="8" cy="8" r="6" />
      <circle cx="8" cy="8" r="2" class="solid" />
    </>
  ),
  tight: <path d="M6 1.5v13M10 1.5v13" />,
  fails: <path d="M2 2h12v12H2zM0.5 15.5l15-15" />,
  unknown: <circle cx="8" cy="8" r="6" stroke-dasharray="2.2 2.51" />,
};
