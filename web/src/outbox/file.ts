// What waits, as a file that the same page reads back in, on this device or another one.

import type { Edit, Move } from '../api/schema';
import type { Entry } from './entry';

/** The reader refuses a larger one: it is of a page newer than itself. */
const FORMAT = 1;
const IS = 'what waits to be sent to dryfit';

/** A photograph's bytes in text; all else as it waits. */
export async function written(entries: readonly Entry[]): Promise<string> {
  const plain = await Promise.all(
    entries.map(async (entry) =>
      entry.kind === 'photograph' ? { ...entry, bytes: await base64(entry.bytes) } : entry,
    ),
  );
  return JSON.stringify({ is: IS, format: FORMAT, entries: plain }, null, 1);
}

/** The entries of a file; throws an error whose words say what is wrong with it. */
export function read(text: string): Entry[] {
  const file = parsed(text);
  if (!isObject(file) || file['is'] !== IS) throw new Error('this is not a file of what waited to be sent');
  const format = file['format'];
  if (typeof format !== 'number' || !Array.isArray(file['entries']))
    throw new Error('the file is cut off or was changed');
  if (format > FORMAT) throw new Error('the file is from a newer version of dryfit');
  return file['entries'].map((entry: unknown, index) => {
    const found = isObject(entry) ? entryOf(entry) : null;
    if (found === null) throw new Error(`entry ${index + 1} of the file is cut off or was changed`);
    return found;
  });
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}

/** Whatever it waited for before, it waits anew here. */
function entryOf(entry: Plain): Entry | null {
  const [op, job, made] = [text(entry, 'op'), text(entry, 'job'), text(entry, 'made')];
  if (!op || !job || made === null || Number.isNaN(Date.parse(made))) return null;
  const waits = { op, job, made, waited: true, refused: null };
  switch (entry['kind']) {
    case 'change': {
      const { base, edits, moves, summary } = entry;
      if (typeof base !== 'number' || !isListOrAbsent<Edit>(edits) || !isListOrAbsent<Move>(moves)) return null;
      return {
        ...waits,
        kind: 'change',
        base,
        ...(edits ? { edits } : {}),
        ...(moves ? { moves } : {}),
        ...(typeof summary === 'string' ? { summary } : {}),
      };
    }
    case 'tick': {
      const [tick, done] = [text(entry, 'tick'), entry['done']];
      return tick === null || typeof done !== 'boolean' ? null : { ...waits, kind: 'tick', tick, done };
    }
    case 'photograph': {
      const [pinned, caption, bytes] = [text(entry, 'pinned'), text(entry, 'caption'), text(entry, 'bytes')];
      const picture = bytes === null ? null : pictureOf(bytes);
      if (pinned === null || caption === null || picture === null) return null;
      const keep_location = entry['keep_location'] === true;
      return { ...waits, kind: 'photograph', pinned, caption, keep_location, bytes: picture };
    }
    default:
      return null;
  }
}

type Plain = { [name: string]: unknown };

function isObject(value: unknown): value is Plain {
  return typeof value === 'object' && value !== null;
}

/** What each of a list holds is for the server to judge, as if it came from this page. */
function isListOrAbsent<T>(value: unknown): value is T[] | undefined {
  return value === undefined || Array.isArray(value);
}

function text(entry: Plain, name: string): string | null {
  const found = entry[name];
  return typeof found === 'string' ? found : null;
}

function pictureOf(text: string): Blob | null {
  try {
    return new Blob([Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0))], { type: 'image/jpeg' });
  } catch {
    return null;
  }
}

async function base64(bytes: Blob): Promise<string> {
  return new Promise((resolve, reject) => {
    const reader = new FileReader();
    reader.onload = () => resolve(String(reader.result).split(',')[1] ?? '');
    reader.onerror = () => reject(reader.error);
    reader.readAsDataURL(bytes);
  });
}
