// Which findings are listed, in which order, and what a change does to them.

import type { Delta, Finding, Verdict } from '../api/schema';
import { VERDICTS } from '../parts/Verdict';

export type Filter = {
  /** Null for all spaces and the house. */
  space: string | null;
  area: string | null;
  verdict: Verdict | null;
  text: string;
};

/** Worst first; among equals as the server has them. */
export function worstFirst(findings: readonly Finding[]): Finding[] {
  const rank = (finding: Finding): number => VERDICTS.indexOf(finding.verdict);
  return [...findings].sort((a, b) => rank(a) - rank(b));
}

export function filtered(findings: readonly Finding[], { space, area, verdict, text }: Filter): Finding[] {
  const words = text.toLocaleLowerCase().split(/\s+/).filter(Boolean);
  return findings.filter((finding) => {
    if (space !== null && finding.space !== space) return false;
    if (area !== null && finding.area !== area) return false;
    if (verdict !== null && finding.verdict !== verdict) return false;
    if (words.length === 0) return true;
    const said =
      `${finding.title} ${finding.subject.label} ${finding.because} ${finding.check}`.toLocaleLowerCase();
    return words.every((word) => said.includes(word));
  });
}

/** What somebody has to act on and the filter keeps from sight, whatever the verdict that is asked for. */
export function hiddenBy(findings: readonly Finding[], filter: Filter): Finding[] {
  const shown = new Set(filtered(findings, { ...filter, verdict: null }).map(({ key }) => key));
  return findings.filter(({ key, verdict }) => verdict !== 'fits' && !shown.has(key));
}

/** The findings after a change. */
export function merged(findings: readonly Finding[], delta: Delta): Finding[] {
  const changed = new Map(delta.changed.map((finding) => [finding.key, finding]));
  const gone = new Set(delta.gone);
  const kept = findings.flatMap((finding) => {
    if (gone.has(finding.key)) return [];
    const instead = changed.get(finding.key);
    changed.delete(finding.key);
    return [instead ?? finding];
  });
  return [...kept, ...changed.values()];
}

/** The worst verdict of the findings about each body of a space. */
export function worstAbout(findings: readonly Finding[], space: string): Map<string, Verdict> {
  const worst = new Map<string, Verdict>();
  for (const { about, verdict, space: of } of findings) {
    if (of !== null && of !== space) continue;
    for (const body of about) {
      const known = worst.get(body);
      if (known === undefined || VERDICTS.indexOf(verdict) < VERDICTS.indexOf(known))
        worst.set(body, verdict);
    }
  }
  return worst;
}

/** A finding that a move not yet saved would change. */
export type Changed = {
  key: string;
  title: string;
  subject: string;
  from: Verdict | null;
  to: Verdict | null;
  words: string;
};

/**
 * What a reader should hear of a move, most weighty first: findings whose verdict it changes, then those that stay `fails` or
 * `tight` with another margin.
 */
export function changes(before: ReadonlyMap<string, Finding>, delta: Delta): Changed[] {
  const changed = delta.changed.flatMap((finding): Changed[] => {
    const from = before.get(finding.key)?.verdict ?? null;
    const same = from === finding.verdict;
    if (same && (finding.verdict === 'fits' || finding.verdict === 'unknown')) return [];
    const { key, title, subject } = finding;
    return [{ key, title, subject: subject.label, from, to: finding.verdict, words: words(from, finding) }];
  });
  const gone = delta.gone.flatMap((key): Changed[] => {
    const finding = before.get(key);
    if (!finding) return [];
    const { title, subject, verdict } = finding;
    return [{ key, title, subject: subject.label, from: verdict, to: null, words: 'is no longer asked' }];
  });
  const weight = ({ from, to }: Changed): number =>
    (from === to ? 10 : 0) + (to === null ? 9 : VERDICTS.indexOf(to));
  return [...changed, ...gone].sort((a, b) => weight(a) - weight(b));
}

function words(from: Verdict | null, { verdict, margin_text }: Finding): string {
  const when = from === verdict ? 'still' : 'now';
  if (margin_text === null) return `${when} ${verdict}`;
  if (verdict !== 'fails') return `${when} ${verdict}, ${margin_text}`;
  return `${when} fails by ${margin_text.replace(/^\u2212/, '')}`;
}

/** One sentence about a move for those who can't see the list. */
export function summary(changed: readonly Changed[]): string {
  const turned = changed.filter(({ from, to }) => from !== to);
  if (turned.length === 0) return 'No verdict changes.';
  const first = turned.slice(0, 2).map(({ subject, title, words }) => `${subject}, ${title}: ${words}`);
  const more = turned.length - first.length;
  return first.join('. ') + (more > 0 ? `. And ${more} more.` : '.');
}
