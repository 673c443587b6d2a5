// What a cable's end can name, and which facts a port of a kind has.

import { expect, it } from 'vitest';

import type { Shape } from '../../src/house/shapes';
import { asksOf, endsOf, portedKit } from '../../src/house/sockets';

const DOCUMENT = {
  kit: {
    device: [
      { id: 'box-b1', name: 'Box B1', port: [{ id: 'in', kind: 'video', direction: 'in', count: 2 }] },
      { id: 'spare-b2', port: [] },
    ],
    cable: [{ id: 'lead-v1' }],
  },
  item: [
    { id: 'box', is: 'box-b1', name: 'Box' },
    { id: 'lamp', is: 'lamp-l1' },
  ],
  cable: [{ id: 'V1', from: 'gone.out', to: 'box.in-2' }],
};

it('lists each port by its socket, the cable that is in it, and what is written already', () => {
  expect(endsOf(DOCUMENT)).toEqual([
    { value: 'box', label: 'Box, no port named' },
    { value: 'box.in-1', label: 'Box, in-1: video in' },
    { value: 'box.in-2', label: 'Box, in-2: video in, V1 is in it' },
    { value: 'lamp', label: 'lamp' },
    { value: 'gone.out', label: 'gone.out' },
  ]);
  expect(endsOf({})).toEqual([]);
});

it('shows kit that is used or has ports', () => {
  expect(portedKit(DOCUMENT).map(({ name, words }) => [name, words])).toEqual([['Box B1', 'in × 2']]);
});

it('asks a port for what its kind has, and for what is told already', () => {
  const column = (path: string): Shape => ({
    path,
    label: path,
    help: '',
    holds: 'text',
    unit: null,
    choices: [],
    isRequired: false,
    columns: [],
    rowsLeast: 0,
  });
  const asked = (port: { [key: string]: string }) =>
    ['id', 'kind', 'rate', 'returns', 'feeds'].filter((path) => asksOf(port, column(path)));
  expect(asked({ kind: 'video' })).toEqual(['id', 'kind', 'rate', 'returns']);
  expect(asked({ kind: 'network' })).toEqual(['id', 'kind', 'feeds']);
  expect(asked({ kind: 'line', rate: '18 Gbit/s' })).toEqual(['id', 'kind', 'rate']);
});
