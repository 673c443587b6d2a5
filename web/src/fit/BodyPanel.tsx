// One body's facts to type in, and buttons that move it by a step: whatever a drag does, without dragging.

import { useState } from 'preact/hooks';

import type { Field as Fact, Units, Verdict as V } from '../api/schema';
import { troubleOf, spaces } from '../api/client';
import { useJob } from '../job';
import { useMay } from '../may';
import { Button } from '../parts/Button';
import { ChoiceField, TextField } from '../parts/Field';
import { Verdict } from '../parts/Verdict';
import { BLANK, counted, length } from '../units';
import type { Place } from './drag';
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

const FLAGS = [
  { value: 'true', label: 'yes' },
  { value: 'false', label: 'no' },
];

/** A fact of the job, read by the server before it is saved. */
function FactField({ fact, label }: { fact: Fact; label: string }) {
  const job = useJob();
  // What is being typed stays, whatever is saved meanwhile.
  const [typed, setTyped] = useState<string | null>(null);
  const [error, setError] = useState<string | null>(null);
  const text = typed ?? fact.text ?? '';

  const commit = async (given: string) => {
    const trimmed = given.trim();
    if (trimmed === (fact.text ?? '')) {
      setTyped(null);
      return setError(null);
    }
    try {
      if (trimmed !== '' && fact.kind !== 'flag') await spaces.field(job.id, fact.at, trimmed);
      setError(null);
    } catch (thrown) {
      const { message, accepted } = troubleOf(thrown);
      return setError(accepted === null ? message : `${message}; accepted: ${accepted}`);
    }
    const set = trimmed === '' ? null : valueOf(fact, trimmed);
    if ((await job.save({ edits: [{ at: fact.at, set }], summary: `${label}: ${fact.label}` })) !== null)
      setTyped(null);
  };
  const help =
    fact.text === null && fact.blocks > 0 ? `${fact.help} ${decides(fact.blocks)}`.trim() : fact.help;
  const choices = fact.kind === 'flag' ? FLAGS : fact.choices;
  if (choices !== null) {
    return (
      <ChoiceField
        label={fact.label}
        help={help}
        error={error}
        value={text}
        choices={[...(fact.text === null ? [{ value: '', label: 'not said' }] : []), ...choices]}
        onChoose={(value) => void commit(value)}
      />
    );
  }
  return (
    <TextField
      label={fact.label}
      help={help}
      error={error}
      unit={/[^\d.,\s\u2212-]/.test(text) ? null : fact.unit}
      value={text}
      onInput={setTyped}
      onCommit={(given) => void commit(given)}
    />
  );
}

function decides(count: number): string {
  return count === 1 ? 'Decides one finding.' : `Decides ${count} findings.`;
}

/** The document keeps counts and flags bare; all else is text that the server reads. */
function valueOf(fact: Fact, text: string): string | number | boolean {
  if (fact.kind === 'flag') return text === 'true';
  if (fact.kind === 'number' && fact.unit === null && Number.isFinite(Number(text))) return Number(text);
  return text;
}
