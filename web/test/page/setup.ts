// Builds the page and starts the real program on a free port with data of its own.
//
// DRYFIT_BIN names another program than the one that cargo built, DRYFIT_URL a server that is
// already running, with a page of its own.

import { spawn, type ChildProcess } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { homedir, tmpdir } from 'node:os';
import { join } from 'node:path';

import { build } from 'vite';
import type { TestProject } from 'vitest/node';

declare module 'vitest' {
  interface ProvidedContext {
    /** Where the program answers, without a slash at the end. */
    server: string;
  }
}

export default async function setup(project: TestProject): Promise<() => Promise<void>> {
  const running = process.env['DRYFIT_URL'];
  if (running) {
    project.provide('server', running.replace(/\/$/, ''));
    return async () => {};
  }
  await build({ logLevel: 'warn' });
  const data = mkdtempSync(join(tmpdir(), 'dryfit-page-'));
  const { child, url } = await start(program(), data);
  const first = await fetch(url);
  if (!first.ok) {
    child.kill();
    throw new Error(
      `the program has no page (${first.status}): it looks for web/dist of the folder that it was built in`,
    );
  }
  project.provide('server', url);
  return async () => {
    const gone = new Promise((resolve) => child.once('exit', resolve));
    child.kill();
    await gone;
    rmSync(data, { recursive: true, force: true });
  };
}

function program(): string {
  const target = process.env['CARGO_TARGET_DIR'] ?? join(homedir(), '.cache/dryfit-target');
  const found = process.env['DRYFIT_BIN'] ?? join(target, 'debug/dryfit');
  if (!existsSync(found))
    throw new Error(`there is no program at ${found}: run \`cargo build -p cli\` first`);
  return found;
}

function start(binary: string, data: string): Promise<{ child: ChildProcess; url: string }> {
  const child = spawn(binary, ['serve', '--port', '0', '--data', data], {
    stdio: ['ignore', 'pipe', 'pipe'],
    env: { ...process.env, DRYFIT_PAGE: join(import.meta.dirname, '../../dist') },
  });
  return new Promise((resolve, reject) => {
    let said = '';
    const late = setTimeout(() => {
      child.kill();
      reject(new Error(`${binary} serve did not say where it answers; it said:\n${said}`));
    }, 30_000);
    const listen = (chunk: Buffer) => {
      said += chunk.toString();
      const url = /https?:\/\/(?:127\.0\.0\.1|localhost|\[::1\]):\d+/.exec(said)?.[0];
      if (!url) return;
      clearTimeout(late);
      resolve({ child, url });
    };
    child.stdout.on('data', listen);
    child.stderr.on('data', listen);
    child.once('exit', (code) => {
      clearTimeout(late);
      reject(new Error(`${binary} serve ended with ${code}; it said:\n${said}`));
    });
  });
}
