// The space in three dimensions: to look at, not to edit. Its words stand below, for those who can't see it.

import { useEffect, useRef, useState } from 'preact/hooks';

import type { Layer } from './figure';
import type { Scene } from './scene';
import type { Stage } from './stage';

type Props = { scene: Scene; layers: ReadonlySet<Layer>; ringed: readonly string[]; selected: string | null };

export function Space3d({ scene, layers, ringed, selected }: Props) {
  const frame = useRef<HTMLDivElement>(null);
  const stage = useRef<Stage | null>(null);
  const [state, setState] = useState<'loading' | 'shown' | string>('loading');

  useEffect(() => {
    let wanted = true;
    import('./stage')
      .then(({ raise }) => {
        if (!wanted || !frame.current) return;
        stage.current = raise(frame.current);
        setState('shown');
      })
      .catch(() => {
        if (wanted) setState('This browser draws nothing in three dimensions. Plan and walls show the same.');
      });
    return () => {
      wanted = false;
      stage.current?.strike();
      stage.current = null;
    };
  }, []);
  useEffect(() => {
    stage.current?.set(scene, layers, [...ringed, ...(selected === null ? [] : [selected])]);
  }, [state, scene, layers, ringed, selected]);

  return (
    <div class="space-3d">
      <div
        ref={frame}
        class="space-3d-frame"
        role="img"
        aria-label={`${scene.name} in three dimensions; the list below says the same in words`}
        tabIndex={0}
        onKeyDown={(event) => {
          if (stage.current?.key(event.key)) event.preventDefault();
        }}
      />
      <p class="soft small" role="status">
        {state === 'loading' ? 'Getting the three-dimensional view …' : state === 'shown' ? '' : state}
      </p>
      <p class="soft small">
        Drag or press arrow keys to turn it, + and − to go nearer. To change something, open plan or a wall.
      </p>
      <details>
        <summary>In words</summary>
        <ul>
          <li>{scene.ceiling.words}</li>
          {scene.walls.map(({ id, name, length_text, faces_text }) => (
            <li key={id}>{[name, length_text, faces_text].filter(Boolean).join(', ')}</li>
          ))}
          {scene.bodies.map(({ id, says }) => (
            <li key={id}>{says}</li>
          ))}
        </ul>
      </details>
    </div>
  );
}
