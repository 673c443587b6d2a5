// What a solve found: the map, the curves of subs that are tried, and the best sets to put there.

import { useEffect, useRef, useState } from 'preact/hooks';

import { bass, isAborted, spaces, troubleOf, type Trouble } from '../api/client';
import type { BassArrangement, BassHeard, BassPlane, BassStudy, TriedSub } from '../api/schema';
import { useJob } from '../job';
import { LOOKS_ONLY, useMay } from '../may';
import { Button } from '../parts/Button';
import { ChoiceField, TextField } from '../parts/Field';
import { Strip } from '../parts/Strip';
import { Table } from '../parts/Table';
import { counted, figure, length } from '../units';
import { BassCurves } from './BassCurves';
import { BassMap } from './BassMap';
import type { Scene } from './scene';

const PLANES = [
  { value: 'plan', label: 'From above' },
  { value: 'along', label: 'Upright, along the first wall' },
  { value: 'across', label: 'Upright, across it' },
] as const;

export function BassFound({ scene, study }: { scene: Scene; study: BassStudy }) {
  const job = useJob();
  const may = useMay();
  const canTry = may === 'change';
  const [subs, setSubs] = useState<TriedSub[]>(() => startOf(study));
  const [chosen, setChosen] = useState(0);
  const [hz, setHz] = useState(() => Math.round(study.resonances[0]?.hz ?? 40));
  const [plane, setPlane] = useState<BassPlane>('plan');
  // Put there, or undone: the subs stand where the job has them.
  const planned = JSON.stringify(study.planned?.subs.map(({ at, set }) => [at, set]) ?? null);
  const seen = useRef(planned);
  useEffect(() => {
    if (seen.current !== planned) setSubs(startOf(study));
    seen.current = planned;
  }, [planned]);
  // Who may only look reads what was found; trying asks the server to work.
  const heard = useNewest(canTry ? subs : null, (asked, signal) =>
    bass.heard(job.id, study.space, asked, signal),
  );
  const field = useNewest(canTry ? { subs, hz, plane } : null, (asked, signal) =>
    bass.field(job.id, study.space, asked, signal),
  );
  const told = heard.answer ?? (canTry ? null : foundOf(study));
  const move = (index: number, to: { x: number; y: number }) =>
    setSubs((old) => old.map((sub, at) => (at === index ? { ...sub, ...to, z: null } : sub)));
  const set = (index: number, patch: Partial<TriedSub>) =>
    setSubs((old) => old.map((sub, at) => (at === index ? { ...sub, ...patch } : sub)));
  const trouble = heard.trouble ?? field.trouble;

  return (
    <>
      <ul class="bass-assumed">
        <li>Holds up to {figure(study.holds_up_to_hz, 0)} Hz.</li>
        {study.assumed.map((assumed) => (
          <li key={assumed}>{assumed}</li>
        ))}
      </ul>
      <h3>{canTry ? 'Try places' : 'Places'}</h3>
      {canTry ? null : <p class="soft">{LOOKS_ONLY} It shows what was found; the field is drawn for the crew.</p>}
      {canTry ? (
        <div class="bass-ask">
          <label class="field bass-hz">
            <span>Frequency: {figure(hz, 0)} Hz</span>
            <input
              type="range"
              min="15"
              max={Math.floor(study.holds_up_to_hz)}
              value={hz}
              onInput={(event) => setHz(Number(event.currentTarget.value))}
            />
          </label>
          <ChoiceField label="Seen" value={plane} choices={PLANES} onChoose={setPlane} />
        </div>
      ) : null}
      {trouble ? <Strip trouble={trouble} /> : null}
      <BassMap
        scene={scene}
        study={study}
        field={field.answer}
        subs={subs}
        chosen={chosen}
        units={job.view.units}
        canMove={canTry}
        onChoose={setChosen}
        onMove={move}
      />
      <Tried heard={told} isFound={!canTry} />
      {canTry
        ? subs.map((sub, index) => (
            <SubFields
              key={index}
              space={study.space}
              number={index + 1}
              sub={sub}
              onSet={(patch) => set(index, patch)}
            />
          ))
        : null}
      {canTry ? (
        <div class="actions">
          <Button
            onPress={() => setSubs((old) => [...old, added(study, old.length)])}
            because={subs.length < 4 ? null : 'Four subs are the most that are compared.'}
          >
            Try one more sub
          </Button>
          {subs.length > 1 ? (
            <Button
              onPress={() => {
                setSubs((old) => old.slice(0, -1));
                setChosen(0);
              }}
            >
              Try one fewer
            </Button>
          ) : null}
        </div>
      ) : null}
      {told ? <BassCurves heard={told} seats={study.seats} /> : null}
      <Best study={study} onTry={(one) => setSubs(triedOf(one))} />
      <Rest study={study} />
    </>
  );
}

function Tried({ heard, isFound }: { heard: BassHeard | null; isFound: boolean }) {
  return (
    <p role="status" class="bass-says">
      {heard ? `${isFound ? 'Here' : 'As tried'}: ${heard.arrangement.says}.` : ''}
    </p>
  );
}

/** What is set on a tried sub, and its place in figures: every drag has its fields. */
function SubFields({
  space,
  number,
  sub,
  onSet,
}: {
  space: string;
  number: number;
  sub: TriedSub;
  onSet: (patch: Partial<TriedSub>) => void;
}) {
  const field = (label: string, value: number, step: string, put: (value: number) => void) => (
    <label class="field">
      <span>{label}</span>
      <input
        type="number"
        step={step}
        value={Number(value.toFixed(3))}
        onChange={(event) => {
          const typed = event.currentTarget.valueAsNumber;
          if (Number.isFinite(typed)) put(typed);
        }}
      />
    </label>
  );
  return (
    <fieldset class="bass-sub">
      <legend>Sub {number}</legend>
      <LengthField
        label="Along the first wall"
        space={space}
        metres={sub.x}
        onSet={(x) => onSet({ x, z: null })}
      />
      <LengthField label="Square to it" space={space} metres={sub.y} onSet={(y) => onSet({ y, z: null })} />
      {field('Gain, dB', sub.gain_db ?? 0, '1', (gain_db) => onSet({ gain_db }))}
      {field('Delay, ms', (sub.delay_s ?? 0) * 1000, '0.5', (ms) => onSet({ delay_s: ms / 1000 }))}
      <label class="check">
        <input
          type="checkbox"
          checked={sub.inverted ?? false}
          onChange={(event) => onSet({ inverted: event.currentTarget.checked })}
        />
        <span>Polarity turned</span>
      </label>
    </fieldset>
  );
}

/** A length in the job's units; the server reads what is typed, as it does everywhere. */
function LengthField({
  label,
  space,
  metres,
  onSet,
}: {
  label: string;
  space: string;
  metres: number;
  onSet: (metres: number) => void;
}) {
  const job = useJob();
  const shown = length(metres, job.view.units);
  const [typed, setTyped] = useState<string | null>(null);
  const [error, setError] = useState<string | null>(null);
  // Moved by hand: what was typed before is of another place.
  useEffect(() => {
    setTyped(null);
    setError(null);
  }, [metres]);
  async function commit(text: string) {
    if (text.trim() === shown) return;
    try {
      // Any length of the room is read alike; nothing is saved.
      const { value } = await spaces.field(job.id, `space.${space}.floor_level`, text);
      if (typeof value !== 'number') {
        setError('Give a length.');
        return;
      }
      setTyped(null);
      setError(null);
      onSet(value);
    } catch (thrown) {
      setError(troubleOf(thrown).message);
    }
  }
  return (
    <TextField
      label={label}
      value={typed ?? shown}
      error={error}
      onInput={setTyped}
      onCommit={(text) => void commit(text)}
    />
  );
}

/** The best sets for one to four subs, each with runners-up of other kinds. */
function Best({ study, onTry }: { study: BassStudy; onTry: (one: BassArrangement) => void }) {
  const job = useJob();
  const may = useMay();
  const [busy, setBusy] = useState(false);
  async function put(one: BassArrangement) {
    if (!one.put) return;
    setBusy(true);
    await job.save({ edits: one.put.edits, moves: one.put.moves, summary: one.put.says });
    setBusy(false);
  }
  return (
    <>
      <h3>Best places</h3>
      {study.best.map((best) => (
        <details key={best.subs} open={best.subs === (study.planned?.subs.length ?? 1)}>
          <summary>
            {counted(best.subs, 'sub')}: {best.ranked[0]?.says ?? 'no place is free'}
          </summary>
          <ol class="bass-best">
            {best.ranked.map((one, rank) => (
              <li key={rank}>
                <p>
                  {rank === 0
                    ? best.is_proven
                      ? 'Best of all settings tried: '
                      : 'Best found: '
                    : one.equals_best
                      ? 'As good, as far as the room is known: '
                      : 'Next of another kind: '}
                  {one.says}.
                </p>
                <ul>
                  {one.subs.map((sub) => (
                    <li key={sub.words}>
                      {sub.words}: {sub.set}
                      {sub.fitting ? <div class="soft">{sub.fitting.says}</div> : null}
                    </li>
                  ))}
                </ul>
                {one.fitting && one.subs.length > 1 ? <p>To fit all: {one.fitting.says}.</p> : null}
                <div class="actions">
                  <Button onPress={() => onTry(one)}>Try it on the map</Button>
                  <Button
                    onPress={() => void put(one)}
                    busy={busy}
                    because={
                      may !== 'change'
                        ? LOOKS_ONLY
                        : one.put === null || one.put === undefined
                          ? 'The job has no sub yet or more than this, or one goes into a cabinet.'
                          : null
                    }
                  >
                    Put it there
                  </Button>
                </div>
              </li>
            ))}
          </ol>
        </details>
      ))}
    </>
  );
}

/** Resonances and decay, the mains, other rows, treatment, cautions. */
function Rest({ study }: { study: BassStudy }) {
  const rings = study.decays.filter(({ t60_s }) => t60_s !== null && t60_s !== undefined);
  return (
    <>
      <h3>With the mains</h3>
      <p>{study.timed ? `${study.timed.says}.` : 'No left and right, or centre, is placed yet.'}</p>
      <h3>Resonances</h3>
      <ul class="bass-list">
        {study.resonances.slice(0, 12).map((resonance) => (
          <li key={resonance.says}>{resonance.says}</li>
        ))}
      </ul>
      {study.spacing.length > 0 ? (
        <ul class="bass-list">
          {study.spacing.map((says) => (
            <li key={says}>{says}</li>
          ))}
        </ul>
      ) : (
        <p>They are spread: no gap, and none fall on each other.</p>
      )}
      <Table
        caption="How long each third octave rings"
        columns={[
          { head: 'Hz', numeric: true },
          { head: 'As measured, s', numeric: true },
          { head: 'Longest, s', numeric: true },
        ]}
        rows={rings.map(({ hz, t60_s, longest_s }) => ({
          key: String(hz),
          cells: [figure(hz, 1), (t60_s ?? 0).toFixed(2), (longest_s ?? 0).toFixed(2)],
        }))}
      />
      {study.planned && study.planned.plays.length > 0 ? (
        <Table
          caption="Loudest at the seats, as planned"
          columns={[
            { head: 'Hz', numeric: true },
            { head: 'dB', numeric: true },
          ]}
          rows={study.planned.plays.map(({ hz, level_db }) => ({
            key: String(hz),
            cells: [figure(hz, 1), figure(level_db, 0)],
          }))}
        />
      ) : null}
      <h3>Seats moved together</h3>
      {study.rows.length > 0 ? (
        <ul class="bass-list">
          {study.rows.map(({ says }) => (
            <li key={says}>{says}</li>
          ))}
        </ul>
      ) : (
        <p>Not compared for the subs where they are: compare places again.</p>
      )}
      <h3>What would change it</h3>
      {study.treated.length > 0 ? (
        <ul class="bass-list">
          {study.treated.map(({ says }) => (
            <li key={says}>{says}</li>
          ))}
        </ul>
      ) : (
        <p>Not compared for the subs where they are: compare places again.</p>
      )}
      <ul class="dangers">
        {study.cautions.map((caution) => (
          <li key={caution}>{caution}</li>
        ))}
      </ul>
    </>
  );
}

/** What was found of the subs as planned, else of the best place for one. */
function foundOf(study: BassStudy): BassHeard | null {
  const arrangement = study.planned ?? study.best[0]?.ranked[0];
  if (!arrangement) return null;
  return { frequencies_hz: study.frequencies_hz, seats: study.seats.map(({ id }) => id), arrangement };
}

/** Where the subs are planned, else the best place for one. */
function startOf(study: BassStudy): TriedSub[] {
  const first = study.planned ?? study.best[0]?.ranked[0];
  return first ? triedOf(first) : [];
}

function triedOf(arrangement: BassArrangement): TriedSub[] {
  return arrangement.subs.map(({ at: [x, y, z], gain_db, delay_s, inverted }) => ({
    x,
    y,
    z,
    gain_db,
    delay_s,
    inverted,
  }));
}

/** One more stands where the best set of so many has its last. */
function added(study: BassStudy, count: number): TriedSub {
  const more = study.best[count]?.ranked[0] ?? study.best[0]?.ranked[0];
  const last = more ? triedOf(more).at(-1) : undefined;
  return last ?? { x: 1, y: 1, gain_db: 0, delay_s: 0, inverted: false };
}

/** Asks whenever the question differs, with at most one request under way: the server's own pace
 * is the rate. The old answer stays until the next is in. Null asks nothing. */
function useNewest<Asked, Told>(
  asked: Asked | null,
  ask: (asked: Asked, signal: AbortSignal) => Promise<Told>,
) {
  const [answer, setAnswer] = useState<Told | null>(null);
  const [trouble, setTrouble] = useState<Trouble | null>(null);
  const key = JSON.stringify(asked);
  const state = useRef({ wanted: asked, key, told: 'null', busy: false, gone: new AbortController(), ask });
  state.current.wanted = asked;
  state.current.key = key;
  state.current.ask = ask;
  useEffect(() => () => state.current.gone.abort(), []);
  useEffect(() => {
    const here = state.current;
    if (here.busy) return;
    const round = async () => {
      here.busy = true;
      while (here.told !== here.key && !here.gone.signal.aborted) {
        here.told = here.key;
        if (here.wanted === null) continue;
        try {
          setAnswer(await here.ask(here.wanted, here.gone.signal));
          setTrouble(null);
        } catch (thrown) {
          if (!isAborted(thrown)) setTrouble(troubleOf(thrown));
        }
      }
      here.busy = false;
    };
    void round();
  }, [key]);
  return { answer, trouble };
}

