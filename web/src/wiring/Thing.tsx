// Something that a drawing or a list names: its verdict's shape, and a link to where it is.

import type { Named } from '../api/schema';
import { useJob } from '../job';
import { VerdictShape } from '../parts/Verdict';
import { toThing } from './whereTo';

export function Thing({ thing }: { thing: Named }) {
  const { id } = useJob();
  const href = toThing(id, thing);
  const { verdict, label } = thing;
  return (
    <>
      {href === null ? label : <a href={href}>{label}</a>}
      {verdict === null || verdict === 'fits' ? null : (
        <>
          {' '}
          <span class={`verdict ${verdict}`}>
            <VerdictShape verdict={verdict} />
            {verdict}
          </span>
        </>
      )}
    </>
  );
}
