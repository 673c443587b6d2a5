// A house's racks, circuits, signal diagram, buttons and cut-outs, loaded anew after each change.

import { wiring } from '../api/client';
import type { Wiring } from '../api/schema';
import { useJob } from '../job';
import { useResource, type Resource } from '../useResource';

export function useWiring(): Resource<Wiring> {
  const { id, revision } = useJob();
  return useResource(`${id} ${revision} wiring`, (signal) => wiring.all(id, signal));
}
