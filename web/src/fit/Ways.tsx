// Which way a cable takes through the house, what else there would be, and what the dearest hole costs.

import { cables } from '../api/client';
import type { CableWay, Edit } from '../api/schema';
import { useJob } from '../job';
import { LOOKS_ONLY, useMay } from '../may';
import { Button } from '../parts/Button';
import { ChoiceField } from '../parts/Field';
import { Strip } from '../parts/Strip';
import { Waiting } from '../parts/Waiting';
import { length } from '../units';
import { useResource, type Resource } from '../useResource';
import { listAt, shownAt } from '../walk/document';
import type { Scene } from './scene';
import { viewName, viewText, type View } from './view';
import { viewsOf } from './waysDrawn';

/** The ways of the cable that is looked at; none while none is. */
export function useWay(cable: string | null): Resource<CableWay | null> {
  const job = useJob();
  return useResource(`${job.id} ${job.revision} way ${cable ?? ''}`, async (signal) =>
    cable === null || cable === '' ? null : cables.way(job.id, cable, signal),
  );
}

/** The job's cables, those that run through the room first. */
export function cablesOf(document: unknown, scene: Scene): { value: string; label: string }[] {
  const here = new Map(scene.overlays.routes.map(({ cable, label }) => [cable, label]));
  const all = listAt(document, 'cable').map((one) => {
    const id = shownAt(one, 'id');
    return { value: id, label: here.get(id) ?? `${id}, ${shownAt(one, 'from')} to ${shownAt(one, 'to')}` };
  });
  return [...all.filter(({ value }) => here.has(value)), ...all.filter(({ value }) => !here.has(value))];
}

type Props = {
  scene: Scene;
  cable: string;
  way: Resource<CableWay | null>;
  view: View | null;
  onCable: (cable: string) => void;
  onView: (view: View) => void;
  onSpace: (space: string) => void;
  onClose: () => void;
};

export function Ways({ scene, cable, way, view, onCable, onView, onSpace, onClose }: Props) {
  const job = useJob();
  const choices = cablesOf(job.view.document, scene);
  const shown = way.data?.cable === cable ? way.data : null;
  return (
    <section class="body-panel ways" aria-label="Ways of cables">
      <div class="fit-head">
        <h2>Ways of cables</h2>
        <Button onPress={onClose}>Close</Button>
      </div>
      {choices.length === 0 ? (
        <p>No cable yet: they are entered on the House page.</p>
      ) : (
        <ChoiceField label="Cable" value={cable} choices={choices} onChoose={onCable} />
      )}
      {way.trouble ? <Strip trouble={way.trouble} onAgain={way.reload} /> : null}
      {shown === null && !way.trouble && choices.length > 0 ? <Waiting for="the way" /> : null}
      {shown === null ? null : <OneCable way={shown} scene={scene} view={view} onView={onView} onSpace={onSpace} />}
    </section>
  );
}

type OneProps = { way: CableWay } & Pick<Props, 'scene' | 'view' | 'onView' | 'onSpace'>;

function OneCable({ way, scene, view, onView, onSpace }: OneProps) {
  const job = useJob();
  const views = viewsOf(scene, way);
  const through = new Set([...way.path, ...(way.other?.path ?? [])].map(({ space }) => space));
  const elsewhere = job.view.spaces.filter(({ id }) => id !== scene.space && through.has(id));
  const take = (edits: Edit[], words: string) => job.save({ edits, summary: `${way.cable}: ${words}` });
  return (
    <>
      {views.length + elsewhere.length > 0 ? (
        <div class="actions" role="group" aria-label="Draw it on">
          {views.map((one) => (
            <Button
              key={viewText(one)}
              pressed={view !== null && viewText(one) === viewText(view)}
              onPress={() => onView(one)}
            >
              {viewName(one, scene)}
            </Button>
          ))}
          {elsewhere.map(({ id, name }) => (
            <Button key={id} onPress={() => onSpace(id)}>
              To {name}
            </Button>
          ))}
        </div>
      ) : null}
      {way.missing === null ? null : <p class="note">Not known yet: {way.missing}</p>}
      {way.legs.length > 0 ? (
        <>
          <h3>As planned{way.path.length > 0 ? ', drawn through' : ''}</h3>
          <p>{way.legs.join(', ')}.</p>
          <p>
            {way.work_text === null ? null : <>{way.work_text}. </>}
            {way.cut_m === null ? null : <>Cut {length(way.cut_m, job.view.units)}.</>}
          </p>
        </>
      ) : null}
      {way.back.length > 0 ? (
        <p>
          {chosenText(way)} because somebody chose so.{' '}
          <Take edits={way.back} words="the cheapest way" onTake={take}>
            Back to the cheapest way
          </Take>
        </p>
      ) : null}
      {way.dear_text === null ? null : (
        <p>
          <strong>The dear step:</strong> {way.dear_text}
        </p>
      )}
      {way.round === null ? null : (
        <>
          <p>
            Round it: {way.round.legs.join(', ')}. {way.round.work_text}.
          </p>
          <Take edits={way.round.edits} words="round the dear step" onTake={take}>
            Go round it
          </Take>
        </>
      )}
      {way.other === null ? (
        way.path.length > 0 ? (
          <p class="soft">There is no way of another kind.</p>
        ) : null
      ) : (
        <>
          <h3>The other way, dotted: without {way.other.leaves_out.join(' and ')}</h3>
          <p>{way.other.legs.join(', ')}.</p>
          <p>
            {way.other.work_text}. Against the way as planned: {way.other.against_text}.
          </p>
          <Take edits={way.other.edits} words="the other way" onTake={take}>
            Take this way
          </Take>
        </>
      )}
      {way.existing.length > 0 ? (
        <>
          <h3>The old cable</h3>
          <ul>
            {way.existing.map(({ says, not_open, work_text }) => (
              <li key={says}>
                {says}: {not_open === null ? work_text : `not open, ${not_open}`}
              </li>
            ))}
          </ul>
        </>
      ) : null}
      {way.path.length > 0 || way.existing.length > 0 ? (
        <p class="soft">
          Before any hole: look for mains, pipes and gas in the wall; seal holes through plates and blocks. Rated walls,
          mains and what carries the house are for licensed trades and the local code.
        </p>
      ) : null}
    </>
  );
}

/** "It keeps out of the attic and goes round the top plate of wall street in Den". */
function chosenText({ keeps_out_of, goes_round }: CableWay): string {
  const kept = keeps_out_of.length > 0 ? [`keeps out of ${keeps_out_of.join(' and ')}`] : [];
  const round = goes_round.length > 0 ? [`goes round ${goes_round.join(' and ')}`] : [];
  return `It ${[...kept, ...round].join(' and ')}`;
}

type TakeProps = {
  edits: Edit[];
  words: string;
  children: string;
  onTake: (edits: Edit[], words: string) => Promise<unknown>;
};

function Take({ edits, words, children, onTake }: TakeProps) {
  const may = useMay();
  return (
    <Button because={may === 'change' ? null : LOOKS_ONLY} onPress={() => void onTake(edits, words)}>
      {children}
    </Button>
  );
}
