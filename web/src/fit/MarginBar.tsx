// A finding's margin with its uncertainty, drawn against the limit, and the same in words.

import type { Finding } from '../api/schema';

const WIDE = 320;
const HALF = WIDE / 2;

/** Left of the limit is bad, right of it good. */
export function MarginBar({ finding }: { finding: Finding }) {
  const { bar, margin_text, uncertainty_text, value_text, limit_text, verdict } = finding;
  if (!bar || margin_text === null) return null;
  const x = (value: number): number =>
    HALF + Math.max(-1, Math.min(1, value / (bar.scale || 1))) * (HALF - 8);
  const [low, high] = [x(bar.margin - bar.uncertainty), x(bar.margin + bar.uncertainty)];
  const words = uncertainty_text === null ? margin_text : `${margin_text} ${uncertainty_text}`;
  return (
    <figure class="margin-bar">
      <svg viewBox={`0 0 ${WIDE} 44`} role="img" aria-label={`Margin ${words}; negative is beyond the limit`}>
        <defs>
          <pattern
            id="bad-side"
            width="6"
            height="6"
            patternUnits="userSpaceOnUse"
            patternTransform="rotate(45)"
          >
            <path d="M0 0V6" />
          </pattern>
        </defs>
        <rect class="bad" x="0" y="12" width={HALF} height="20" />
        <path class="axis" d={`M0 22H${WIDE}`} />
        <path class="limit" d={`M${HALF} 4V40`} />
        <g class={`verdict ${verdict}`}>
          {bar.uncertainty > 0 ? (
            <path class="band" d={`M${low} 14V30M${high} 14V30M${low} 22H${high}`} />
          ) : null}
          <circle cx={x(bar.margin)} cy="22" r="5" />
        </g>
      </svg>
      <figcaption>
        <span>
          {value_text === null ? null : (
            <>
              <span class="soft">value</span> {value_text}
            </>
          )}
        </span>
        <span>
          {limit_text === null ? null : (
            <>
              <span class="soft">limit</span> {limit_text}
            </>
          )}
        </span>
        <span>
          <span class="soft">margin</span> {words}
        </span>
      </figcaption>
    </figure>
  );
}
