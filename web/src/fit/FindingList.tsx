// The findings of a job, worst first, with filters; the open one unfolds in place.

import type { ComponentChildren } from 'preact';
import { useEffect, useMemo, useRef, useState } from 'preact/hooks';

import type { Finding, Verdict as V } from '../api/schema';
import { Button } from '../parts/Button';
import { Verdict, VERDICTS, VerdictShape, verdictsOf } from '../parts/Verdict';
import { BLANK, counted } from '../units';
import { useMoved } from './draft';
import { FindingDetail } from './FindingDetail';
import { filtered, hiddenBy, worstFirst, type Filter } from './findings';
import { useNarrow } from './useNarrow';

type Props = {
  findings: readonly Finding[];
  spaces: readonly { id: string; name: string }[];
  filter: Filter;
  onFilter: (filter: Filter) => void;
  open: string | null;
  onOpen: (finding: Finding | null) => void;
};

export function FindingList({ findings, spaces, filter, onFilter, open, onOpen }: Props) {
  const ordered = useMemo(() => worstFirst(findings), [findings]);
  const shown = filtered(ordered, filter);
  const of = filtered(ordered, { ...filter, verdict: null });
  // Most findings fit, and nobody has to act on those: they unfold when asked for.
  const [unfolded, setUnfolded] = useState(false);
  const fitting = shown.filter(({ verdict }) => verdict === 'fits');
  const folds =
    !unfolded && filter.verdict === null && filter.text === '' && !fitting.some(({ key }) => key === open);
  const hidden = hiddenBy(ordered, filter);
  const rows = folds ? shown.filter(({ verdict }) => verdict !== 'fits') : shown;
  return (
    <div class="findings">
      <Filters all={findings} of={of} spaces={spaces} filter={filter} onFilter={onFilter} />
      <p class="soft small" role="status">
        {shown.length === 0 ? 'No finding is like that.' : `${counted(shown.length, 'finding')}, worst first`}
      </p>
      <ol class="finding-list">
        {rows.map((finding) => (
          <Row
            key={finding.key}
            finding={finding}
            findings={findings}
            space={filter.space === null ? spaceName(finding, spaces) : null}
            open={finding.key === open}
            onOpen={onOpen}
          />
        ))}
      </ol>
      {folds && fitting.length > 0 ? (
        <div class="finding-rest">
          {rows.length === 0 ? <p>{isNarrowed(filter) ? 'All that is shown fits.' : 'All of it fits.'}</p> : null}
          <Button onPress={() => setUnfolded(true)}>
            {fitting.length === 1 ? 'Show the one that fits' : `Show the ${fitting.length} that fit`}
          </Button>
        </div>
      ) : null}
      {hidden.length > 0 ? (
        <p class="finding-hidden">
          <Button kind="quiet" onPress={() => onFilter({ space: null, area: null, verdict: null, text: '' })}>
            {verdictsOf(hidden)} {isOnlySpace(filter) ? 'outside this room' : 'that this filter hides'}: show
          </Button>
        </p>
      ) : null}
    </div>
  );
}

/** Something other than a verdict narrows the list. */
function isNarrowed({ space, area, text }: Filter): boolean {
  return space !== null || area !== null || text !== '';
}

function isOnlySpace({ area, text }: Filter): boolean {
  return area === null && text === '';
}

function spaceName({ space }: Finding, spaces: Props['spaces']): string {
  return space === null ? 'Whole house' : (spaces.find(({ id }) => id === space)?.name ?? space);
}

type RowProps = {
  finding: Finding;
  findings: readonly Finding[];
  space: string | null;
  open: boolean;
  onOpen: (finding: Finding | null) => void;
};

function Row({ finding, findings, space, open, onOpen }: RowProps) {
  const row = useRef<HTMLLIElement>(null);
  const live = useMoved(finding);
  const moving = live !== finding;
  useEffect(() => {
    if (open) row.current?.scrollIntoView({ block: 'nearest' });
  }, [open]);
  return (
    <li ref={row} class={open ? 'open' : undefined}>
      <button
        type="button"
        class="finding"
        aria-expanded={open}
        onClick={() => onOpen(open ? null : finding)}
      >
        <Verdict verdict={live.verdict} />
        <span class="finding-subject">{finding.subject.label}</span>
        <span
          class={moving ? 'finding-by moving' : 'finding-by'}
          title={live.margin_text === null ? 'not known yet' : undefined}
        >
          {live.margin_text ?? BLANK}
        </span>
        <span class="finding-title soft">
          {finding.title}
          {space === null ? null : ` · ${space}`}
        </span>
        {open ? null : <span class="finding-because">{live.because}</span>}
      </button>
      {open ? <FindingDetail finding={finding} findings={findings} /> : null}
    </li>
  );
}

type FiltersProps = {
  all: readonly Finding[];
  /** What the filters other than the verdict's leave. */
  of: readonly Finding[];
  spaces: Props['spaces'];
  filter: Filter;
  onFilter: (filter: Filter) => void;
};

function Filters({ all, of, spaces, filter, onFilter }: FiltersProps) {
  const narrow = useNarrow();
  const areas = [...new Set(all.map(({ area }) => area))].sort();
  const count = (verdict: V): number => of.filter((finding) => finding.verdict === verdict).length;
  return (
    <search class="filters">
      <More narrow={narrow}>
        <label class="field">
          <span>Where</span>
          <select
            value={filter.space ?? ''}
            onChange={(event) => onFilter({ ...filter, space: event.currentTarget.value || null })}
          >
            <option value="">All rooms</option>
            {spaces.map(({ id, name }) => (
              <option key={id} value={id} selected={id === filter.space}>
                {name}
              </option>
            ))}
          </select>
        </label>
        <label class="field">
          <span>Trade</span>
          <select
            value={filter.area ?? ''}
            onChange={(event) => onFilter({ ...filter, area: event.currentTarget.value || null })}
          >
            <option value="">All trades</option>
            {areas.map((area) => (
              <option key={area} value={area} selected={area === filter.area}>
                {area}
              </option>
            ))}
          </select>
        </label>
        <label class="field">
          <span>Words</span>
          <input
            type="search"
            value={filter.text}
            onInput={(event) => onFilter({ ...filter, text: event.currentTarget.value })}
          />
        </label>
      </More>
      <div class="filter-verdicts" role="group" aria-label="Verdict">
        {VERDICTS.map((verdict) => (
          <Button
            key={verdict}
            pressed={filter.verdict === verdict}
            onPress={() => onFilter({ ...filter, verdict: filter.verdict === verdict ? null : verdict })}
          >
            <span class={`verdict ${verdict}`}>
              <VerdictShape verdict={verdict} />
              {count(verdict)} {verdict}
            </span>
          </Button>
        ))}
      </div>
    </search>
  );
}

/** Folded where the list should come first. */
function More({ narrow, children }: { narrow: boolean; children: ComponentChildren }) {
  if (!narrow) return <div class="filter-more">{children}</div>;
  return (
    <details>
      <summary>Filter</summary>
      <div class="filter-more">{children}</div>
    </details>
  );
}
