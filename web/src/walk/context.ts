// What every part of the walk-through knows: the room, what is being typed, and how to save it.

import { createContext } from 'preact';
import { useContext } from 'preact/hooks';

import type { Trouble } from '../api/client';
import type { Edit, Field, Units, Walk } from '../api/schema';
import type { Scene } from '../fit/scene';
import type { Kind } from './useKinds';

export type WalkState = {
  /** The open space's id. */
  space: string;
  units: Units;
  /** The words of a definition of the job's schema; asked for at once, for who goes out of reach later. */
  kinds: (definition: string) => Kind[];
  document: unknown;
  walk: Walk;
  scene: Scene | null;
  /** What stands in a field: typed and not saved yet, or as saved. */
  text: (fact: Field) => string;
  /** Typed, and not saved yet. */
  isTyped: (at: string) => boolean;
  /** Why what was typed is not accepted. */
  trouble: (at: string) => Trouble | null;
  type: (fact: Field, text: string) => void;
  /**
   * Reads a field, and saves it where it reads: false where it is refused. Nobody waits long for the save: `late` is told
   * of a refusal that comes after the answer.
   */
  commit: (fact: Field, text: string, late?: () => void) => Promise<boolean>;
  /** Opens what was just added, with the focus in its first field. */
  added: (at: string) => void;
  /** Takes the focus back to a field that was refused after it was left, unless something else is being typed. */
  bringBack: (at: string) => void;
  /** Saves other changes as one: false where they are refused. What is kept for later is true. */
  save: (summary: string, edits: Edit[]) => Promise<boolean>;
};

export const WalkContext = createContext<WalkState | null>(null);

/** Only parts of the walk-through may ask. */
export function useWalk(): WalkState {
  const walk = useContext(WalkContext);
  if (!walk) throw new Error('useWalk was called outside the walk-through');
  return walk;
}
