// The list of keys that `?` opens, with the switch that turns single keys off.

import { useState } from 'preact/hooks';

import { setSingleKeys, singleKeysOn, useAllKeyHelp, type KeyHelp } from '../keys';
import { Dialog } from './Dialog';

const EVERYWHERE: readonly KeyHelp[] = [
  { keys: '/', does: 'find a page, a room, a finding or a sheet' },
  { keys: '?', does: 'show this list' },
  { keys: 'Tab', does: 'walk through the page' },
  { keys: 'Esc', does: 'close what is open' },
];

export function KeyList({ onClose }: { onClose: () => void }) {
  const more = useAllKeyHelp();
  const [single, setSingle] = useState(singleKeysOn);
  return (
    <Dialog title="Keys" onClose={onClose}>
      <dl class="keys">
        {[...more, ...EVERYWHERE].map((help) => (
          <div key={help.keys + help.does}>
            <dt>
              <kbd>{help.keys}</kbd>
            </dt>
            <dd>{help.does}</dd>
          </div>
        ))}
      </dl>
      <label class="check">
        <input
          type="checkbox"
          checked={single}
          onChange={(event) => {
            setSingleKeys(event.currentTarget.checked);
            setSingle(singleKeysOn());
          }}
        />
        Keys without Ctrl, such as / and ?, are on
      </label>
    </Dialog>
  );
}
