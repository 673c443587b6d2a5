// What this device may do, as its pairing says: shown before somebody tries in vain.

import { createContext } from 'preact';
import { useContext } from 'preact/hooks';

import type { Me } from './api/schema';

/** `unknown` until the server has said so. */
export type May = 'change' | 'look' | 'unknown';

export const MayContext = createContext<May>('change');

export function useMay(): May {
  return useContext(MayContext);
}

/** Where nobody answers, changes are kept until somebody does: then the server says no. */
export function mayOf(me: Me | null, isUnanswered: boolean): May {
  if (me === null) return isUnanswered ? 'change' : 'unknown';
  return me.role === 'crew' ? 'change' : 'look';
}

export const LOOKS_ONLY = 'This device may look, not change.';
