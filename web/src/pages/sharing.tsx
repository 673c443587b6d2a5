// Who else may see and change jobs: phones of the crew, paired by a code that is shown here.

import { useEffect, useState } from 'preact/hooks';

import { sharing, troubleOf, type Trouble } from '../api/client';
import type { Device, Sharing } from '../api/schema';
import { Button } from '../parts/Button';
import { ChoiceField } from '../parts/Field';
import { Strip } from '../parts/Strip';
import { Table } from '../parts/Table';
import { Title } from '../parts/Title';
import { Waiting } from '../parts/Waiting';
import { say } from '../status';
import { when } from '../units';
import { useResource } from '../useResource';

const ROLES = [
  { value: 'crew', label: 'Crew: sees and changes' },
  { value: 'view', label: 'View: sees only' },
] as const;
type Role = (typeof ROLES)[number]['value'];

export function Page() {
  const me = useResource('me', sharing.me);
  return (
    <div class="page">
      <Title page="Sharing" />
      {me.trouble ? <Strip trouble={me.trouble} onAgain={me.reload} /> : null}
      {me.data === null && !me.trouble ? <Waiting for="the sharing" /> : null}
      {me.data?.here ? <Here /> : null}
      {me.data && !me.data.here ? (
        <Elsewhere device={me.data.device} role={me.data.role} secure={me.data.secure} />
      ) : null}
    </div>
  );
}

/** On the machine that runs dryfit: everything about sharing. */
function Here() {
  const state = useResource('sharing', sharing.state);
  const [role, setRole] = useState<Role>('crew');
  const [trouble, setTrouble] = useState<Trouble | null>(null);

  async function attempt(work: () => Promise<unknown>, said: string) {
    setTrouble(null);
    try {
      await work();
      say(said);
      state.reload();
    } catch (thrown) {
      setTrouble(troubleOf(thrown));
    }
  }

  if (state.trouble) return <Strip trouble={state.trouble} onAgain={state.reload} />;
  if (!state.data) return <Waiting for="the devices" />;
  const { on, devices } = state.data;
  return (
    <>
      {trouble ? <Strip trouble={trouble} onClose={() => setTrouble(null)} /> : null}
      {on ? (
        <>
          <Addresses state={state.data} />
          <section>
            <h2>Pair a device</h2>
            <Code state={state.data} onRanOut={state.reload} />
            <div class="actions ends">
              <ChoiceField label="The device may" value={role} choices={ROLES} onChoose={setRole} />
              <Button
                kind={state.data.code ? 'plain' : 'main'}
                onPress={() => void attempt(() => sharing.code(role), 'A new code is shown')}
              >
                {state.data.code ? 'Show another code' : 'Show a code'}
              </Button>
            </div>
          </section>
          <section>
            <h2>Devices</h2>
            <Devices
              devices={devices}
              onForget={(device) =>
                void attempt(() => sharing.forget(device.id), `${device.name} is signed out`)
              }
            />
            {devices.length > 0 ? (
              <Button onPress={() => void attempt(sharing.signOutEverywhere, 'Every device is signed out')}>
                Sign every device out
              </Button>
            ) : null}
          </section>
        </>
      ) : (
        <section>
          <p>Only this machine reaches dryfit. To let phones of the crew in, start it anew with sharing:</p>
          <p>
            <code>dryfit serve --share</code>
          </p>
          <p class="note">
            Share in a network of your own, not in a café’s: without a certificate what is sent can be read
            there.
          </p>
        </section>
      )}
    </>
  );
}

function Addresses({ state }: { state: Sharing }) {
  return (
    <section>
      <h2>On the phone, open</h2>
      <ul class="bare">
        {state.addresses.map((address) => (
          <li key={address} class="figure">
            {new URL('pair', address).href}
          </li>
        ))}
      </ul>
      {state.secure ? (
        <details>
          <summary>The phone warns that it does not trust this address</summary>
          <p>
            Download <a href="/api/ca.crt">this machine’s certificate</a> on the phone. Android: Settings,
            Security, Install a certificate, CA certificate. iPhone and iPad: Settings, Profile downloaded,
            Install; then General, About, Certificate trust settings, switch it on. Only pages of this machine
            are then trusted by it.
          </p>
          {state.fingerprint ? (
            <p>
              The phone shows the same fingerprint, or it is not this machine’s:{' '}
              <code>{state.fingerprint}</code>
            </p>
          ) : null}
        </details>
      ) : (
        <p class="note">
          The connection is not encrypted, so use it in a network of your own only. Without encryption a phone
          keeps its ticks only while the page stays open.
        </p>
      )}
    </section>
  );
}

function Code({ state, onRanOut }: { state: Sharing; onRanOut: () => void }) {
  const left = useSecondsUntil(state.code_until, onRanOut);
  if (!state.code || left === null || left <= 0) return null;
  return (
    <div>
      <p class="code">
        <span class="sr-only">Code </span>
        {state.code}
      </p>
      <p class="soft">
        For one device, {left > 60 ? `${Math.round(left / 60)} more minutes` : `${left} more seconds`}.
      </p>
    </div>
  );
}

function useSecondsUntil(iso: string | null, onRanOut: () => void): number | null {
  const [now, setNow] = useState(() => Date.now());
  const until = iso === null ? null : new Date(iso).getTime();
  const left = until === null ? null : Math.ceil((until - now) / 1000);
  useEffect(() => {
    if (until === null) return;
    const timer = setInterval(() => {
      setNow(Date.now());
      if (Date.now() < until) return;
      clearInterval(timer);
      onRanOut();
    }, 1000);
    return () => clearInterval(timer);
  }, [until]);
  return left;
}

function Devices({ devices, onForget }: { devices: readonly Device[]; onForget: (device: Device) => void }) {
  if (devices.length === 0) return <p>No device is paired.</p>;
  return (
    <Table
      caption="Paired devices"
      captionHidden
      stacks
      columns={[{ head: 'Device' }, { head: 'May' }, { head: 'Since' }, { head: 'Until' }, { head: '' }]}
      rows={devices.map((device) => ({
        key: device.id,
        cells: [
          device.name,
          device.role === 'crew' ? 'see and change' : 'see',
          when(device.since),
          when(device.until),
          <Button kind="quiet" label={`Sign out ${device.name}`} onPress={() => onForget(device)}>
            Sign out
          </Button>,
        ],
      }))}
    />
  );
}

function Elsewhere({ device, role, secure }: { device: string | null; role: Role | null; secure: boolean }) {
  const [trouble, setTrouble] = useState<Trouble | null>(null);
  return (
    <>
      {trouble ? <Strip trouble={trouble} onClose={() => setTrouble(null)} /> : null}
      <p>
        This device is paired{device ? ` as ${device}` : ''} and may{' '}
        {role === 'crew' ? 'see and change jobs' : 'see jobs'}. Other devices are paired on the machine that
        runs dryfit.
      </p>
      {secure ? null : (
        <p class="note">The connection is not encrypted: use it in a network of your own only.</p>
      )}
      <Button
        onPress={() => {
          setTrouble(null);
          sharing
            .signOut()
            // The page as a whole has lost its right to ask: it starts anew.
            .then(() => location.assign('/pair'))
            .catch((thrown: unknown) => setTrouble(troubleOf(thrown)));
        }}
      >
        Sign this device out
      </Button>
    </>
  );
}
