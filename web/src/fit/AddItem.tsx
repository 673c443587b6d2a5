// Puts a piece of kit into the room: which, what it is called, and roughly where. It is then dragged or typed into place.

import { useState } from 'preact/hooks';

import { catalogue } from '../api/client';
import type { Edit } from '../api/schema';
import { useJob } from '../job';
import { Button } from '../parts/Button';
import { Dialog } from '../parts/Dialog';
import { ChoiceField, Field } from '../parts/Field';
import { Waiting } from '../parts/Waiting';
import { link } from '../routes';
import { say } from '../status';
import { length } from '../units';
import { useResource } from '../useResource';
import { freeId, idsAt, listAt } from '../walk/document';
import { first, kitOf, placesOf, usual, type Kit } from './kit';
import type { Scene } from './scene';
import { STEPS } from './sheetKeys';

type Props = {
  scene: Scene;
  /** The wall that is looked at. */
  wall: string | null;
  onClose: () => void;
  onAdded: (body: string) => void;
};

export function AddItem({ scene, wall, onClose, onAdded }: Props) {
  const job = useJob();
  const shop = useResource('catalogue', catalogue.all);
  const [chosen, setChosen] = useState('');
  const [name, setName] = useState('');
  const [picked, setPicked] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);
  const { document, units } = job.view;
  const kit = kitOf(document, shop.data ?? []);
  const choice = kit.find((one) => one.key === chosen) ?? kit[0];
  const places = placesOf(scene, document);
  const where = picked ?? usual(choice?.kind ?? '', scene, wall);

  if (shop.data === null && !shop.trouble) {
    return (
      <Dialog title={`Add to ${scene.name}`} onClose={onClose}>
        <Waiting for="the kit" />
      </Dialog>
    );
  }
  const print = (metres: number): string => {
    const { step } = STEPS[units];
    return length(Math.round(metres / step) * step, units);
  };
  const add = async (one: Kit) => {
    const id = freeId(name.trim() || one.name, idsAt(document, 'item'));
    const set = {
      id,
      is: one.id,
      name: name.trim() || one.name,
      space: scene.space,
      ...first(where, scene, print),
    };
    const edits: Edit[] = [...one.edits, ...listed(document, 'item', id, set)];
    setBusy(true);
    const outcome = await job.change({ edits, summary: `Add ${set.name} to ${scene.name}` });
    setBusy(false);
    if (outcome.is === 'kept') say(`${set.name} waits to be sent: it is drawn once dryfit answers.`);
    if (outcome.is === 'sent') onAdded(`item:${id}`);
    else onClose();
  };
  return (
    <Dialog title={`Add to ${scene.name}`} onClose={onClose}>
      <div class="stack">
        {choice === undefined ? (
          <>
            <p>Neither this job nor the catalogue has any kit yet. Type an entry off its spec sheet, or import a table.</p>
            <p>
              <a class="button main" href={link('catalogue', {}, { job: job.id })}>
                To the catalogue
              </a>
            </p>
          </>
        ) : (
          <>
            <ChoiceField
              label="What"
              help={choice.edits.length > 0 ? 'It is copied from the catalogue into this job.' : null}
              value={choice.key}
              choices={kit.map(({ key, label }) => ({ value: key, label }))}
              onChoose={setChosen}
            />
            <Field label="Name" help={`Left blank, it is called ${choice.name}.`}>
              {(tied) => (
                <input
                  {...tied}
                  type="text"
                  autocomplete="off"
                  value={name}
                  onInput={(event) => setName(event.currentTarget.value)}
                />
              )}
            </Field>
            <ChoiceField
              label="Where"
              help="It stands about the middle until you drag or type it into place."
              value={where}
              choices={places}
              onChoose={setPicked}
            />
            <p class="actions">
              <Button kind="main" busy={busy} onPress={() => void add(choice)}>
                Add {name.trim() || choice.name}
              </Button>
              <a href={link('catalogue', {}, { job: job.id })}>Other kit</a>
            </p>
          </>
        )}
      </div>
    </Dialog>
  );
}

/** An element of a list: the first one brings the list with it. */
function listed(document: unknown, list: string, id: string, set: unknown): Edit[] {
  return listAt(document, list).length === 0 ? [{ at: list, set: [set] }] : [{ at: `${list}.${id}`, set }];
}
