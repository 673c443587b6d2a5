// The shapes that the server and the page exchange, written by hand after the server's own types.
// Lengths in metres, angles in radians, SI throughout; `…_text`, `says`, `because`, `label` and
// `words` are already in the job's units and ready for people.

export type Verdict = 'fails' | 'tight' | 'unknown' | 'fits';
export type Units = 'imperial' | 'metric';
export type Moment = 'walk' | 'fit' | 'quote' | 'load' | 'day' | 'tune' | 'handover' | 'return';
export type Json = null | boolean | number | string | Json[] | { [key: string]: Json };

export type Counts = Record<Verdict, number>;

// ------------------------------------------------------------------------------------- findings

export type Subject = { id: string; label: string };
export type Need = { what: string; at: string; tool: string };
export type Decider = { what: string; at: string; share: number };
export type Edit = { at: string; set: Json };
export type Change = { check: string; subject: string; from: Verdict | null; to: Verdict | null };
export type Effect = { verdict: Verdict; better: Change[]; worse: Change[]; refused: string | null };

export type Remedy = {
  id: string;
  says: string;
  edits: Edit[];
  time_s: number;
  wire_m: number;
  holes: number;
  money: number | null;
  cautions: string[];
  /** Null when it was not tried: ask for the one finding. */
  effect: Effect | null;
};

/** Numbers to draw the uncertainty against the limit with, in the finding's unit. */
export type Bar = { margin: number; uncertainty: number; scale: number };

/** A fact that went into a finding. */
export type Input = { what: string; at: string; text: string; how: string };

export type Finding = {
  /** `check~space~subject`, unique in a job; what URLs carry. */
  key: string;
  check: string;
  area: string;
  title: string;
  subject: Subject;
  space: string | null;
  /** Ids of bodies in the scene that it speaks of. */
  about: string[];
  value: number | null;
  limit: number | null;
  unit: string;
  margin: number | null;
  uncertainty: number | null;
  value_text: string | null;
  limit_text: string | null;
  margin_text: string | null;
  uncertainty_text: string | null;
  bar: Bar | null;
  verdict: Verdict;
  because: string;
  source: string;
  needs: Need[];
  deciders: Decider[];
  inputs: Input[];
  remedies: Remedy[];
  cautions: string[];
};

export type Settled = { check: string; subject: string };
export type MeasureAgain = { what: string; at: string; tool: string; blank: boolean; settles: Settled[] };

export type Findings = {
  job: string;
  revision: number | null;
  findings: Finding[];
  measure_again: MeasureAgain[];
  counts: Counts;
  by_space: { space: string | null; counts: Counts }[];
  by_area: { area: string; counts: Counts }[];
};

export type Delta = { changed: Finding[]; gone: string[]; counts: Counts };

export type CheckLine = { id: string; area: string; proves: string };

export type Manual = {
  id: string;
  area: string;
  proves: string;
  matters: string;
  formula: string;
  source: { words: string; mark: string; link?: string | null };
  when_it_fails: string;
  published: { cite: string; expected: number; computed: number; tolerance: number; unit: string }[];
  limits: { name: string; text: string; source: string }[];
};

// ---------------------------------------------------------------------------------------- scene

export type Xy = [number, number];
export type Xyz = [number, number, number];

export type FieldKind = 'length' | 'angle' | 'number' | 'text' | 'choice' | 'flag' | (string & {});

export type Field = {
  at: string;
  label: string;
  kind: FieldKind;
  text: string | null;
  unit: string | null;
  choices: { value: string; label: string }[] | null;
  help: string;
  /** How many findings it decides while it is blank. */
  blocks: number;
};

export type Wall = {
  id: string;
  name: string;
  from: Xy;
  to: Xy;
  length_m: number;
  length_text: string;
  doubtful: boolean;
  open: boolean;
  faces_text: string | null;
  /** Its upper edge under the ceiling, left to right seen from inside: along, height. */
  top: Xy[];
  studs: { centre_m: number; width_m: number }[];
  blocks: { height_m: number; from_m: number; to_m: number }[];
  framing_text: string | null;
  snaps: { along_m?: number | null; height_m?: number | null; why: string }[];
};

export type OnWall = { left: number; right: number; bottom: number; top: number; out: number | null };

export type Body = {
  id: string;
  at: string;
  kind: 'item' | 'fixture' | 'opening' | 'seat';
  is: string;
  label: string;
  says: string;
  existing: boolean;
  place: 'wall' | 'floor' | 'ceiling' | 'inside' | 'none';
  wall: string | null;
  on_wall: OnWall | null;
  outline: Xy[] | null;
  bottom_m: number | null;
  top_m: number | null;
  moves: 'wall' | 'floor' | 'ceiling' | null;
  doors: { swing: Xy[] } | null;
  aim: Xyz | null;
  fields: Field[];
  /** Why it can't be drawn: which fact is blank. */
  missing: string | null;
};

export type Scene = {
  space: string;
  name: string;
  kind: 'room' | 'outdoor';
  units: Units;
  /** Adjusted outline in walk order; open as walked when it does not close. */
  floor: Xy[];
  bounds: { min: Xy; max: Xy };
  height_m: number;
  closed: boolean;
  gap_text: string | null;
  walls: Wall[];
  ceiling: {
    shape: string;
    planes: Xyz[][];
    known: boolean;
    words: string;
    joists: { from: Xy; to: Xy }[];
    snaps: { x?: number | null; y?: number | null; why: string }[];
  };
  soffits: { id: string; corners: Xyz[]; label: string }[];
  bodies: Body[];
  overlays: {
    sight_lines: { seat: string; item: string; from: Xyz; to: Xyz }[];
    beams: { item: string; lens: Xyz; corners: Xyz[] }[];
    cones: { item: string; apex: Xyz; axis: Xyz; half_angle_rad: number; reach_m: number }[];
    routes: { cable: string; label: string; existing: boolean; path: Xyz[] }[];
  };
};

/** Where the middle of a body goes. */
export type Move =
  | { of: string; wall: string; along_m: number; height_m: number }
  | { of: string; x: number; y: number; height_m?: number };

// ------------------------------------------------------------------------------------- the walk

export type WalkThing = { id: string; kind: string; label: string; says: string; fields: Field[] };

export type Walk = {
  space: string;
  name: string;
  rooms: { id: string; name: string }[];
  wall_strip: {
    id: string;
    length_text: string | null;
    how: string;
    corner_text: string | null;
    says: string;
  }[];
  closes: {
    closed: boolean;
    misclosure_text: string;
    limit_text: string;
    says: string;
    suspects: { wall: string; says: string; edit: Edit }[];
  } | null;
  fields: Field[];
  fixtures: WalkThing[];
  openings: WalkThing[];
  seats: WalkThing[];
  blanks: { what: string; at: string; tool: string; decides: number; findings: string[] }[];
};

// ----------------------------------------------------------------------------------------- jobs

export type Me = {
  role: 'crew' | 'view' | null;
  device: string | null;
  /** Asked from the machine that it runs on. */
  here: boolean;
  shared: boolean;
  secure: boolean;
  version: string;
};

export type JobCard = {
  id: string;
  name: string;
  customer: string | null;
  revision: number;
  changed: string;
  by: string;
  /** Null when this version of the program can't read the job. */
  counts: Counts | null;
  next: Moment | null;
  spaces: number;
};

export type NewJob =
  | { from: 'demo' }
  | { from: 'blank'; name: string; room: string; lengths: string[]; height?: string; units: Units }
  | { from: 'text'; text: string; name?: string };

/** A mistake in a job file, at its letter. */
export type Problem = { line: number; column: number; says: string; accepted: string | null };

export type Account = { text: string; who: string; when: string };
export type Contested = {
  id: string;
  at: string;
  what: string;
  /** Which of both holds until it is settled. */
  stands: 'earlier' | 'later';
  earlier: Account;
  later: Account;
};

export type JobView = {
  id: string;
  name: string;
  customer: string | null;
  units: Units;
  revision: number;
  named: string | null;
  document: Json;
  spaces: { id: string; name: string; kind: string }[];
  counts: Counts;
  by_space: { space: string | null; counts: Counts }[];
  by_moment: { moment: Moment; open: number }[];
  contested: Contested[];
  /** What undo would take back; null when there is nothing. */
  undo: string | null;
  redo: string | null;
  kinds: string[];
};

export type Saved = {
  revision: number;
  says: string;
  merged: boolean;
  contested: Contested[];
  delta: Delta;
  undo: string | null;
  redo: string | null;
};

export type Proved = { seq: number; delta: Delta; edits: Edit[]; says: string };

export type Revision = {
  n: number;
  who: string;
  when: string;
  kind: string;
  summary: string;
  name: string | null;
  /** It is taken back. */
  undone: boolean;
};

export type Comparison = {
  facts: { at: string; what: string; before: string | null; after: string | null }[];
  findings: {
    key: string;
    title: string;
    subject: string;
    from: Verdict | null;
    to: Verdict | null;
    because: string;
  }[];
};

// --------------------------------------------------------------------------------------- sheets

export type SheetLine = { id: string; title: string; kind: string; space: string | null };

export type SheetFinding = {
  verdict: Verdict;
  title: string;
  subject: string;
  value_text: string;
  limit_text: string;
  margin_text: string;
  because: string;
  /** Findings of the same thing that are less bad, a sentence each. */
  others: string[];
  source: string;
  remedies: string[];
};

export type SheetColumn = { head: string; holds: string };

export type SheetTable = {
  heading: string;
  columns: SheetColumn[];
  /** One text for each column that is no tick box. */
  rows: string[][];
  /** Empty, or like a row. */
  total: string[];
};

export type Content =
  | ({ kind: 'table' } & SheetTable)
  | { kind: 'text'; heading: string; paragraphs: string[] }
  | { kind: 'list'; heading: string; items: string[] }
  | { kind: 'drawing'; heading: string; svg_url: string; notes: string[]; tables: SheetTable[] }
  | { kind: 'findings'; rows: SheetFinding[] };

export type Sheet = { id: string; title: string; cautions: string[]; contents: Content[] };

export type Progress = { done: number; of: number; stage: string; left_s: number | null };

// ---------------------------------------------------------------- ticks, photographs, catalogue

export type Tick = { tick: string; done: boolean; who: string; when: string };

export type Photograph = {
  hash: string;
  pinned: string;
  caption: string;
  who: string;
  when: string;
  width: number;
  height: number;
};

export type CatalogueEntry = { id: string; name: string; facts: { [key: string]: Json }; from: string };
export type CatalogueKind = { kind: string; entries: CatalogueEntry[] };
export type CatalogueColumn = {
  index: number;
  head: string;
  fact: string | null;
  unit: string | null;
  guessed: boolean;
  sample: string[];
};
export type CatalogueRead = { key: string; sheets: string[]; columns: CatalogueColumn[]; rows: number };
export type CatalogueReport = {
  accepted: number;
  replaced: number;
  rejected: { row: number; column: string; text: string; reason: string; accepted: string | null }[];
};

// -------------------------------------------------------------------------------------- sharing

export type Device = { id: string; name: string; role: 'crew' | 'view'; since: string; last: string | null };
export type Sharing = {
  on: boolean;
  addresses: string[];
  code: string | null;
  code_until: string | null;
  devices: Device[];
  secure: boolean;
};
