// What each button does: which things are switched on and set to what, which way picture and sound take, and what can't be had at once.

import type { ButtonDoes, OnNetwork } from '../api/schema';
import { useJob } from '../job';
import { Table } from '../parts/Table';
import { VerdictShape } from '../parts/Verdict';
import { BLANK } from '../units';
import { Thing } from './Thing';
import { toFinding } from './whereTo';
import './wiring.css';

export function Buttons({ buttons }: { buttons: readonly ButtonDoes[] }) {
  if (buttons.length === 0) return null;
  return (
    <section class="house-part" aria-label="What each button does">
      <h2>What each button does</h2>
      {buttons.map((button) => (
        <Does key={button.activity.id} button={button} />
      ))}
    </section>
  );
}

function Does({ button }: { button: ButtonDoes }) {
  const job = useJob();
  const { activity, zones, missing, picture, sound, steps, not_with } = button;
  const { verdict, finding } = activity;
  return (
    <section class="button-does" aria-label={activity.label}>
      <h3>{activity.label}</h3>
      <p>
        Plays in {zones.join(', ')}.
        {verdict === null || finding === null ? null : (
          <>
            {' '}
            <a class={`verdict ${verdict}`} href={toFinding(job.id, finding)}>
              <VerdictShape verdict={verdict} />
              {verdict}
            </a>
          </>
        )}
      </p>
      {missing === null ? null : <p class="note">Not known yet: {missing}</p>}
      {picture.length > 0 ? <p>Picture: {picture.join('; ')}.</p> : null}
      {sound.length > 0 ? <p>Sound: {sound.join('; ')}.</p> : null}
      {not_with.map((other) => (
        <p key={other} class="note">
          Not at the same time as {other}.
        </p>
      ))}
      {steps.length > 0 ? (
        <Table
          caption={`${activity.label}: what is set, in this order`}
          captionHidden
          stacks
          columns={[{ head: 'Step' }, { head: 'Thing' }, { head: 'Switch' }, { head: 'Input' }, { head: 'By' }]}
          rows={steps.map(({ thing, is_on, input, by }, index) => ({
            key: thing.id,
            cells: [index + 1, <Thing thing={thing} />, is_on ? 'on' : 'off', input ?? BLANK, by ?? 'nothing reaches it'],
          }))}
        />
      ) : null}
    </section>
  );
}

/** Who has which address. */
export function Addresses({ network }: { network: readonly OnNetwork[] }) {
  if (network.length === 0) return null;
  return (
    <section class="house-part" aria-label="On the network">
      <h2>On the network</h2>
      <Table
        caption="On the network"
        captionHidden
        columns={[{ head: 'Thing' }, { head: 'Address' }, { head: 'Cables', numeric: true }]}
        rows={network.map(({ thing, address, cables }) => ({
          key: thing.id,
          cells: [<Thing thing={thing} />, address ?? BLANK, cables],
        }))}
      />
    </section>
  );
}
