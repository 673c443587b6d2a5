// One body's facts to type in, and buttons that move it by a step: whatever a drag does, without dragging.

import { useState } from 'preact/hooks';

import type { Units, Verdict as V } from '../api/schema';
import { useJob } from '../job';
import { useMay } from '../may';
import { Button } from '../parts/Button';
import { Verdict } from '../parts/Verdict';
import { BLANK, counted, length } from '../units';
import { RackOf } from '../wiring/Racks';
import type { Place } from './drag';
import { FactField } from './FactField';
import type { Drawn } from './figure';
import { moveOf } from './moves';
import type { Body } from './scene';
import { nudge, STEPS } from './sheetKeys';

type Props = {
  body: Body;
  /** As it stands in the open drawing; none when that does not show it. */
  drawn: Drawn | undefined;
  space: string;
  verdict: V | undefined;
  /** How many findings speak of it. */
  findings: number;
  /** Another part of the page is what the reader looks at. */
  folded: boolean;
  onFindings: () => void;
  onClose: () => void;
};

export function BodyPanel({ body, drawn, space, verdict, findings, folded, onFindings, onClose }: Props) {
  const job = useJob();
  const may = useMay();
  const takeOut = async () => {
    const saved = await job.save({ edits: [{ at: body.at, set: null }], summary: `Take ${body.label} out` });
    if (saved) onClose();
  };
  return (
    <section class="body-panel" aria-label={body.label}>
      <div class="body-head">
        <h2>{body.label}</h2>
        {verdict ? <Verdict verdict={verdict} /> : null}
        <Button kind="quiet" label={`Close ${body.label}`} onPress={onClose}>
          Close
        </Button>
      </div>
      <p class="soft small">
        {body.says}
        {body.existing ? '. It is there already.' : ''}
      </p>
      {body.missing === null ? null : <p class="note">{body.missing}</p>}
      {body.is === 'cupboard' && body.kind === 'item' ? <RackOf item={body.at.replace(/^item\./, '')} /> : null}
      {drawn?.rail ? <Nudges drawn={drawn} space={space} units={job.view.units} /> : null}
      {body.fields.length > 0 ? (
        <details class="body-facts" open={!folded}>
          <summary>
            {counted(body.fields.length, 'fact')} to read{may === 'look' ? '' : ' or type'}
          </summary>
          {may === 'look' ? (
            <dl class="inputs">
              {body.fields.map((fact) => (
                <div key={fact.at}>
                  <dt>{fact.label}</dt>
                  <dd>{fact.text ?? BLANK}</dd>
                </div>
              ))}
            </dl>
          ) : (
            <div class="body-fields">
              {body.fields.map((fact) => (
                <FactField key={fact.at} fact={fact} label={body.label} />
              ))}
            </div>
          )}
        </details>
      ) : null}
      {may === 'change' && body.kind === 'item' ? (
        <p>
          <Button kind="quiet" onPress={() => void takeOut()}>
            Take it out of the job: {body.label}
          </Button>
        </p>
      ) : null}
      {findings > 0 ? (
        <p>
          <Button kind="quiet" onPress={onFindings}>
            {findings === 1 ? 'Show the finding about it' : `Show the ${findings} findings about it`}
          </Button>
        </p>
      ) : null}
    </section>
  );
}

/** Left, right, up and down as the open drawing shows them. */
export function Nudges({ drawn, space, units }: { drawn: Drawn; space: string; units: Units }) {
  const job = useJob();
  const [busy, setBusy] = useState(false);
  const { rail, body } = drawn;
  if (!rail) return null;
  const { step } = STEPS[units];
  const ways = [
    { word: 'left', way: [-1, 0] },
    { word: 'right', way: [1, 0] },
    { word: 'up', way: [0, -1] },
    { word: 'down', way: [0, 1] },
  ] as const;
  const able = ways.filter(({ way }) => {
    const { dx, dy } = nudge(drawn, way, step);
    return (dx !== 0 && rail.runs !== 'y') || (dy !== 0 && rail.runs !== 'x');
  });
  const press = async (word: string, dx: number, dy: number) => {
    const place: Place = { x: rail.start.x + dx, y: rail.start.y + dy };
    setBusy(true);
    const moves = [moveOf(body, place, space)];
    await job.save({ moves, summary: `${body.label}: ${length(step, units)} ${word}` });
    setBusy(false);
  };
  return (
    <div class="nudges" role="group" aria-label={`Move ${body.label} by a step`}>
      {able.map(({ word, way }) => {
        const { dx, dy } = nudge(drawn, way, step);
        return (
          <Button key={word} busy={busy} onPress={() => void press(word, dx, dy)}>
            {length(step, units)} {word}
          </Button>
        );
      })}
    </div>
  );
}
