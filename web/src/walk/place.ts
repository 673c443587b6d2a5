// Where in the walk a fact is asked for.

/** Which step and which part of it hold a fact. */
export function placeOf(at: string): Record<string, string | null> {
  const [, space = '', part = '', id = ''] = at.split('.');
  switch (part) {
    case 'walls':
      return { step: 'walls', wall: id, thing: null };
    case 'diagonals':
      return { step: 'walls', wall: null, thing: null };
    case 'ceiling':
      return { step: 'ceiling', wall: null, thing: null };
    case 'soffit':
      return { step: 'ceiling', wall: null, thing: `space.${space}.${part}.${id}` };
    case 'opening':
    case 'fixture':
      return { step: 'things', wall: null, thing: `space.${space}.${part}.${id}` };
    case 'seat':
      return { step: 'seats', wall: null, thing: `space.${space}.${part}.${id}` };
    case 'covering':
      return { step: 'room', wall: null, thing: `space.${space}.${part}.${id}` };
    case 'construction':
      return { step: 'inside', wall: null, thing: `space.${space}.${part}.${id}` };
    default:
      return { step: 'room', wall: null, thing: null };
  }
}
