// A file to choose or to drop. The whole window takes the drop, so that a near miss does not leave
// the page.

import type { ComponentChildren } from 'preact';
import { useEffect, useId, useRef, useState } from 'preact/hooks';

type Props = { accept: string; onFile: (file: File) => void; children: ComponentChildren };

export function FileDrop({ accept, onFile, children }: Props) {
  const id = useId();
  const [over, setOver] = useState(false);
  const latest = useRef(onFile);
  latest.current = onFile;

  useEffect(() => {
    const carriesFile = (event: DragEvent) => event.dataTransfer?.types.includes('Files') ?? false;
    const dragOver = (event: DragEvent) => {
      if (!carriesFile(event)) return;
      event.preventDefault();
      setOver(true);
    };
    const leave = (event: DragEvent) => {
      if (event.relatedTarget === null) setOver(false);
    };
    const drop = (event: DragEvent) => {
      const file = event.dataTransfer?.files[0];
      setOver(false);
      if (!file) return;
      event.preventDefault();
      latest.current(file);
    };
    addEventListener('dragover', dragOver);
    addEventListener('dragleave', leave);
    addEventListener('drop', drop);
    return () => {
      removeEventListener('dragover', dragOver);
      removeEventListener('dragleave', leave);
      removeEventListener('drop', drop);
    };
  }, []);

  return (
    <div class={over ? 'drop over' : 'drop'}>
      <input
        id={id}
        class="sr-only"
        type="file"
        accept={accept}
        onChange={(event) => {
          const file = event.currentTarget.files?.[0];
          // The same file can be chosen again once it is mended.
          event.currentTarget.value = '';
          if (file) latest.current(file);
        }}
      />
      <label for={id} class="file-button">
        {children}
      </label>
      <span class="soft small">{over ? 'Let go to open it' : 'or drop it anywhere on this page'}</span>
    </div>
  );
}
