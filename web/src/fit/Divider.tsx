// The line between drawing and findings, moved by pointer or keys; where it stands is kept on this device.

import { useRef, useState } from 'preact/hooks';

const KEY = 'dryfit:fit-split';
const MIN = 25;
const MAX = 75;
const USUAL = 58;

/** The drawing's share of the width in per cent, and a way to change it. */
export function useSplit(): [number, (share: number) => void] {
  const [share, setShare] = useState(kept);
  return [
    share,
    (wanted) => {
      const next = Math.min(Math.max(Math.round(wanted), MIN), MAX);
      setShare(next);
      keep(next);
    },
  ];
}

export function Divider({ share, onShare }: { share: number; onShare: (share: number) => void }) {
  const held = useRef(false);
  return (
    <div
      class="divider"
      role="separator"
      aria-orientation="vertical"
      aria-label="Width of the drawing"
      aria-valuenow={share}
      aria-valuemin={MIN}
      aria-valuemax={MAX}
      tabIndex={0}
      onPointerDown={(event) => {
        held.current = true;
        event.currentTarget.setPointerCapture(event.pointerId);
      }}
      onPointerMove={(event) => {
        const around = event.currentTarget.parentElement?.getBoundingClientRect();
        if (held.current && around) onShare(((event.clientX - around.left) / around.width) * 100);
      }}
      onPointerUp={() => (held.current = false)}
      onPointerCancel={() => (held.current = false)}
      onKeyDown={(event) => {
        const steps: Record<string, number> = {
          ArrowLeft: share - 2,
          ArrowRight: share + 2,
          Home: MIN,
          End: MAX,
        };
        const next = steps[event.key];
        if (next === undefined) return;
        event.preventDefault();
        onShare(next);
      }}
    />
  );
}

function kept(): number {
  try {
    const found = Number(localStorage.getItem(KEY));
    return found >= MIN && found <= MAX ? found : USUAL;
  } catch {
    return USUAL;
  }
}

function keep(share: number): void {
  try {
    localStorage.setItem(KEY, String(share));
  } catch {
    // Storage is shut off: the line stays where it is for as long as the page is open.
  }
}
