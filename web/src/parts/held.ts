// What stands in a field that somebody has just entered stays until they type or leave.

import { useState } from 'preact/hooks';

type Held = { text: string; hold: () => void; release: () => void };

/**
 * A value that arrives while the text is marked would take the mark away: what is typed next
 * would be added to it instead of taking its place.
 */
export function useHeld(value: string): Held {
  const [held, setHeld] = useState<string | null>(null);
  return { text: held ?? value, hold: () => setHeld(value), release: () => setHeld(null) };
}
