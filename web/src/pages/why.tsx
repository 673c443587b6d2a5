// A finding's manual: what its check proves, the formula with the numbers that went in, limits and values that it reproduces.

import { findings as api } from '../api/client';
import type { Finding, Manual } from '../api/schema';
import '../fit/fit.css';
import { Inputs } from '../fit/FindingDetail';
import { MarginBar } from '../fit/MarginBar';
import { useJob } from '../job';
import { Strip } from '../parts/Strip';
import { Table } from '../parts/Table';
import { Title } from '../parts/Title';
import { Verdict } from '../parts/Verdict';
import { Waiting } from '../parts/Waiting';
import { link, type PageProps } from '../routes';
import { BLANK } from '../units';
import { useResource } from '../useResource';

export function Page({ params }: PageProps) {
  const job = useJob();
  const key = params['key'] ?? '';
  const loaded = useResource(`${key}@${job.revision}`, async (signal) => {
    const finding = await api.one(job.id, key, signal);
    return { finding, manual: await api.manual(finding.check, signal) };
  });
  if (loaded.data === null) {
    return (
      <div class="page">
        <Title page="Why" of={job.view.name} />
        {loaded.trouble ? (
          <Strip trouble={loaded.trouble} onAgain={loaded.reload} />
        ) : (
          <Waiting for="the manual" />
        )}
      </div>
    );
  }
  const { finding, manual } = loaded.data;
  return (
    <article class="page why">
      <Title page={`Why: ${finding.subject.label}`} of={job.view.name}>
        {finding.subject.label}: {finding.title}
      </Title>
      <p>
        <a href={link('fit', { id: job.id }, { room: finding.space, finding: finding.key })}>
          Back to the drawing
        </a>
      </p>
      <ThisCase finding={finding} />
      <section>
        <h2>What it proves</h2>
        <p>{manual.proves}</p>
        <p>{manual.matters}</p>
      </section>
      <section>
        <h2>How it is computed</h2>
        <p class="formula">{manual.formula}</p>
        <Source manual={manual} />
      </section>
      {manual.limits.length > 0 ? (
        <section>
          <h2>Limits</h2>
          <Table
            caption="Limits of this check"
            captionHidden
            columns={[{ head: 'Limit' }, { head: 'Value', numeric: true }, { head: 'Source' }]}
            rows={manual.limits.map(({ name, meaning, text, source }) => ({
              key: name,
              cells: [meaning, text, source],
            }))}
          />
        </section>
      ) : null}
      <section>
        <h2>When it fails</h2>
        <p>{manual.when_it_fails}</p>
      </section>
      <Published manual={manual} />
    </article>
  );
}

function ThisCase({ finding }: { finding: Finding }) {
  return (
    <section>
      <h2>In this job</h2>
      <p>
        <Verdict verdict={finding.verdict} />
      </p>
      <p>{finding.because}</p>
      <MarginBar finding={finding} />
      {finding.inputs.length > 0 ? (
        <>
          <h3>Numbers that went in</h3>
          <Inputs finding={finding} />
        </>
      ) : null}
      {finding.cautions.length > 0 ? (
        <>
          <h3>Cautions</h3>
          <ul class="dangers">
            {finding.cautions.map((caution) => (
              <li key={caution}>{caution}</li>
            ))}
          </ul>
        </>
      ) : null}
    </section>
  );
}

const MARKS: Record<Manual['source']['mark'], string> = {
  published: 'published',
  derived: 'derived',
  'common-practice': 'common practice',
  'from-memory': 'from memory, not confirmed',
  'spec-sheet': 'spec sheet',
  agreed: 'agreed in this job',
};

function Source({ manual }: { manual: Manual }) {
  const { words, mark } = manual.source;
  return (
    <p>
      <span class="soft">Source ({MARKS[mark]}):</span> {words}
    </p>
  );
}

function Published({ manual }: { manual: Manual }) {
  if (manual.published.length === 0) return null;
  return (
    <section>
      <h2>Values that it reproduces</h2>
      <Table
        caption="Published values and what the same formula gives here"
        captionHidden
        columns={[
          { head: 'Source' },
          { head: 'Published', numeric: true },
          { head: 'Computed', numeric: true },
          { head: 'Tolerance', numeric: true },
          { head: 'Unit' },
        ]}
        rows={manual.published.map(({ cite, expected, computed, tolerance, unit }, i) => ({
          key: String(i),
          cells: [
            cite,
            digits(expected),
            computed === null ? BLANK : digits(computed),
            `±${digits(tolerance)}`,
            unit === '1' ? 'ratio' : unit,
          ],
        }))}
      />
    </section>
  );
}

/** As many digits as a published table carries. */
function digits(value: number): string {
  return Number(value.toPrecision(6)).toString().replace('-', '\u2212');
}
