// What there is to say about the job, weightiest first.
import { useEffect } from 'preact/hooks';
import type { Finding } from '../api';
import { written } from '../state/address';
import { marked, pointAt } from '../state/carry';
import { choose, show } from '../state/chosen';
import { job } from '../state/job';

/** Findings that a test bend settles. */
const TEST_BENDS = new Set([
  'springback-from-handbook',
  'springback-doubtful',
  'test-bend-doubtful',
  'bend-left-wider',
]);
const LEVELS = { stop: 'Stop', watch: 'Watch', note: 'Note' } as const;

export function FindingsPanel() {
  const found = job.value?.findings ?? [];
  const sum = job.value?.sum;
  useEffect(
    () => () => {
      marked.value = null; // a place of the job as it was
    },
    [sum],
  );
  if (!job.value) return null;
  if (!found.length && job.value.finished) return <p>Nothing stops this job, and there is nothing to watch.</p>;
  const counts = (['stop', 'watch', 'note'] as const).map((level) => counted(found, level)).filter(Boolean);
  return (
    <>
      <p class="dim">{counts.join(', ')}</p>
      {job.value?.finished === false && <p role="status">Working out what the frame carries …</p>}
      <ol class="findings">
        {found.map((finding, index) => (
          <li key={index} class={`finding ${finding.level}`}>
            <Told finding={finding} />
          </li>
        ))}
      </ol>
    </>
  );
}

function counted(found: readonly Finding[], level: Finding['level']): string {
  const count = found.filter((one) => one.level === level).length;
  if (!count) return '';
  if (level === 'watch') return `${count} to watch`;
  return `${count} ${level}${count === 1 ? '' : 's'}`;
}

export function Told({ finding }: { finding: Finding }) {
  const { piece, bend, at_mm: at } = finding;
  const run = bend ? ({ kind: 'bend', number: bend } as const) : null;
  const showMe = (): void => {
    if (piece && at) choose(piece, run);
    else if (piece) show(piece, run);
    if (at) pointAt({ at, says: '', heat: null });
  };
  return (
    <>
      <p class="finding-head">
        <span class={`level ${finding.level}`}>{LEVELS[finding.level]}</span>
        {piece && <span class="where">{bend ? `${piece}, bend ${bend}` : piece}</span>}
        {(piece || at) && (
          <button type="button" class="plain" aria-label={`Show me where: ${finding.says}`} onClick={showMe}>
            Show me
          </button>
        )}
      </p>
      <p class="says">{finding.says}</p>
      <p class="why">{finding.why}</p>
      <p class="do">{finding.do}</p>
      {TEST_BENDS.has(finding.code) && job.value && (
        <p>
          <a class="onward" href={written({ at: 'job', job: job.value.name, section: 'test-bends' })}>
            To the test bends
          </a>
        </p>
      )}
    </>
  );
}
