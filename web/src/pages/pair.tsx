// Pairs this device with the machine that runs dryfit, by the code that is shown there.

import { useState } from 'preact/hooks';

import { sharing, troubleOf, type Trouble } from '../api/client';
import { Button } from '../parts/Button';
import { TextField } from '../parts/Field';
import { Strip } from '../parts/Strip';
import { Title } from '../parts/Title';
import { link } from '../routes';
import { useResource } from '../useResource';

export function Page() {
  const me = useResource('me', sharing.me);
  const [code, setCode] = useState('');
  const [device, setDevice] = useState('');
  const [trouble, setTrouble] = useState<Trouble | null>(null);
  const [busy, setBusy] = useState(false);

  async function pair() {
    setBusy(true);
    setTrouble(null);
    try {
      await sharing.pair(code.replace(/\s/g, ''), device.trim());
      location.assign(link('jobs', {}));
    } catch (thrown) {
      setTrouble(troubleOf(thrown));
      setBusy(false);
    }
  }

  return (
    <div class="page">
      <Title page="Pair this device" />
      {trouble ? <Strip trouble={trouble} onClose={() => setTrouble(null)} /> : null}
      {me.data?.role ? (
        <p class="note">
          This device {me.data.here ? 'runs dryfit and needs no pairing' : 'is paired already'}.{' '}
          <a href={link('jobs', {})}>To the jobs</a>
        </p>
      ) : null}
      <form
        class="stack"
        onSubmit={(event) => {
          event.preventDefault();
          if (!busy) void pair();
        }}
      >
        <p>On the machine that runs dryfit, open Sharing and have a code shown.</p>
        <TextField
          label="Code"
          help="Six digits"
          value={code}
          onInput={setCode}
          inputMode="numeric"
          autocomplete="one-time-code"
        />
        <TextField
          label="Name of this device"
          help="Stands beside whatever is changed or ticked here, say “Fitter’s phone”"
          value={device}
          onInput={setDevice}
          autocomplete="off"
        />
        <p class="actions">
          <Button submit kind="main" busy={busy}>
            Pair this device
          </Button>
        </p>
      </form>
      {me.data && !me.data.secure && !me.data.here ? (
        <p class="note">The connection is not encrypted: pair in a network of your own only.</p>
      ) : null}
    </div>
  );
}
