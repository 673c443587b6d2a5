// Joins the hand (drag.ts) to the screen and the server. Pointer moves come once a frame (usePointers.ts), so each is written at
// once.

import { useEffect, useMemo, useRef } from 'preact/hooks';

import { say } from '../status';
import { empty, next, type Effect, type Hand, type Happened, type Place } from './drag';

export type Carried = {
  /** Writes a body's position to the screen. */
  show: (of: string, place: Place, lines: Extract<Effect, { do: 'show' }>['lines']) => void;
  prove: (of: string, place: Place, since: number) => void;
  save: (of: string, place: Place) => Promise<boolean>;
  restore: (of: string) => void;
  select: (of: string) => void;
};

export type Hands = {
  happens: (happened: Happened, since?: number) => void;
  now: () => Hand;
};

/** `since` is the time of the event that led to a position, for measuring how long an answer takes. */
export function useHand(carried: Carried): Hands {
  const latest = useRef(carried);
  latest.current = carried;
  const hands = useMemo(() => makeHands(latest), []);
  useEffect(() => () => hands.happens({ is: 'put back' }), [hands]);
  return hands;
}

function makeHands(carried: { current: Carried }): Hands {
  let hand: Hand = empty();
  const happens = (happened: Happened, since = performance.now()) => {
    const before = hand;
    const [after, effects] = next(hand, happened);
    hand = after;
    const of = railOf(after) ?? railOf(before);
    if (of === null) return;
    for (const effect of effects) carry(effect, of, since);
  };
  const carry = (effect: Effect, of: string, since: number) => {
    switch (effect.do) {
      case 'show':
        return carried.current.show(of, effect.place, effect.lines);
      case 'prove':
        return carried.current.prove(of, effect.place, since);
      case 'save':
        return void carried.current
          .save(of, effect.place)
          .then((saved) => happens({ is: saved ? 'saved' : 'refused' }));
      case 'restore':
        return carried.current.restore(of);
      case 'select':
        return carried.current.select(effect.of);
      case 'say':
        return say(effect.text);
    }
  };
  return { happens, now: () => hand };
}

function railOf(hand: Hand): string | null {
  return hand.state === 'empty' ? null : hand.rail.of;
}
