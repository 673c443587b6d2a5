import { expect, test } from 'vitest';

import { bands, flatOf, placeOf, readable, span, ticks, without, type Figure } from '../../src/fit/figure';
import { moveOf } from '../../src/fit/moves';
import { ceilingPlan, plan } from '../../src/fit/plan';
import { drawable, type Body } from '../../src/fit/scene';
import { nudge } from '../../src/fit/sheetKeys';
import { sees, viewFor, viewOf, viewText } from '../../src/fit/view';
import { elevation, topAt } from '../../src/fit/wall';
import { onWall, room, standing } from './fit-scene';

const LAMP = onWall('item:lamp', 'east', 1, 1.5);
const SAFE = onWall('item:safe', 'north', 3, 0.5);
const BOX = standing('item:box', 1, -1);
const SCENE = room([LAMP, SAFE, BOX]);
const north = SCENE.walls[0];
const east = SCENE.walls[1];
if (!north || !east) throw new Error('the room has four walls');

const total = (numbers: number[]) => numbers.reduce((sum, n) => sum + n, 0);

test('seen from inside, left is left on every wall', () => {
  for (const wall of SCENE.walls) {
    const figure = elevation(
      room([onWall('item:a', wall.id, 0.5, 1), onWall('item:b', wall.id, 2, 1)]),
      wall,
    );
    const left = (id: string) => figure.elements.find(({ body }) => body.id === id)?.outline[0]?.[0];
    expect(left('item:a')).toBeLessThan(left('item:b') ?? 0);
  }
});

test('a wall is cut outside of its face: the hatch never enters the room', () => {
  const hatch = plan(SCENE).lines.filter((line) => line.hatch === 'wall');
  expect(hatch).toHaveLength(4);
  for (const { points } of hatch) {
    for (const [x, y] of points) expect(x > 1e-9 && x < 4 - 1e-9 && y > 1e-9 && y < 3 - 1e-9).toBe(false);
  }
});

test('corners of a band are mitred', () => {
  const square = [
    [0, 0],
    [1, 0],
    [1, 1],
    [0, 1],
  ] as const;
  const outer = bands(square, 0.1).map((quad) => quad[3]);
  expect(outer[0]?.[0]).toBeCloseTo(-0.1, 12);
  expect(outer[0]?.[1]).toBeCloseTo(-0.1, 12);
});

test('dimensions to both corners and the thing itself make the wall; to floor and ceiling its height', () => {
  const figure = elevation(SCENE, east);
  const lamp = figure.elements.find(({ body }) => body.id === 'item:lamp');
  if (!lamp?.rail) throw new Error('the lamp can be moved');
  for (const place of [lamp.rail.start, { x: 2.2, y: 0.9 }]) {
    const [left, right, floor, ceiling] = figure.distances(lamp, place).map(({ from, to }) => span(from, to));
    expect(total([left ?? 0, 0.4, right ?? 0])).toBeCloseTo(3, 12);
    expect(total([floor ?? 0, 0.2, ceiling ?? 0])).toBeCloseTo(2.4, 12);
  }
});

test('in the plan a thing on a wall is told from both corners, one on the floor from four walls', () => {
  const figure = plan(SCENE);
  const of = (id: string) => {
    const drawn = figure.elements.find(({ body }) => body.id === id);
    if (!drawn?.rail) throw new Error(`${id} can be moved`);
    return figure.distances(drawn, drawn.rail.start);
  };
  expect(total(of('item:lamp').map(({ from, to }) => span(from, to)))).toBeCloseTo(3 - 0.4, 12);
  const four = of('item:box');
  expect(four.map(({ to_what }) => to_what)).toEqual(['west wall', 'east wall', 'north wall', 'south wall']);
  expect(four.map(({ from, to }) => Number(span(from, to).toFixed(6)))).toEqual([0.75, 2.75, 0.75, 1.75]);
});

test('a place in the drawing comes back from its point', () => {
  const figure = elevation(SCENE, north);
  const frame = figure.elements[0]?.frame;
  if (!frame) throw new Error('the safe is drawn');
  const place = placeOf(frame, flatOf(frame, { x: 1.25, y: 2 }));
  expect(place).toEqual({ x: 1.25, y: 2 });
});

test('in the plan a thing on the east wall runs down the screen, and not across', () => {
  const lamp = plan(SCENE).elements.find(({ body }) => body.id === 'item:lamp');
  if (!lamp) throw new Error('the lamp is drawn');
  expect(lamp.rail?.runs).toBe('x');
  expect(nudge(lamp, [0, 1], 0.01)).toEqual({ dx: 0.01, dy: 0 });
  expect(nudge(lamp, [1, 0], 0.01)).toEqual({ dx: 0, dy: 0 });
});

test('an opening runs along its wall in plan and elevation; a door keeps to the floor, a window does not', () => {
  const opening = (id: string, bottom: number): Body => {
    const hole = onWall(`opening:${id}`, 'north', 1, bottom + 0.5, 0.8, 1);
    return { ...hole, kind: 'opening', is: id, existing: true };
  };
  const scene = room([opening('door', 0), opening('window', 0.9)]);
  if (!north) throw new Error('the room has four walls');
  const runs = (figure: Figure) => figure.elements.map(({ body, rail }) => [body.is, rail?.runs]);
  expect(runs(elevation(scene, north))).toEqual([
    ['door', 'x'],
    ['window', 'both'],
  ]);
  const above = plan(scene);
  expect(runs(above)).toEqual([
    ['door', 'x'],
    ['window', 'x'],
  ]);
  const door = above.elements[0];
  if (!door?.rail) throw new Error('the door can be moved');
  expect(door.rail.min.x).toBeCloseTo(0.4, 9);
  expect(door.rail.max.x).toBeCloseTo(3.6, 9);
  const both = above.distances(door, { ...door.rail.start, x: 3 }).map(({ from, to }) => span(from, to));
  expect(both).toEqual([expect.closeTo(2.6, 9), expect.closeTo(0.6, 9)]);
});

test('up on the screen is away from the floor on a wall, and north of the room in the plan', () => {
  const onSheet = elevation(SCENE, north).elements[0];
  const box = plan(SCENE).elements.find(({ body }) => body.id === 'item:box');
  if (!onSheet || !box) throw new Error('both are drawn');
  expect(nudge(onSheet, [0, -1], 0.01).dy).toBe(0.01);
  expect(nudge(box, [0, -1], 0.01)).toEqual({ dx: 0, dy: 0.01 });
});

test('a move names the space and what the surface needs', () => {
  expect(moveOf(LAMP, { x: 1, y: 2 }, 'den')).toEqual({
    of: 'item:lamp',
    space: 'den',
    wall: 'east',
    along_m: 1,
    height_m: 2,
  });
  expect(moveOf(BOX, { x: 1, y: -2 }, 'den')).toEqual({ of: 'item:box', space: 'den', x: 1, y: -2 });
});

test('a chain has its ends, what is between them, and nothing twice', () => {
  expect(ticks(4, [1, 1.0004, 5, -1, 3])).toEqual([0, 1, 3, 4]);
  expect(
    without(4, [
      [1, 2],
      [1.5, 2.5],
      [3.5, 9],
    ]),
  ).toEqual([
    [0, 1],
    [2.5, 3.5],
  ]);
});

test('the chain at the foot of a wall passes through its openings', () => {
  const door = { ...onWall('opening:door', 'north', 1, 1, 0.8, 2), kind: 'opening' as const, is: 'door' };
  const figure = elevation(room([door]), north);
  expect(figure.chains.find(({ rank, out }) => rank === 0 && out[1] === 1)?.ticks).toEqual([0, 0.6, 1.4, 4]);
  const cut = plan(room([door])).lines.filter((line) => line.kind === 'cut');
  expect(cut).toHaveLength(5);
});

test('figures read from below or from the right', () => {
  expect(readable(Math.PI)).toBeCloseTo(0, 12);
  expect(readable(Math.PI / 2)).toBeCloseTo(-Math.PI / 2, 12);
  expect(readable(-Math.PI / 2)).toBeCloseTo(-Math.PI / 2, 12);
  expect(readable(0.3)).toBeCloseTo(0.3, 12);
});

test('under a slope the ceiling is measured above the thing', () => {
  const slope: [number, number][] = [
    [0, 2],
    [4, 3],
  ];
  expect(topAt(slope, 2)).toBeCloseTo(2.5, 12);
  expect(topAt(slope, 5)).toBeNull();
  const figure = elevation(SCENE, { ...north, top: slope });
  const safe = figure.elements[0];
  if (!safe?.rail) throw new Error('the safe can be moved');
  const ceiling = figure.distances(safe, safe.rail.start).find(({ to_what }) => to_what === 'ceiling');
  expect(ceiling && span(ceiling.from, ceiling.to)).toBeCloseTo(2.75 - 0.6, 12);
});

test('a finding is shown where all that it speaks of can be seen', () => {
  expect(viewFor([SAFE], { kind: 'plan' }, SCENE)).toEqual({ kind: 'plan' });
  expect(viewFor([SAFE], { kind: 'wall', wall: 'east' }, SCENE)).toEqual({ kind: 'wall', wall: 'north' });
  expect(viewFor([SAFE, LAMP], { kind: 'wall', wall: 'east' }, SCENE)).toEqual({ kind: 'plan' });
  expect(viewFor([BOX], { kind: 'space' }, SCENE)).toEqual({ kind: 'plan' });
  expect(viewFor([], { kind: 'wall', wall: 'east' }, SCENE)).toEqual({ kind: 'wall', wall: 'east' });
});

test('a URL names a view, and a wall that is gone falls back to the plan', () => {
  for (const text of ['plan', 'ceiling', '3d', 'east']) expect(viewText(viewOf(text, SCENE))).toBe(text);
  expect(viewOf('attic', SCENE)).toEqual({ kind: 'plan' });
});

test('the ceiling plan shows what hangs, and boxes below the ceiling can be pressed', () => {
  const corners: [number, number, number][] = [
    [0, 0, 2],
    [1, 0, 2],
    [1, -1, 2],
    [0, -1, 2],
    [0, 0, 2.4],
    [1, 0, 2.4],
    [1, -1, 2.4],
    [0, -1, 2.4],
  ];
  const hanging = {
    ...standing('item:projector', 2, -1),
    place: 'ceiling' as const,
    moves: 'ceiling' as const,
  };
  const scene = drawable({
    ...room([BOX, hanging]),
    soffits: [{ id: 'soffit:beam', corners, label: 'beam' }],
  });
  expect(ceilingPlan(scene).elements.map(({ body }) => body.id)).toEqual(['soffit:beam', 'item:projector']);
  expect(scene.bodies.filter((body) => sees({ kind: 'ceiling' }, body))).toHaveLength(2);
});

test('a wall that nobody can follow to its ends is left out, and the rest is drawn', () => {
  // The server sends null for what nobody measured, whatever the page's types say of the usual case.
  const unknown = { ...east, from: null, to: null, length_m: null } as unknown as typeof east;
  const scene = drawable({
    ...SCENE,
    closed: false,
    gap_text: 'measure the east wall',
    walls: [north, unknown],
  });
  expect(scene.walls.map(({ id }) => id)).toEqual(['north']);
  expect(plan(scene).notes.map(({ text }) => text)).toEqual(['measure the east wall']);
});

test('a shadow on a picture is drawn where it falls, with whose it is, on that wall alone', () => {
  const scene = room();
  // A picture from 1 m to 3 m along the north wall, 1 m to 2 m high, and a head's shadow at its foot.
  const at = (x: number, z: number): [number, number, number] => [x, 0, z];
  scene.overlays.beams.push({
    item: 'item:projector',
    lens: [2, -2.8, 2.1],
    corners: [at(1, 2), at(3, 2), at(3, 1), at(1, 1)],
    shadows: [
      {
        of: ['seat:left'],
        says: 'somebody standing at seat left: shadow on 3 %',
        passing: true,
        outline: [at(1.5, 1), at(1.8, 1), at(1.8, 1.2), at(1.5, 1.2)],
      },
    ],
  });
  const [facing, side] = [scene.walls[0], scene.walls[1]];
  if (!facing || !side) throw new Error('the room has four walls');
  const figure = elevation(scene, facing);
  const shadow = figure.lines.find(({ of }) => of?.includes('seat:left'));
  expect(shadow?.layer).toBe('beam');
  expect(shadow?.points[0]?.[0]).toBeCloseTo(1.5, 12);
  expect(shadow?.points[2]?.[1]).toBeCloseTo(-1.2, 12);
  expect(figure.remark).toContain('somebody standing at seat left: shadow on 3 % of the picture');
  expect(elevation(scene, side).remark).not.toContain('shadow');
});
