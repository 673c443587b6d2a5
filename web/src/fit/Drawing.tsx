// The drawing of a space with the choice of views above it; what is dragged in it is proved and saved.

import { useEffect, useMemo, useRef } from 'preact/hooks';

import { findings as api, isAborted, newOp, Refused, troubleOf } from '../api/client';
import type { Finding, Proved, Verdict } from '../api/schema';
import { useJob } from '../job';
import { useKeyHelp } from '../keys';
import { LOOKS_ONLY, useMay } from '../may';
import { withinReach } from '../reach';
import { say } from '../status';
import { counted } from '../units';
import type { Drafts } from './draft';
import type { Place } from './drag';
import type { Figure, Layer } from './figure';
import { Live } from './live';
import { moveOf } from './moves';
import { ceilingPlan, plan } from './plan';
import type { Scene } from './scene';
import { Sheet } from './Sheet';
import { Space3d } from './Space3d';
import type { View } from './view';
import { ViewBar } from './ViewBar';
import { elevation } from './wall';

type Props = {
  scene: Scene;
  view: View;
  /** The view as it is drawn; null where it is not flat. */
  figure: Figure | null;
  layers: ReadonlySet<Layer>;
  selected: string | null;
  finding: Finding | null;
  verdicts: ReadonlyMap<string, Verdict>;
  deciding: ReadonlySet<string>;
  drafts: Drafts;
  onSpace: (space: string) => void;
  onView: (view: View) => void;
  onLayers: (layers: Set<Layer>) => void;
  onSelect: (body: string | null) => void;
};

const KEYS = [
  { keys: 'Arrows in the drawing', does: 'walk its elements' },
  { keys: 'Enter', does: 'pick the element up, or put it down' },
  { keys: 'Arrows with one in the hand', does: 'move it by 1 in or 1 cm, with Shift by 1/8 in or 1 mm' },
  { keys: 'Page Up, Page Down, Home, End', does: 'move it by 1 ft or 25 cm up, down, left, right' },
  { keys: 'Esc', does: 'put it back' },
  { keys: '+ and −, 0', does: 'zoom the drawing, fit it' },
  { keys: 'Shift arrows', does: 'pan the drawing' },
  { keys: 'Alt while dragging', does: 'let go of the lines that hold it' },
];

/** A save waits for the scene that shows it, but not forever, ms. */
const ARRIVES_MS = 4000;

export function Drawing(props: Props) {
  const { scene, view, figure, layers, selected, finding, verdicts, drafts } = props;
  const job = useJob();
  const may = useMay();
  const ringed = useMemo(
    () => (finding && finding.space === scene.space ? finding.about : []),
    [finding, scene.space],
  );
  const moving = useMoving(scene, drafts);
  useKeyHelp(KEYS);

  const hidden = scene.bodies.filter((body) => body.missing !== null);
  return (
    <div class="fit-sheet">
      <ViewBar
        scene={scene}
        view={view}
        spaces={job.view.spaces}
        onSpace={props.onSpace}
        onView={props.onView}
        layers={layers}
        onLayers={props.onLayers}
      />
      <p id="sheet-keys" class="sr-only">
        Arrow keys walk what is drawn, Enter picks it up, arrow keys then move it, Enter puts it down and
        Escape puts it back.
      </p>
      {figure === null ? (
        <Space3d scene={scene} layers={layers} ringed={ringed} selected={selected} />
      ) : (
        <Sheet
          id={`${job.id} ${scene.space} ${figure.title}`}
          name={scene.name}
          figure={figure}
          units={scene.units}
          layers={layers}
          selected={selected}
          ringed={ringed}
          verdicts={verdicts}
          deciding={props.deciding}
          carried={moving}
          onSelect={props.onSelect}
          onOpenWall={(wall) => props.onView({ kind: 'wall', wall })}
        />
      )}
      {may === 'look' && figure !== null ? (
        <p class="sheet-remark">{LOOKS_ONLY} Nothing drawn here can be moved from it.</p>
      ) : null}
      {figure?.remark ? <p class="sheet-remark">{figure.remark}</p> : null}
      {hidden.length > 0 ? (
        <details class="not-drawn">
          <summary>{counted(hidden.length, 'thing')} can’t be drawn yet</summary>
          <ul>
            {hidden.map((body) => (
              <li key={body.id}>
                <button type="button" class="button quiet" onClick={() => props.onSelect(body.id)}>
                  {body.label}
                </button>{' '}
                <span class="soft">{body.missing}</span>
              </li>
            ))}
          </ul>
        </details>
      ) : null}
    </div>
  );
}

/** Without rails nothing can be picked up, by pointer or by keys. */
export function fixed(figure: Figure): Figure {
  return { ...figure, elements: figure.elements.map((drawn) => ({ ...drawn, rail: null })) };
}

/** Null where the view is not flat. */
export function figureOf(scene: Scene, view: View): Figure | null {
  switch (view.kind) {
    case 'plan':
      return plan(scene);
    case 'ceiling':
      return ceilingPlan(scene);
    case 'space':
      return null;
    case 'wall': {
      const wall = scene.walls.find(({ id }) => id === view.wall);
      return wall === undefined ? plan(scene) : elevation(scene, wall);
    }
  }
}

type Asked = { of: string; place: Place; since: number };

/** Proves positions while they change and saves the last one. */
function useMoving(scene: Scene, drafts: Drafts) {
  const job = useJob();
  const latest = useRef({ scene, job });
  latest.current = { scene, job };
  const arrivals = useRef<(() => void)[]>([]);
  useEffect(() => {
    for (const arrived of arrivals.current.splice(0)) arrived();
  }, [scene]);

  const moving = useMemo(() => {
    const client = newOp();
    const movesOf = ({ of, place }: { of: string; place: Place }) => {
      const { scene } = latest.current;
      return scene.bodies.filter(({ id }) => id === of).map((body) => moveOf(body, place, scene.space));
    };
    const live = new Live<Asked, Proved | { refused: string }>(
      async (asked, seq, signal) => {
        const { job } = latest.current;
        try {
          return await api.prove(job.id, { base: job.revision, client, seq, moves: movesOf(asked) }, signal);
        } catch (thrown) {
          if (!(thrown instanceof Refused)) throw thrown;
          const { status, message } = thrown.trouble;
          // A newer question overtook this one.
          if (status === 409) return null;
          if (status === 422) return { refused: message };
          throw thrown;
        }
      },
      (answer, { since }) =>
        drafts.set(
          'delta' in answer
            ? { delta: answer.delta, edits: answer.edits, since }
            : { refused: answer.refused, since },
        ),
      (thrown) => {
        if (!isAborted(thrown)) say(`The move can’t be proved: ${troubleOf(thrown).message}`);
      },
    );
    const restore = () => {
      live.stop();
      drafts.set(null);
    };
    return {
      prove: (of: string, place: Place, since: number) => live.offer({ of, place, since }),
      restore,
      save: async (of: string, place: Place) => {
        live.stop();
        const { scene, job } = latest.current;
        const label = scene.bodies.find(({ id }) => id === of)?.label ?? of;
        const arrived = new Promise<void>((resolve) => {
          arrivals.current.push(resolve);
          setTimeout(resolve, ARRIVES_MS);
        });
        const saved = await job.save({ moves: movesOf({ of, place }), summary: `Move ${label}` });
        if (saved !== null) await arrived;
        else if (withinReach()) say(`${label} is back where it stood: it can’t go there.`);
        else say(`${label} is moved once dryfit answers again; until then it is drawn where it stood.`);
        drafts.set(null);
        return saved !== null;
      },
    };
  }, []);
  useEffect(() => moving.restore, [moving]);
  return moving;
}
