// What is overhead: the shape by chips, its heights, a section that follows, and boxes below it.

import type { Field } from '../api/schema';
import { Button } from '../parts/Button';
import type { Wall } from '../fit/scene';
import { useWalk } from './context';
import { at, freeId, idsAt, listAt, textAt } from './document';
import { Chips, FactField } from './FactField';
import { factOf } from './Walls';
import { ThingFields } from './ThingFields';
import { Unsent, unsentIn } from './Unsent';
import { WalkDrawing, wallFigure } from './WalkDrawing';

const SHAPES = [
  { value: 'flat', label: 'Flat' },
  { value: 'shed', label: 'Shed' },
  { value: 'gable', label: 'Gable' },
  { value: 'hip', label: 'Hip' },
  { value: 'planes', label: 'Planes' },
];

type Props = {
  section: string | null;
  onSection: (wall: string) => void;
  thing: string | null;
  onThing: (at: string | null) => void;
};

export function CeilingStep({ section, onSection, thing, onThing }: Props) {
  const walk = useWalk();
  const path = `space.${walk.space}.ceiling`;
  const shape = textAt(walk.document, `${path}.shape`) ?? 'flat';
  const known = at(walk.document, path);
  const facts = walk.walk.fields.filter((fact) => fact.at.startsWith(`${path}.`) && fact.at !== `${path}.shape`);
  const choose = (value: string) => {
    // What was measured stays, should the shape turn out to be the other after all.
    const kept = Object.entries(typeof known === 'object' && known !== null ? known : {});
    const measured = Object.fromEntries(kept.filter(([, fact]) => fact !== '?'));
    const first = value === 'planes' && listAt(walk.document, `${path}.planes`).length === 0;
    const set = {
      ...(value === 'flat' ? { height: '?' } : {}),
      ...measured,
      shape: value,
      ...(first ? { planes: [planeOf(walls)] } : {}),
    };
    void walk.save(`Ceiling: ${value}`, [{ at: path, set }]);
  };
  const walls = walk.walk.wall_strip.map(({ id }) => id);
  if (walk.walk.kind === 'outdoor') return <p>An outdoor area has no ceiling.</p>;
  return (
    <>
      <Section section={section} onSection={onSection} />
      <Chips
        label="Shape of the ceiling"
        at={`${path}.shape`}
        value={shape}
        choices={SHAPES}
        onChoose={choose}
      />
      <div class="facts-grid">
        {shape === 'planes'
          ? null
          : facts.map((fact) => <FactField key={fact.at} fact={fact} />)}
      </div>
      {shape === 'planes' ? <Planes path={path} facts={facts} walls={walls} /> : null}
      <Soffits walls={walls} thing={thing} onThing={onThing} />
    </>
  );
}

/** Each wall's upper edge as the ceiling leaves it. */
function Section({ section, onSection }: { section: string | null; onSection: (wall: string) => void }) {
  const { scene, units } = useWalk();
  const drawn = scene?.walls ?? [];
  const shown = drawn.find(({ id }) => id === section) ?? drawn.find((wall) => !isLevel(wall)) ?? drawn[0];
  if (!scene || !shown) return <p class="soft small">The section is drawn once a wall has its length.</p>;
  return (
    <div class="section">
      <WalkDrawing figure={wallFigure(scene, shown)} name={scene.name} units={units} />
      <div class="section-foot">
        <p class="small soft">{scene.ceiling.words}</p>
        <label>
          <span>Seen on </span>
          <select value={shown.id} onChange={(event) => onSection(event.currentTarget.value)}>
            {drawn.map((wall) => (
              <option key={wall.id} value={wall.id} selected={wall.id === shown.id}>
                {wall.name}
              </option>
            ))}
          </select>
        </label>
      </div>
    </div>
  );
}

function isLevel(wall: Wall): boolean {
  const heights = wall.top.map(([, height]) => height);
  return Math.max(...heights, 0) - Math.min(...heights) < 0.01;
}

/** A plane through three points, each by two walls and a height; all still to measure. */
function planeOf(walls: readonly string[]) {
  const point = (from: number, and: number) => ({
    from: [walls[from] ?? '', '?'],
    and: [walls[and] ?? '', '?'],
    height: '?',
  });
  return { through: [point(0, 1), point(0, walls.length - 1), point(2, 1)] };
}

type PlanesProps = { path: string; facts: readonly Field[]; walls: readonly string[] };

function Planes({ path, facts, walls }: PlanesProps) {
  const walk = useWalk();
  const planes = listAt(walk.document, `${path}.planes`);
  const names = walk.walk.wall_strip.map(({ id, name }) => ({ value: id, label: name }));
  const point = (plane: number, which: number) => {
    const root = `${path}.planes.${plane}.through.${which}`;
    const height = factOf(facts, `${root}.height`);
    const off = (wall: 'from' | 'and', label: string): Field[] => [
      written(walk.document, `${root}.${wall}.0`, `${label} wall`, 'choice', names),
      written(walk.document, `${root}.${wall}.1`, `Off the ${label.toLowerCase()} wall`, 'length', null),
    ];
    return [...off('from', 'First'), ...off('and', 'Second'), ...(height ? [{ ...height, label: 'Height' }] : [])];
  };
  return (
    <>
      <p class="soft small">Each plane goes through three points that you can reach with a tape, not in one line.</p>
      {planes.map((_, plane) => (
        <section key={plane} aria-label={`Plane ${plane + 1}`}>
          <h3>Plane {plane + 1}</h3>
          {[0, 1, 2].map((which) => (
            <fieldset key={which} class="point">
              <legend>Point {which + 1}</legend>
              <div class="facts-grid">
                {point(plane, which).map((fact) => (
                  <FactField key={fact.at} fact={fact} help={false} />
                ))}
              </div>
            </fieldset>
          ))}
          <Button
            kind="quiet"
            label={`Take plane ${plane + 1} away`}
            onPress={() =>
              void walk.save(`Take plane ${plane + 1} away`, [
                { at: `${path}.planes`, set: planes.filter((_, index) => index !== plane) },
              ])
            }
          >
            Take plane {plane + 1} away
          </Button>
        </section>
      ))}
      <Button
        onPress={() =>
          void walk.save('Add a ceiling plane', [{ at: `${path}.planes`, set: [...planes, planeOf(walls)] }])
        }
      >
        Add a plane
      </Button>
      <Chips
        label="Where planes overlap"
        value={textAt(walk.document, `${path}.join`) ?? 'lowest'}
        choices={[
          { value: 'lowest', label: 'The lowest counts, as in a tent' },
          { value: 'highest', label: 'The highest counts, as in a valley' },
        ]}
        onChoose={(value) => void walk.save(`Ceiling: the ${value} plane counts`, [{ at: `${path}.join`, set: value }])}
      />
    </>
  );
}

/** A fact of a list that the room's own fields do not go into. */
function written(
  document: unknown,
  at: string,
  label: string,
  kind: Field['kind'],
  choices: Field['choices'],
): Field {
  const text = textAt(document, at);
  return { at, label, kind, text: text === '?' ? null : text, unit: null, choices, help: '', blocks: 0 };
}

type SoffitsProps = Pick<Props, 'thing' | 'onThing'> & { walls: readonly string[] };

function Soffits({ walls, thing: opened, onThing }: SoffitsProps) {
  const walk = useWalk();
  const path = `space.${walk.space}.soffit`;
  const add = async () => {
    const id = freeId('beam', idsAt(walk.document, path));
    const set = {
      id,
      from: [walls[0] ?? '', '?'],
      and: [walls[1] ?? '', '?'],
      size: ['?', '?'],
      underside: '?',
    };
    const at = `${path}.${id}`;
    if (await walk.save('Add a soffit or beam', [{ at, set }])) walk.added(at);
  };
  return (
    <section aria-label="Soffits and beams">
      <h3>Soffits and beams</h3>
      <p class="soft small">Boxes below the ceiling: by the corner nearest to two walls, how far they go, and how low.</p>
      {walk.walk.soffits.map((thing) => (
        <ThingFields key={thing.at} thing={thing} opened={opened} onOpen={onThing} />
      ))}
      <Unsent things={unsentIn(walk, path, walk.walk.soffits)} opened={opened} onOpen={onThing} />
      <Button onPress={() => void add()}>Add a soffit or beam</Button>
    </section>
  );
}
