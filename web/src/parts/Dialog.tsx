// A question or a list over the page: the browser's own dialog, which keeps focus and Esc right.

import type { ComponentChildren } from 'preact';
import { useEffect, useId, useRef } from 'preact/hooks';

import { Button } from './Button';

type Props = { title: string; onClose: () => void; children: ComponentChildren };

/** Open as long as it is rendered. */
export function Dialog({ title, onClose, children }: Props) {
  const dialog = useRef<HTMLDialogElement>(null);
  const heading = useId();
  useEffect(() => {
    const element = dialog.current;
    const opener = document.activeElement;
    element?.showModal();
    return () => {
      element?.close();
      // The browser gives the focus back only as long as the dialog itself is on the page.
      setTimeout(() => {
        if (document.activeElement !== document.body) return;
        const back = opener instanceof HTMLElement && opener !== document.body && opener.isConnected ? opener : null;
        (back ?? document.getElementById('main'))?.focus();
      });
    };
  }, []);
  return (
    <dialog
      ref={dialog}
      aria-labelledby={heading}
      onCancel={(event) => {
        event.preventDefault();
        onClose();
      }}
      onClick={(event) => {
        // The element itself is hit only outside its contents: on the backdrop.
        if (event.target === event.currentTarget) onClose();
      }}
    >
      <div class="dialog">
        <div class="dialog-head">
          <h2 id={heading}>{title}</h2>
          <Button kind="quiet" onPress={onClose}>
            Close
          </Button>
        </div>
        {children}
      </div>
    </dialog>
  );
}
