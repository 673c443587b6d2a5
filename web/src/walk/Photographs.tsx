// Photographs pinned to a wall.

import { useEffect, useId, useState } from 'preact/hooks';

import { photographs, troubleOf, type Trouble } from '../api/client';
import { useJob } from '../job';
import { outbox, useWaiting } from '../outbox';
import { Button } from '../parts/Button';
import { TextField } from '../parts/Field';
import { Strip } from '../parts/Strip';
import { saying } from '../status';
import { when } from '../units';
import { useResource } from '../useResource';
import { shrunk } from './shrink';

type Props = {
  pinned: string;
  of: string;
  /** Pinned elsewhere and shown here too: to a wall that has another name by now. */
  also?: (pinned: string) => boolean;
};

export function Photographs({ pinned, of, also }: Props) {
  const { id } = useJob();
  const all = useResource(`photographs ${id}`, (signal) => photographs.list(id, signal));
  const [caption, setCaption] = useState('');
  const [keep, setKeep] = useState(false);
  const [trouble, setTrouble] = useState<Trouble | null>(null);
  const file = useId();
  const waiting = useWaiting(id).flatMap((entry) =>
    entry.kind === 'photograph' && entry.pinned === pinned && entry.waited ? [entry] : [],
  );
  // One that had waited is among the others now.
  useEffect(
    () =>
      outbox.onArrival((entry) => {
        if (entry.kind === 'photograph') all.reload();
      }),
    [],
  );
  const mine = (all.data ?? []).filter((one) => one.pinned === pinned || also?.(one.pinned));

  const add = async (chosen: File) => {
    setTrouble(null);
    try {
      // A photograph that keeps where it was taken goes as the camera made it: drawing it anew would drop that.
      const bytes = keep ? chosen : await shrunk(chosen);
      const about = { pinned, caption: caption.trim(), keep_location: keep };
      const sending = outbox.add({ kind: 'photograph', job: id, ...about, bytes });
      const outcome = await saying('Sending the photograph …', sending);
      if (outcome.is === 'refused') return setTrouble(outcome.trouble);
      setCaption('');
      if (outcome.is === 'sent') all.reload();
    } catch (thrown) {
      setTrouble(troubleOf(thrown));
    }
  };
  const remove = async (hash: string) => {
    try {
      await photographs.remove(id, hash);
      all.reload();
    } catch (thrown) {
      setTrouble(troubleOf(thrown));
    }
  };
  return (
    <section aria-label={`Photographs of ${of}`}>
      <h3>Photographs of {of}</h3>
      {trouble ? <Strip trouble={trouble} onClose={() => setTrouble(null)} /> : null}
      {mine.length + waiting.length > 0 ? (
        <ul class="photographs">
          {waiting.map((entry) => (
            <li key={entry.op}>
              <Waiting bytes={entry.bytes} caption={entry.caption || `Photograph of ${of}`} />
            </li>
          ))}
          {mine.map((one) => (
            <li key={one.hash}>
              <a href={photographs.url(one.hash)} target="_blank" rel="noreferrer">
                <img
                  src={photographs.url(one.hash)}
                  width={one.width}
                  height={one.height}
                  alt={one.caption || `Photograph of ${of}, ${when(one.when)}`}
                  loading="lazy"
                />
              </a>
              <p class="small">
                {one.caption ? <strong>{one.caption} </strong> : null}
                <span class="soft">
                  {one.who}, {when(one.when)}
                </span>
              </p>
              <Button
                kind="quiet"
                label={`Delete the photograph ${one.caption || when(one.when)}`}
                onPress={() => void remove(one.hash)}
              >
                Delete
              </Button>
            </li>
          ))}
        </ul>
      ) : null}
      <TextField
        label="What to see on the next one"
        value={caption}
        onInput={setCaption}
        autocomplete="off"
      />
      <label class="check">
        <input type="checkbox" checked={keep} onChange={(event) => setKeep(event.currentTarget.checked)} />
        <span>Keep where it was taken</span>
      </label>
      <input
        id={file}
        class="sr-only"
        type="file"
        accept="image/*"
        capture="environment"
        onChange={(event) => {
          const chosen = event.currentTarget.files?.[0];
          event.currentTarget.value = '';
          if (chosen) void add(chosen);
        }}
      />
      <label for={file} class="file-button">
        Take a photograph of {of}
      </label>
    </section>
  );
}

/** As it lies on this device. */
function Waiting({ bytes, caption }: { bytes: Blob; caption: string }) {
  const [url, setUrl] = useState('');
  useEffect(() => {
    const made = URL.createObjectURL(bytes);
    setUrl(made);
    return () => URL.revokeObjectURL(made);
  }, [bytes]);
  return (
    <>
      {url === '' ? null : <img src={url} alt={caption} />}
      <p class="small">
        <strong>{caption}</strong> <span class="soft">waits to be sent</span>
      </p>
    </>
  );
}
