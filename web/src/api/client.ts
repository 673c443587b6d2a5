// Every route that the page asks, under the name of what it is for.

import { call, newOp, urlOf } from './call';
import type { BassAsked, BassPlane, Edit, Import, Move, NewJob, Paper, Role, TriedSub } from './schema';

export { isAborted, newOp, reasonOf, Refused, troubleOf, type Trouble } from './call';

/** What a change consists of: facts set, bodies moved, or both. */
export type Changes = { edits?: Edit[]; moves?: Move[] };

export const jobs = {
  list: (signal?: AbortSignal) => call('get', '/api/jobs', { signal }),
  /** Those that were put away. */
  away: (signal?: AbortSignal) => call('get', '/api/jobs', { query: { removed: true }, signal }),
  remove: (job: string) => call('delete', '/api/jobs/{job}', { path: { job } }),
  putBack: (job: string) => call('post', '/api/jobs/{job}/restore', { path: { job } }),
  create: (body: NewJob) => call('post', '/api/jobs', { body }),
  import: (bytes: Blob) => call('post', '/api/import', { bytes }),
  one: (job: string, signal?: AbortSignal) => call('get', '/api/jobs/{job}', { path: { job }, signal }),
  /** `op` names the change, so that it is made once however often it is sent. */
  edit: (job: string, change: { op: string; base: number; summary?: string } & Changes) =>
    call('post', '/api/jobs/{job}/edits', { path: { job }, body: change }),
  undo: (job: string, base: number) =>
    call('post', '/api/jobs/{job}/undo', { path: { job }, body: { op: newOp(), base } }),
  redo: (job: string, base: number) =>
    call('post', '/api/jobs/{job}/redo', { path: { job }, body: { op: newOp(), base } }),
  keep: (job: string, contested: string, keep: 'earlier' | 'later', base: number) =>
    call('post', '/api/jobs/{job}/contested/{contested}', {
      path: { job, contested },
      body: { op: newOp(), keep, base },
    }),
  history: (job: string, signal?: AbortSignal) =>
    call('get', '/api/jobs/{job}/history', { path: { job }, query: {}, signal }),
  /** Revisions after one, the last first. */
  since: (job: string, revision: number, signal?: AbortSignal) =>
    call('get', '/api/jobs/{job}/history', { path: { job }, query: { since: revision }, signal }),
  nameRevision: (job: string, revision: number, name: string) =>
    call('post', '/api/jobs/{job}/revisions/{revision}/name', {
      path: { job, revision: String(revision) },
      body: { name },
    }),
  compare: (job: string, from: number, to: number, signal?: AbortSignal) =>
    call('get', '/api/jobs/{job}/compare', { path: { job }, query: { from, to }, signal }),
  fileUrl: (job: string) => urlOf('/api/jobs/{job}/file', { path: { job } }),
  bundleUrl: (job: string) => urlOf('/api/jobs/{job}/bundle', { path: { job } }),
};

export const findings = {
  all: (job: string, signal?: AbortSignal) =>
    call('get', '/api/jobs/{job}/findings', { path: { job }, signal }),
  /** With the effect of each remedy. */
  one: (job: string, key: string, signal?: AbortSignal) =>
    call('get', '/api/jobs/{job}/findings/{key}', { path: { job, key }, signal }),
  /** Nothing is saved; refused with status 409 when a newer request of this client overtook it. */
  prove: (job: string, body: { base: number; client: string; seq: number } & Changes, signal?: AbortSignal) =>
    call('post', '/api/jobs/{job}/prove', { path: { job }, body, signal }),
  checks: (signal?: AbortSignal) => call('get', '/api/checks', { signal }),
  limits: (signal?: AbortSignal) => call('get', '/api/limits', { signal }),
  manual: (check: string, signal?: AbortSignal) =>
    call('get', '/api/checks/{check}', { path: { check }, signal }),
};

export const spaces = {
  scene: (job: string, space: string, signal?: AbortSignal) =>
    call('get', '/api/jobs/{job}/spaces/{space}/scene', { path: { job, space }, signal }),
  /** The scene of a changed copy; nothing is saved. */
  changedScene: (job: string, space: string, body: { base: number } & Changes, signal?: AbortSignal) =>
    call('post', '/api/jobs/{job}/spaces/{space}/scene', { path: { job, space }, body, signal }),
  /** Contrast of a space's projected pictures by month and hour. */
  light: (job: string, space: string, signal?: AbortSignal) =>
    call('get', '/api/jobs/{job}/spaces/{space}/light', { path: { job, space }, signal }),
  /** The light of a changed copy; nothing is saved. */
  changedLight: (job: string, space: string, body: { base: number } & Changes, signal?: AbortSignal) =>
    call('post', '/api/jobs/{job}/spaces/{space}/light', { path: { job, space }, body, signal }),
  /** Levels by octave, and from where each seat hears each channel. */
  sound: (job: string, space: string, signal?: AbortSignal) =>
    call('get', '/api/jobs/{job}/spaces/{space}/sound', { path: { job, space }, signal }),
  /** The sound of a changed copy; nothing is saved. */
  changedSound: (job: string, space: string, body: { base: number } & Changes, signal?: AbortSignal) =>
    call('post', '/api/jobs/{job}/spaces/{space}/sound', { path: { job, space }, body, signal }),
  walk: (job: string, space: string, signal?: AbortSignal) =>
    call('get', '/api/jobs/{job}/spaces/{space}/walk', { path: { job, space }, signal }),
  /** The walk of a changed copy; nothing is saved. */
  changedWalk: (job: string, space: string, body: { base: number } & Changes, signal?: AbortSignal) =>
    call('post', '/api/jobs/{job}/spaces/{space}/walk', { path: { job, space }, body, signal }),
  /** Reads what was typed into a field as the server would, without saving it. */
  field: (job: string, at: string, text: string, signal?: AbortSignal) =>
    call('post', '/api/jobs/{job}/field', { path: { job }, body: { at, text }, signal }),
};

export const cables = {
  /** The way a cable takes, the best of another kind, and what its dearest hole costs. */
  way: (job: string, cable: string, signal?: AbortSignal) =>
    call('get', '/api/jobs/{job}/cables/{cable}/way', { path: { job, cable }, signal }),
  /** Conduits cut across, with their cables as they lie. */
  conduits: (job: string, signal?: AbortSignal) =>
    call('get', '/api/jobs/{job}/conduits', { path: { job }, signal }),
};

export const wiring = {
  /** Racks, mains circuits, the signal diagram, what each button does, and cut-outs. */
  all: (job: string, signal?: AbortSignal) => call('get', '/api/jobs/{job}/wiring', { path: { job }, signal }),
};

/** A space's bass: solved as long work, then answered at once. */
export const bass = {
  known: (job: string, space: string, signal?: AbortSignal) =>
    call('get', '/api/jobs/{job}/spaces/{space}/bass', { path: { job, space }, signal }),
  /** Begins to solve and compare; `sheets.eventsUrl` tells how far it is. */
  solve: (job: string, space: string, body: BassAsked) =>
    call('post', '/api/jobs/{job}/spaces/{space}/bass/solve', { path: { job, space }, body }),
  /** What each seat hears of subs that are tried; nothing is saved. */
  heard: (job: string, space: string, subs: TriedSub[], signal?: AbortSignal) =>
    call('post', '/api/jobs/{job}/spaces/{space}/bass/heard', {
      path: { job, space },
      body: { subs },
      signal,
    }),
  /** Levels over a plane of the room at one frequency. */
  field: (
    job: string,
    space: string,
    body: { subs: TriedSub[]; hz: number; plane: BassPlane },
    signal?: AbortSignal,
  ) => call('post', '/api/jobs/{job}/spaces/{space}/bass/field', { path: { job, space }, body, signal }),
};

/** The inverse questions about a space. */
export const find = {
  projectorPlace: (job: string, space: string, signal?: AbortSignal) =>
    call('get', '/api/jobs/{job}/spaces/{space}/find/projector-place', { path: { job, space }, signal }),
  largestPicture: (job: string, space: string, signal?: AbortSignal) =>
    call('get', '/api/jobs/{job}/spaces/{space}/find/largest-picture', { path: { job, space }, signal }),
  displayPlace: (job: string, space: string, signal?: AbortSignal) =>
    call('get', '/api/jobs/{job}/spaces/{space}/find/display-place', { path: { job, space }, signal }),
  loudspeakerPlace: (job: string, space: string, signal?: AbortSignal) =>
    call('get', '/api/jobs/{job}/spaces/{space}/find/loudspeaker-place', { path: { job, space }, signal }),
  /** What stops a loudspeaker at one place of a surface, and the nearest place that it can go. */
  loudspeakerAt: (
    job: string,
    space: string,
    query: { item: string; surface: string; x: number; y: number },
    signal?: AbortSignal,
  ) => call('get', '/api/jobs/{job}/spaces/{space}/find/loudspeaker-at', { path: { job, space }, query, signal }),
  layoutPlaces: (job: string, space: string, signal?: AbortSignal) =>
    call('get', '/api/jobs/{job}/spaces/{space}/find/layout-places', { path: { job, space }, signal }),
};

export const sheets = {
  list: (job: string, signal?: AbortSignal) =>
    call('get', '/api/jobs/{job}/sheets', { path: { job }, signal }),
  one: (job: string, sheet: string, signal?: AbortSignal) =>
    call('get', '/api/jobs/{job}/sheets/{sheet}', { path: { job, sheet }, signal }),
  svgUrl: (job: string, sheet: string) =>
    urlOf('/api/jobs/{job}/sheets/{sheet}/svg', { path: { job, sheet } }),
  print: (job: string, paper: Paper, date: string) =>
    call('post', '/api/jobs/{job}/print', { path: { job }, body: { paper, date } }),
  eventsUrl: (key: string) => urlOf('/api/solves/{key}/events', { path: { key } }),
  cancel: (key: string) => call('delete', '/api/solves/{key}', { path: { key } }),
};

export const ticks = {
  list: (job: string, signal?: AbortSignal) =>
    call('get', '/api/jobs/{job}/ticks', { path: { job }, signal }),
  /** `op` names the tick, so that it counts once however often it is sent. */
  set: (job: string, body: { op: string; tick: string; done: boolean; at: string }) =>
    call('post', '/api/jobs/{job}/ticks', { path: { job }, body }),
};

export const photographs = {
  list: (job: string, signal?: AbortSignal) =>
    call('get', '/api/jobs/{job}/photographs', { path: { job }, signal }),
  add: (
    job: string,
    query: { op: string; pinned: string; caption: string; keep_location: boolean },
    bytes: Blob,
  ) => call('post', '/api/jobs/{job}/photographs', { path: { job }, query, bytes }),
  url: (hash: string) => urlOf('/api/photographs/{hash}', { path: { hash } }),
  remove: (job: string, hash: string) =>
    call('delete', '/api/jobs/{job}/photographs/{hash}', { path: { job, hash } }),
};

export const catalogue = {
  all: (signal?: AbortSignal) => call('get', '/api/catalogue', { signal }),
  put: (kind: string, id: string, facts: { [key: string]: unknown }) =>
    call('put', '/api/catalogue/{kind}/{id}', { path: { kind, id }, body: { facts } }),
  remove: (kind: string, id: string) => call('delete', '/api/catalogue/{kind}/{id}', { path: { kind, id } }),
  /** Reads a CSV or XLSX table and guesses its columns; nothing is taken yet. */
  read: (kind: string, file: File, sheet?: string) =>
    call('post', '/api/catalogue/read', {
      query: { kind, name: file.name, sheet: sheet ?? null },
      bytes: file,
    }),
  import: (body: Import) => call('post', '/api/catalogue/import', { body }),
  exportUrl: (kind: string, as: 'csv' | 'xlsx') => urlOf('/api/catalogue/export', { query: { kind, as } }),
  schema: (signal?: AbortSignal) => call('get', '/api/schema/job', { signal }),
};

export const sharing = {
  me: (signal?: AbortSignal) => call('get', '/api/me', { signal }),
  state: (signal?: AbortSignal) => call('get', '/api/sharing', { signal }),
  code: (role: Role) => call('post', '/api/sharing/code', { body: { role } }),
  forget: (id: string) => call('delete', '/api/sharing/devices/{id}', { path: { id } }),
  pair: (code: string, device: string) => call('post', '/api/pair', { body: { code, device } }),
  signOut: () => call('post', '/api/sign-out', {}),
  signOutEverywhere: () => call('post', '/api/sign-out-everywhere', {}),
};
