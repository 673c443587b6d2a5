// What is still to measure, that which decides most first; each leads to its field.

import type { Blank } from '../api/schema';
import { counted } from '../units';
import { useWalk } from './context';

/** The first few, above the steps, or all of them. */
export function Blanks({ onBlank, most }: { onBlank: (blank: Blank) => void; most?: number }) {
  const { blanks } = useWalk().walk;
  if (blanks.length === 0) return <p class="soft">Nothing is left to measure in this room.</p>;
  return (
    <ul class="blanks">
      {blanks.slice(0, most).map((blank) => (
        <li key={blank.at}>
          <button type="button" onClick={() => onBlank(blank)}>
            <span class="blank-what">{blank.what}</span>
            <span class="blank-says soft small">
              {blank.decides > 0 ? `decides ${counted(blank.decides, 'finding')}` : 'decides nothing yet'}, {blank.tool}
            </span>
          </button>
        </li>
      ))}
    </ul>
  );
}
