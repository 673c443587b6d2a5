// @vitest-environment node
//
// What a phone loads before it sees a page: the frame, the styles and the page's own code.

import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';

import { afterAll, beforeAll, expect, it } from 'vitest';
import { build, type Manifest } from 'vite';

const FIRST_VIEW_MAX_BYTES = 150_000;
const out = mkdtempSync(join(tmpdir(), 'dryfit-size-'));

beforeAll(async () => {
  const root = join(import.meta.dirname, '../..');
  await build({ root, logLevel: 'error', build: { outDir: out, emptyOutDir: true } });
}, 60_000);
afterAll(() => rmSync(out, { recursive: true, force: true }));

it('each page is small at first', () => {
  const manifest: Manifest = JSON.parse(readFileSync(join(out, 'files.json'), 'utf8'));
  const pages = Object.keys(manifest).filter((name) => name.startsWith('src/pages/'));
  expect(pages.length).toBeGreaterThan(10);
  const sizes = pages.map((page) => ({ page, bytes: bytesOf(manifest, ['index.html', page]) }));
  const most = sizes.reduce((a, b) => (b.bytes > a.bytes ? b : a));
  console.log(`${(most.bytes / 1000).toFixed(1)} kB gzip at most, ${most.page}`);
  expect(most.bytes, most.page).toBeLessThanOrEqual(FIRST_VIEW_MAX_BYTES);
});

/** Scripts and styles that these load at once, compressed, each counted once. */
function bytesOf(manifest: Manifest, entries: readonly string[]): number {
  const files = new Set(['index.html']);
  const visit = (name: string) => {
    const chunk = manifest[name];
    if (!chunk) throw new Error(`the build has no ${name}`);
    if (files.has(chunk.file)) return;
    for (const file of [chunk.file, ...(chunk.css ?? [])]) files.add(file);
    for (const other of chunk.imports ?? []) visit(other);
  };
  for (const entry of entries) visit(entry);
  return [...files].reduce((sum, file) => sum + gzipSync(readFileSync(join(out, file))).length, 0);
}
