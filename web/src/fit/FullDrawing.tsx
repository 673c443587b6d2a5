// The drawing over the whole screen of a phone, with what a finger needs below it.

import type { ComponentChildren } from 'preact';
import { useEffect, useRef } from 'preact/hooks';

import type { Verdict as V } from '../api/schema';
import { useJob } from '../job';
import { Button } from '../parts/Button';
import { Verdict } from '../parts/Verdict';
import { useStatus } from '../status';
import { Nudges } from './BodyPanel';
import type { Drawn } from './figure';

type Props = {
  drawing: ComponentChildren;
  changes: ComponentChildren;
  drawn: Drawn | undefined;
  verdict: V | undefined;
  space: string;
  onClose: () => void;
};

export function FullDrawing({ drawing, changes, drawn, verdict, space, onClose }: Props) {
  const job = useJob();
  const dialog = useRef<HTMLDialogElement>(null);
  const words = useStatus();
  useEffect(() => {
    const element = dialog.current;
    element?.showModal();
    return () => element?.close();
  }, []);
  return (
    <dialog
      ref={dialog}
      class="full-drawing"
      aria-label="Drawing"
      onCancel={(event) => {
        event.preventDefault();
        onClose();
      }}
    >
      <div class="full-head">
        <Button onPress={onClose}>To the findings</Button>
        <Button
          kind="quiet"
          busy={job.view.undo === null}
          label={job.view.undo === null ? 'Undo: nothing' : `Undo: ${job.view.undo}`}
          onPress={() => void job.undo()}
        >
          Undo
        </Button>
      </div>
      {drawing}
      <div class="full-foot">
        {/* The page's own status line is out of reach behind a dialog. */}
        <p class="small soft" role="status">
          {words}
        </p>
        {changes}
        {drawn ? (
          <div class="full-body">
            <p>
              <strong>{drawn.body.label}</strong> {verdict ? <Verdict verdict={verdict} /> : null}
            </p>
            <Nudges drawn={drawn} space={space} units={job.view.units} />
          </div>
        ) : null}
      </div>
    </dialog>
  );
}
