// Where a reader has panned and zoomed a drawing to, and how it is fitted before that.

import { useEffect, useLayoutEffect, useRef, useState } from 'preact/hooks';

import {
  fitted,
  panned,
  zoomed,
  type Camera,
  type Flat,
  type Margins,
  type Pixel,
  type Size,
} from './camera';
import { dot, type Chain, type Figure, type WallName } from './figure';
import { BLOCK_PX } from './marks';

/** Below this the drawing keeps only whole lengths beside its walls. */
export const NARROW_PX = 560;

function marginsOf(figure: Figure, size: Size): Margins {
  const narrow = size.width < NARROW_PX;
  const ranks = narrow ? 1 : Math.max(1, ...figure.chains.map((chain) => chain.rank + 1));
  const beside = (side: (out: Flat) => boolean): number => {
    const rows = figure.chains.filter((chain) => side(chain.out)).map((chain) => chain.rank + 1);
    return rows.length === 0 ? 40 : 34 + 24 * Math.min(ranks, Math.max(...rows));
  };
  const named = figure.wall_names.length > 0 ? 22 : 0;
  return {
    left: beside((out) => out[0] < -0.5) + named,
    right: beside((out) => out[0] > 0.5) + named,
    top: beside((out) => out[1] < -0.5) + named,
    bottom: beside((out) => out[1] > 0.5) + named + BLOCK_PX,
  };
}

export function ranked(size: Size, figure: Figure): (chain: Chain) => boolean {
  if (size.width >= NARROW_PX) return () => true;
  const whole = (chain: Chain): boolean => chain.text !== undefined || chain.ticks.length === 2;
  return (chain) =>
    whole(chain) && (chain.text !== undefined || chain.rank === 0 || figure.chains.length < 3);
}

export function chainsOf(figure: Figure, name: WallName, size: Size): number {
  if (size.width < NARROW_PX) return 0;
  const own = figure.chains.filter((chain) => dot(chain.out, name.out) > 0.99 && near(chain, name));
  return Math.max(-1, ...own.map((chain) => chain.rank));
}

function near(chain: Chain, name: WallName): boolean {
  const middle: Flat = [(chain.from[0] + chain.to[0]) / 2, (chain.from[1] + chain.to[1]) / 2];
  return Math.hypot(middle[0] - name.at[0], middle[1] - name.at[1]) < 0.01;
}

export function useSize(svg: { current: SVGSVGElement | null }): Size {
  const [size, setSize] = useState<Size>({ width: 0, height: 0 });
  useLayoutEffect(() => {
    const element = svg.current;
    if (!element) return;
    const measure = () => {
      const { width, height } = element.getBoundingClientRect();
      setSize((old) => (old.width === width && old.height === height ? old : { width, height }));
    };
    measure();
    const observer = new ResizeObserver(measure);
    observer.observe(element);
    return () => observer.disconnect();
  }, []);
  return size;
}

/** Fitted to the screen until the reader pans or zooms; then where that left it, for as long as the drawing is the same. */
export function useCamera(
  id: string,
  figure: Figure,
  size: Size,
  isHeld: () => boolean,
): [Camera, (change: Camera | ((old: Camera) => Camera) | 'fit') => void] {
  const fit = (): Camera => fitted(figure.bounds, size, marginsOf(figure, size));
  const key = id;
  const [state, setState] = useState<{ key: string; camera: Camera }>({ key: '', camera: fit() });
  // The ground stays put under a body in the hand, whatever the page does around the drawing.
  const last = useRef<{ id: string; camera: Camera } | null>(null);
  const kept = last.current?.id === id && isHeld() ? last.current.camera : null;
  const camera = kept ?? (state.key === key ? state.camera : fit());
  last.current = { id, camera };
  const set = (change: Camera | ((old: Camera) => Camera) | 'fit') => {
    if (change === 'fit') return setState({ key: '', camera });
    setState((old) => {
      const from = old.key === key ? old.camera : fit();
      return { key, camera: typeof change === 'function' ? change(from) : change };
    });
  };
  return [camera, set];
}

export type SetCamera = ReturnType<typeof useCamera>[1];

export function useWheel(svg: { current: SVGSVGElement | null }, setCamera: SetCamera): void {
  const latest = useRef(setCamera);
  latest.current = setCamera;
  useEffect(() => {
    const element = svg.current;
    if (!element) return;
    const onWheel = (event: WheelEvent) => {
      event.preventDefault();
      const about = pixelAt(event, element);
      const turns = event.deltaMode === WheelEvent.DOM_DELTA_LINE ? event.deltaY * 16 : event.deltaY;
      latest.current((camera) => zoomed(camera, Math.exp(-turns / 400), about));
    };
    element.addEventListener('wheel', onWheel, { passive: false });
    return () => element.removeEventListener('wheel', onWheel);
  }, []);
}

export function cameraKey(event: KeyboardEvent, size: Size, figure: Figure, setCamera: SetCamera): boolean {
  const middle: Pixel = [size.width / 2, size.height / 2];
  const pan: Record<string, Pixel> = {
    ArrowLeft: [60, 0],
    ArrowRight: [-60, 0],
    ArrowUp: [0, 60],
    ArrowDown: [0, -60],
  };
  const by = event.shiftKey ? pan[event.key] : undefined;
  if (by) setCamera((camera) => panned(camera, by[0], by[1]));
  else if (event.key === '+' || event.key === '=') setCamera((camera) => zoomed(camera, 1.25, middle));
  else if (event.key === '-') setCamera((camera) => zoomed(camera, 0.8, middle));
  else if (event.key === '0') setCamera(fitted(figure.bounds, size, marginsOf(figure, size)));
  else return false;
  return true;
}

export function pixelAt(event: MouseEvent, element: Element): Pixel {
  const { left, top } = element.getBoundingClientRect();
  return [event.clientX - left, event.clientY - top];
}
