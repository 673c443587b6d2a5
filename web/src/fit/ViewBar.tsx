// Which drawing is open, and what it shows.

import { Button } from '../parts/Button';
import { LAYERS, type Layer } from './figure';
import type { Scene } from './scene';
import { viewName, type View } from './view';

type Props = {
  scene: Scene;
  view: View;
  spaces: readonly { id: string; name: string }[];
  onSpace: (space: string) => void;
  onView: (view: View) => void;
  layers: ReadonlySet<Layer>;
  onLayers: (layers: Set<Layer>) => void;
};

export function ViewBar({ scene, view, spaces, onSpace, onView, layers, onLayers }: Props) {
  const walls = scene.walls.filter((wall) => !wall.open || scene.bodies.some((body) => body.wall === wall.id));
  const flat: View[] = [{ kind: 'plan' }, { kind: 'ceiling' }, { kind: 'space' }];
  return (
    <div class="view-bar">
      <label class="view-space">
        <span class="sr-only">Room</span>
        <select value={scene.space} onChange={(event) => onSpace(event.currentTarget.value)}>
          {spaces.map(({ id, name }) => (
            <option key={id} value={id} selected={id === scene.space}>
              {name}
            </option>
          ))}
        </select>
      </label>
      <div class="view-choice" role="group" aria-label="Drawing">
        {flat.map((choice) => (
          <Button key={choice.kind} pressed={choice.kind === view.kind} onPress={() => onView(choice)}>
            {viewName(choice, scene)}
          </Button>
        ))}
        <label>
          <span class="sr-only">Wall</span>
          <select
            class={view.kind === 'wall' ? 'pressed' : undefined}
            value={view.kind === 'wall' ? view.wall : ''}
            onChange={(event) => {
              const wall = event.currentTarget.value;
              if (wall !== '') onView({ kind: 'wall', wall });
            }}
          >
            <option value="">Wall …</option>
            {walls.map(({ id, name }) => (
              <option key={id} value={id} selected={view.kind === 'wall' && view.wall === id}>
                {name}
              </option>
            ))}
          </select>
        </label>
      </div>
      <details class="view-layers">
        <summary>Show</summary>
        <div>
          {LAYERS.map(({ id, name }) => (
            <label key={id} class="check">
              <input
                type="checkbox"
                checked={layers.has(id)}
                onChange={(event) => {
                  const next = new Set(layers);
                  if (event.currentTarget.checked) next.add(id);
                  else next.delete(id);
                  onLayers(next);
                }}
              />
              {name}
            </label>
          ))}
        </div>
      </details>
    </div>
  );
}
