// What mouse, pen and fingers do to a drawing: press, drag a body, pan, pinch.

import { useMemo, useRef } from 'preact/hooks';

import { flat, panned, pinched, type Camera, type Pixel } from './camera';
import type { Place } from './drag';
import { placeOf, type Drawn, type Figure } from './figure';
import { targetSize } from './elements';
import { pick } from './pick';
import { pixelAt, type SetCamera } from './useCamera';
import type { Hands } from './useHand';

/** A press that goes this far is a drag, px: a finger rolls where a mouse does not. */
const THRESHOLD_PX = { mouse: 3, touch: 8 };
/** How near a line has to be to hold on to a body, px. */
const SNAP_PX = 8;

type Grabbed =
  | { is: 'body'; drawn: Drawn }
  | { is: 'ground'; from: Pixel; camera: Camera; moved: boolean; press: () => void };

type PointerParts = {
  camera: Camera;
  setCamera: SetCamera;
  hands: Hands;
  figure: Figure;
  onSelect: (body: string | null) => void;
  onOpenWall: (wall: string) => void;
};

export function usePointers(svg: { current: SVGSVGElement | null }, parts: PointerParts) {
  const latest = useRef(parts);
  latest.current = parts;
  return useMemo(() => {
    const down = new Map<number, Pixel>();
    let grabbed: Grabbed | null = null;
    let frame = 0;
    let waiting: PointerEvent | null = null;

    const place = (drawn: Drawn, where: Pixel): Place =>
      placeOf(drawn.frame, flat(latest.current.camera, where));
    const moved = (event: PointerEvent) => {
      const element = svg.current;
      if (!element || !down.has(event.pointerId)) return;
      const where = pixelAt(event, element);
      const before = [...down.values()];
      down.set(event.pointerId, where);
      const [a, b] = before;
      const [c, d] = [...down.values()];
      if (a && b && c && d) return latest.current.setCamera((camera) => pinched(camera, [a, b], [c, d]));
      if (grabbed?.is === 'body') {
        const threshold_px = event.pointerType === 'mouse' ? THRESHOLD_PX.mouse : THRESHOLD_PX.touch;
        latest.current.hands.happens(
          {
            is: 'moved',
            to: place(grabbed.drawn, where),
            px: where,
            threshold_px,
            reach_m: SNAP_PX / latest.current.camera.scale,
            free: event.altKey,
          },
          event.timeStamp,
        );
      } else if (grabbed?.is === 'ground') {
        const { from, camera } = grabbed;
        const far = Math.hypot(where[0] - from[0], where[1] - from[1]);
        if (far >= THRESHOLD_PX.touch) grabbed.moved = true;
        if (grabbed.moved) latest.current.setCamera(panned(camera, where[0] - from[0], where[1] - from[1]));
      }
    };
    const flush = () => {
      cancelAnimationFrame(frame);
      frame = 0;
      const event = waiting;
      waiting = null;
      if (event) moved(event);
    };
    const ended = (event: PointerEvent, given: 'up' | 'taken') => {
      flush();
      down.delete(event.pointerId);
      if (grabbed?.is === 'body')
        latest.current.hands.happens({ is: given === 'up' ? 'released' : 'put back' });
      if (grabbed?.is === 'ground' && !grabbed.moved && given === 'up') grabbed.press();
      grabbed = null;
    };
    return {
      onPointerDown: (event: PointerEvent) => {
        const element = svg.current;
        if (!element || event.button !== 0) return;
        const where = pixelAt(event, element);
        down.set(event.pointerId, where);
        element.setPointerCapture(event.pointerId);
        if (down.size > 1) {
          // A second finger makes it a pinch.
          latest.current.hands.happens({ is: 'put back' });
          grabbed = null;
          return;
        }
        const { figure, camera, hands } = latest.current;
        const wall =
          event.target instanceof Element
            ? event.target.closest('[data-wall]')?.getAttribute('data-wall')
            : null;
        const drawn = wall ? null : pick(figure.elements, camera, where, targetSize());
        if (drawn?.rail && hands.now().state === 'empty') {
          grabbed = { is: 'body', drawn };
          hands.happens({ is: 'pressed', rail: drawn.rail, at: place(drawn, where), px: where });
          return;
        }
        const press = () => {
          if (wall) latest.current.onOpenWall(wall);
          else latest.current.onSelect(drawn?.body.id ?? null);
        };
        grabbed = { is: 'ground', from: where, camera, moved: false, press };
      },
      onPointerMove: (event: PointerEvent) => {
        if (!down.has(event.pointerId)) return;
        if (down.size > 1) return moved(event);
        waiting = event;
        if (frame === 0) frame = requestAnimationFrame(flush);
      },
      onPointerUp: (event: PointerEvent) => ended(event, 'up'),
      onPointerCancel: (event: PointerEvent) => ended(event, 'taken'),
    };
  }, []);
}
