// Draws a space in three dimensions. Loaded only when somebody asks for it; renders only when something is different.

import {
  BufferGeometry,
  Color,
  DoubleSide,
  EdgesGeometry,
  ExtrudeGeometry,
  Float32BufferAttribute,
  Group,
  LineBasicMaterial,
  LineSegments,
  Mesh,
  MeshBasicMaterial,
  PerspectiveCamera,
  Scene as Three,
  Shape,
  ShapeUtils,
  Vector2,
  Vector3,
  WebGLRenderer,
} from 'three';
import { OrbitControls } from 'three/examples/jsm/controls/OrbitControls.js';

import type { Layer } from './figure';
import type { Body, Scene, Wall, Xy, Xyz } from './scene';

export type Stage = {
  set: (scene: Scene, layers: ReadonlySet<Layer>, marked: readonly string[]) => void;
  /** Turns or comes nearer; whether the key was one of its own. */
  key: (key: string) => boolean;
  /** Frees what the graphics card holds. */
  strike: () => void;
};

const TURN_RAD = Math.PI / 24;

/** Throws where there is no WebGL. */
export function raise(frame: HTMLElement): Stage {
  const renderer = new WebGLRenderer({ antialias: true, alpha: true });
  renderer.setPixelRatio(Math.min(devicePixelRatio, 2));
  frame.append(renderer.domElement);
  const camera = new PerspectiveCamera(40, 1, 0.05, 200);
  camera.up.set(0, 0, 1);
  const controls = new OrbitControls(camera, renderer.domElement);
  controls.maxPolarAngle = Math.PI / 2 - 0.02;
  const three = new Three();
  let shown = new Group();
  let space = '';
  let due = 0;

  const draw = () => {
    if (due !== 0) return;
    due = requestAnimationFrame(() => {
      due = 0;
      renderer.render(three, camera);
    });
  };
  const measure = () => {
    const { width, height } = frame.getBoundingClientRect();
    renderer.setSize(width, height);
    camera.aspect = width / Math.max(height, 1);
    camera.updateProjectionMatrix();
    draw();
  };
  const observer = new ResizeObserver(measure);
  observer.observe(frame);
  controls.addEventListener('change', draw);

  const turn = (around: number, up: number, nearer: number) => {
    const arm = camera.position.clone().sub(controls.target);
    const long = arm.length() * nearer;
    const heading = Math.atan2(arm.y, arm.x) + around;
    const height = Math.min(Math.max(Math.asin(arm.z / arm.length()) + up, 0.03), 1.5);
    arm.set(Math.cos(heading) * Math.cos(height), Math.sin(heading) * Math.cos(height), Math.sin(height));
    camera.position.copy(controls.target).addScaledVector(arm, long);
    controls.update();
    draw();
  };
  const keys: Record<string, [number, number, number]> = {
    ArrowLeft: [-TURN_RAD, 0, 1],
    ArrowRight: [TURN_RAD, 0, 1],
    ArrowUp: [0, TURN_RAD, 1],
    ArrowDown: [0, -TURN_RAD, 1],
    '+': [0, 0, 0.9],
    '=': [0, 0, 0.9],
    '-': [0, 0, 1.1],
  };
  return {
    set: (scene, layers, marked) => {
      three.remove(shown);
      free(shown);
      shown = built(scene, layers, marked, inks(frame));
      three.add(shown);
      if (scene.space !== space) {
        space = scene.space;
        look(camera, controls, scene);
      }
      measure();
    },
    key: (key) => {
      const by = keys[key];
      if (by) turn(...by);
      return by !== undefined;
    },
    strike: () => {
      cancelAnimationFrame(due);
      observer.disconnect();
      controls.dispose();
      free(shown);
      renderer.dispose();
      renderer.domElement.remove();
    },
  };
}

type Inks = Record<'ink' | 'soft' | 'line' | 'accent' | 'ground' | 'raised', Color>;

/** The page's own colours, so that both themes look the same here. */
function inks(frame: HTMLElement): Inks {
  const probe = document.createElement('span');
  frame.append(probe);
  const of = (token: string): Color => {
    probe.style.color = `var(${token})`;
    return new Color(getComputedStyle(probe).color);
  };
  const found = {
    ink: of('--ink'),
    soft: of('--ink-soft'),
    line: of('--line'),
    accent: of('--accent'),
    ground: of('--ground'),
    raised: of('--raised'),
  };
  probe.remove();
  return found;
}

function look(camera: PerspectiveCamera, controls: OrbitControls, scene: Scene): void {
  const { min, max } = scene.bounds;
  const size = Math.max(max[0] - min[0], max[1] - min[1], scene.height_m);
  controls.target.set((min[0] + max[0]) / 2, (min[1] + max[1]) / 2, scene.height_m / 3);
  camera.position.set(controls.target.x - size * 0.45, min[1] - size * 0.95, scene.height_m + size * 0.75);
  controls.update();
}

function built(scene: Scene, layers: ReadonlySet<Layer>, marked: readonly string[], ink: Inks): Group {
  const group = new Group();
  const floor = face(
    scene.floor.map(([x, y]): Xyz => [x, y, 0]),
    new MeshBasicMaterial({ color: ink.raised, side: DoubleSide }),
  );
  group.add(floor);
  for (const wall of scene.walls) if (!wall.open) for (const part of standing(wall, ink)) group.add(part);
  for (const plane of scene.ceiling.planes) group.add(lines(loop(plane), ink.line));
  for (const body of scene.bodies)
    for (const part of solid(body, scene, marked.includes(body.id), ink)) group.add(part);
  const { sight_lines, beams, cones, routes } = scene.overlays;
  if (layers.has('sight')) for (const { from, to } of sight_lines) group.add(lines([from, to], ink.soft));
  if (layers.has('beam'))
    for (const { lens, corners, shadows } of beams) {
      group.add(pyramid(lens, corners, ink));
      for (const { outline } of shadows) group.add(lines(loop(outline), ink.ink));
    }
  if (layers.has('cones')) for (const cone of cones) group.add(mantle(cone, ink.soft));
  if (layers.has('routes'))
    for (const { path } of routes)
      group.add(
        lines(
          path.flatMap((p, i) => (i === 0 ? [] : [path[i - 1] ?? p, p])),
          ink.accent,
        ),
      );
  if (layers.has('framing')) for (const wall of scene.walls) group.add(studs(wall, ink.line));
  return group;
}

/** Where a place on a wall is in the room. */
function inRoom(wall: Wall, along: number, height: number, out = 0): Xyz {
  const unit: Xy = [(wall.to[0] - wall.from[0]) / wall.length_m, (wall.to[1] - wall.from[1]) / wall.length_m];
  // The room lies on the right hand of a walk along its walls.
  return [
    wall.from[0] + unit[0] * along + unit[1] * out,
    wall.from[1] + unit[1] * along - unit[0] * out,
    height,
  ];
}

/** A wall can be seen through from behind: only its inner face is drawn. */
function standing(wall: Wall, ink: Inks): (Mesh | LineSegments)[] {
  const top: Xy[] =
    wall.top.length > 1
      ? wall.top
      : [
          [0, 2.4],
          [wall.length_m, 2.4],
        ];
  const outline = [
    inRoom(wall, 0, 0),
    ...top.map(([along, height]) => inRoom(wall, along, height)),
    inRoom(wall, wall.length_m, 0),
  ];
  const material = new MeshBasicMaterial({
    color: ink.ground,
    polygonOffset: true,
    polygonOffsetFactor: 1,
    polygonOffsetUnits: 1,
  });
  const inside = new Vector3(wall.to[1] - wall.from[1], wall.from[0] - wall.to[0], 0);
  return [face(outline, material, inside), lines(loop(outline), ink.ink)];
}

function studs(wall: Wall, color: Color): LineSegments {
  const height = Math.min(...wall.top.map(([, height]) => height), 2.4);
  return lines(
    wall.studs.flatMap(({ centre_m }) => [
      inRoom(wall, centre_m, 0, 0.004),
      inRoom(wall, centre_m, height, 0.004),
    ]),
    color,
  );
}

function solid(body: Body, scene: Scene, marked: boolean, ink: Inks): (Mesh | LineSegments)[] {
  const edge = marked ? ink.accent : body.existing ? ink.soft : ink.ink;
  const wall = scene.walls.find(({ id }) => id === body.wall);
  const on = body.on_wall;
  const outline: Xy[] | null =
    on !== null && wall !== undefined
      ? [
          [on.left, 0.002],
          [on.right, 0.002],
          [on.right, Math.max(on.out ?? 0.02, 0.01)],
          [on.left, Math.max(on.out ?? 0.02, 0.01)],
        ].map(([along, out]): Xy => {
          const [x, y] = inRoom(wall, along ?? 0, 0, out);
          return [x, y];
        })
      : body.outline;
  const [bottom, top] = on === null ? [body.bottom_m, body.top_m] : [on.bottom, on.top];
  if (outline === null || outline.length < 3 || bottom === null || top === null) return [];
  const shape = new Shape(outline.map(([x, y]) => new Vector2(x, y)));
  const geometry = new ExtrudeGeometry(shape, { depth: Math.max(top - bottom, 0.005), bevelEnabled: false });
  geometry.translate(0, 0, bottom);
  const fill = new MeshBasicMaterial({
    color: ink.raised,
    transparent: body.kind === 'opening' || body.is === 'soffit',
    opacity: body.kind === 'opening' || body.is === 'soffit' ? 0.4 : 1,
    polygonOffset: true,
    polygonOffsetFactor: 1,
    polygonOffsetUnits: 1,
  });
  const edges = new LineSegments(new EdgesGeometry(geometry, 20), new LineBasicMaterial({ color: edge }));
  return [new Mesh(geometry, fill), edges];
}

function pyramid(lens: Xyz, corners: readonly Xyz[], ink: Inks): LineSegments {
  return lines([...corners.flatMap((corner) => [lens, corner]), ...loop(corners)], ink.accent);
}

function mantle(cone: Scene['overlays']['cones'][number], color: Color): LineSegments {
  const axis = new Vector3(...cone.axis).normalize();
  const across = new Vector3(0, 0, 1).cross(axis);
  if (across.length() < 1e-3) across.set(1, 0, 0);
  across.normalize();
  const up = axis.clone().cross(across);
  const radius = cone.reach_m * Math.sin(cone.half_angle_rad);
  const far = cone.reach_m * Math.cos(cone.half_angle_rad);
  const ring = Array.from({ length: 24 }, (_, i): Xyz => {
    const turn = (i / 24) * 2 * Math.PI;
    const at = new Vector3(...cone.apex)
      .addScaledVector(axis, far)
      .addScaledVector(across, radius * Math.cos(turn))
      .addScaledVector(up, radius * Math.sin(turn));
    return [at.x, at.y, at.z];
  });
  return lines(
    [...loop(ring), ...ring.flatMap((point, i) => (i % 6 === 0 ? [cone.apex, point] : []))],
    color,
  );
}

/** A plane outline as pairs of ends. */
function loop(points: readonly Xyz[]): Xyz[] {
  return points.flatMap((point, i) => [point, points[(i + 1) % points.length] ?? point]);
}

function lines(ends: readonly Xyz[], color: Color): LineSegments {
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new Float32BufferAttribute(ends.flat(), 3));
  return new LineSegments(geometry, new LineBasicMaterial({ color }));
}

/** A plane polygon anywhere in the room; seen from the side to which `inside` points, if that is given. */
function face(points: readonly Xyz[], material: MeshBasicMaterial, inside?: Vector3): Mesh {
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new Float32BufferAttribute(points.flat(), 3));
  const triangles = ShapeUtils.triangulateShape(onPlane(points), []).flat();
  geometry.setIndex(triangles);
  if (inside !== undefined && !looks(points, triangles, inside)) geometry.setIndex([...triangles].reverse());
  return new Mesh(geometry, material);
}

/** Whether a triangle's front is towards a direction. */
function looks(points: readonly Xyz[], triangles: readonly number[], way: Vector3): boolean {
  const [a, b, c] = triangles.slice(0, 3).map((i) => new Vector3(...(points[i] ?? [0, 0, 0])));
  if (!a || !b || !c) return true;
  return b.sub(a).cross(c.sub(a)).dot(way) > 0;
}

/** A polygon's points on the axis plane in which it is largest. */
function onPlane(points: readonly Xyz[]): Vector2[] {
  const spread = (axis: 0 | 1 | 2): number =>
    Math.max(...points.map((p) => p[axis])) - Math.min(...points.map((p) => p[axis]));
  if (spread(2) < 1e-6) return points.map(([x, y]) => new Vector2(x, y));
  return points.map(([x, y, z]) => (spread(0) >= spread(1) ? new Vector2(x, z) : new Vector2(y, z)));
}

function free(group: Group): void {
  group.traverse((part) => {
    if (!(part instanceof Mesh || part instanceof LineSegments)) return;
    part.geometry.dispose();
    for (const material of Array.isArray(part.material) ? part.material : [part.material]) material.dispose();
  });
}
