// Where a page is empty because the job has no kit: the way to the first piece.

import { useMay } from '../may';
import { link } from '../routes';

export function AddKit({ job }: { job: string }) {
  if (useMay() !== 'change') return null;
  return (
    <p>
      <a href={link('fit', { id: job }, { add: 'open' })}>Put kit into a room</a>
    </p>
  );
}
