// Work that takes longer than anybody should wait without being told: its progress, and a way to stop.

import { sheets } from '../api/client';
import type { Progress as Event } from '../api/schema';
import { figure } from '../units';
import { Button } from './Button';

export type Progress = Extract<Event, { event: 'progress' }>;

export function Working({ progress, onCancel }: { progress: Progress | null; onCancel: () => void }) {
  const left = progress?.left_s ?? null;
  return (
    <div class="working">
      <label>
        <span role="status">
          {progress ? progress.stage : 'Starting'}
          {progress && progress.of > 1 ? `, ${progress.done} of ${progress.of}` : ''}
          {left !== null ? `, about ${figure(Math.ceil(left), 0)} s left` : ''}
        </span>
        {progress ? <progress value={progress.done} max={progress.of} /> : <progress />}
      </label>
      <Button onPress={onCancel}>Stop</Button>
    </div>
  );
}

/** Listens to the server's events until it names the result. */
export function watch(key: string, signal: AbortSignal, onProgress: (progress: Progress) => void): Promise<string> {
  return new Promise((resolve, reject) => {
    const source = new EventSource(sheets.eventsUrl(key));
    const end = (act: () => void) => {
      source.close();
      act();
    };
    signal.addEventListener('abort', () => end(() => reject(new DOMException('stopped', 'AbortError'))));
    source.addEventListener('progress', (event) => onProgress(JSON.parse(event.data)));
    source.addEventListener('done', (event) => {
      const { url }: { url: string } = JSON.parse(event.data);
      end(() => resolve(url));
    });
    source.addEventListener('failed', (event) => {
      const { message }: { message: string } = JSON.parse(event.data);
      end(() => reject(new Error(message)));
    });
    source.addEventListener('error', () => {
      // The browser connects again by itself unless it has given up.
      if (source.readyState === EventSource.CLOSED) {
        end(() => reject(new Error('the connection to dryfit was lost while it worked')));
      }
    });
  });
}
