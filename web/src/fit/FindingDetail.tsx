// All about one finding: margin, numbers that went in, source, cautions and what would mend it.

import { useEffect, useRef, useState } from 'preact/hooks';

import { findings as api } from '../api/client';
import type { Finding, Remedy } from '../api/schema';
import { useJob } from '../job';
import { Strip } from '../parts/Strip';
import { link } from '../routes';
import { BLANK, figure } from '../units';
import { useResource } from '../useResource';
import { useMoved } from './draft';
import { MarginBar } from './MarginBar';
import { Needs } from './Needs';
import { currencyOf, Remedies } from './Remedies';

type Props = { finding: Finding; findings: readonly Finding[] };

export function FindingDetail({ finding, findings }: Props) {
  const job = useJob();
  // The list comes without the effects of remedies, which need a proof each.
  const full = useResource(`${finding.key}@${job.revision}`, (signal) =>
    api.one(job.id, finding.key, signal),
  );
  const [busy, setBusy] = useState<string | null>(null);
  const shown = full.data?.key === finding.key && !full.loading ? full.data : finding;

  const live = useMoved(shown);
  const { root, acted } = useKeptFocus(full.loading);

  const apply = async (remedy: Remedy) => {
    setBusy(remedy.id);
    acted();
    await job.save({ edits: remedy.edits, summary: remedy.says });
    setBusy(null);
  };

  return (
    <div class="finding-detail" ref={root}>
      <p>{live.because}</p>
      <MarginBar finding={live} />
      {shown.needs.length > 0 ? (
        <section>
          <h3>Still to measure</h3>
          <Needs needs={shown.needs} onSave={acted} />
        </section>
      ) : null}
      <section>
        <h3>What would mend it</h3>
        {full.trouble ? <Strip trouble={full.trouble} onAgain={full.reload} /> : null}
        {shown.verdict === 'fits' && shown.remedies.length === 0 ? (
          <p class="soft">Nothing to mend.</p>
        ) : shown.verdict === 'unknown' && shown.remedies.length === 0 ? (
          <p class="soft">What is missing decides first.</p>
        ) : (
          <Remedies
            remedies={shown.remedies}
            findings={findings}
            units={job.view.units}
            currency={currencyOf(job.view.document)}
            busy={busy}
            onApply={(remedy) => void apply(remedy)}
          />
        )}
      </section>
      {shown.inputs.length > 0 ? (
        <section>
          <h3>Numbers that went in</h3>
          <Inputs finding={shown} />
        </section>
      ) : null}
      {shown.cautions.length > 0 ? (
        <section>
          <h3>Cautions</h3>
          <ul class="dangers">
            {shown.cautions.map((caution) => (
              <li key={caution}>{caution}</li>
            ))}
          </ul>
        </section>
      ) : null}
      <p class="small">
        <span class="soft">Source of the limit:</span> {shown.source}
      </p>
      <p>
        <a href={link('why', { id: job.id, key: finding.key })}>Why: formula, limits and check values</a>
      </p>
    </div>
  );
}

/**
 * What was pressed or typed into may be gone once it is saved: the focus then goes to the finding, or to the page's heading
 * where the finding is gone with it.
 */
function useKeptFocus(isLoading: boolean) {
  const root = useRef<HTMLDivElement>(null);
  const acts = useRef(false);
  const isLost = () => acts.current && document.activeElement === document.body;
  useEffect(() => {
    if (isLost()) root.current?.closest('li')?.querySelector<HTMLElement>('.finding')?.focus();
  });
  // Until the finding has been proved again its parts may still go.
  const began = useRef(false);
  useEffect(() => {
    if (acts.current && isLoading) began.current = true;
    else if (began.current) acts.current = began.current = false;
  }, [isLoading]);
  useEffect(
    () => () =>
      void setTimeout(() => {
        if (isLost()) document.querySelector('h1')?.focus();
      }),
    [],
  );
  return {
    root,
    acted: () => {
      acts.current = true;
    },
  };
}

/** Facts with what they say and how they are known. */
export function Inputs({ finding }: { finding: Finding }) {
  return (
    <dl class="inputs">
      {finding.inputs.map(({ what, at, text, how, share }) => (
        <div key={`${at} ${what}`}>
          <dt>{what}</dt>
          <dd>
            <span title={text ? undefined : 'nobody has measured it; it is taken for granted'}>
              {text ?? BLANK}
            </span>{' '}
            <span class="soft">
              {how}
              {share === null || share < 0.005 ? null : `, ${figure(share * 100, 0)} % of the uncertainty`}
            </span>
          </dd>
        </div>
      ))}
    </dl>
  );
}
