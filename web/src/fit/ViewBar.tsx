// Which drawing is open, and what it shows.

import { Button } from '../parts/Button';
import { useNarrow } from './useNarrow';
import { LAYERS, type Layer } from './figure';
import type { Scene } from './scene';
import { viewName, viewText, type View } from './view';

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
  const walls = scene.walls.filter(
    (wall) => !wall.open || scene.bodies.some((body) => body.wall === wall.id),
  );
  const narrow = useNarrow();
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
      {narrow ? (
        <ViewSelect
          scene={scene}
          chosen={view}
          views={[...flat, ...walls.map(({ id }): View => ({ kind: 'wall', wall: id }))]}
          onView={onView}
        />
      ) : (
        <div class="view-choice" role="group" aria-label="Drawing">
          {flat.map((choice) => (
            <Button key={choice.kind} pressed={choice.kind === view.kind} onPress={() => onView(choice)}>
              {viewName(choice, scene)}
            </Button>
          ))}
          <ViewSelect
            scene={scene}
            chosen={view.kind === 'wall' ? view : null}
            views={walls.map(({ id }): View => ({ kind: 'wall', wall: id }))}
            onView={onView}
          />
        </div>
      )}
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

type SelectProps = {
  scene: Scene;
  chosen: View | null;
  views: readonly View[];
  onView: (view: View) => void;
};

/** Drawings by name; without a chosen one it invites to a wall. */
function ViewSelect({ scene, chosen, views, onView }: SelectProps) {
  const text = chosen === null ? '' : viewText(chosen);
  return (
    <label>
      <span class="sr-only">{views.every(({ kind }) => kind === 'wall') ? 'Wall' : 'Drawing'}</span>
      <select
        class={text === '' ? undefined : 'pressed'}
        value={text}
        onChange={(event) => {
          const wanted = views.find((view) => viewText(view) === event.currentTarget.value);
          if (wanted) onView(wanted);
        }}
      >
        {views.every(({ kind }) => kind === 'wall') ? <option value="">Wall …</option> : null}
        {views.map((view) => (
          <option key={viewText(view)} value={viewText(view)} selected={viewText(view) === text}>
            {viewName(view, scene)}
          </option>
        ))}
      </select>
    </label>
  );
}
