// What there is to say about the job, weightiest first.
import type { Finding } from '../api';
import { written } from '../state/address';
import { show } from '../state/chosen';
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
  if (!job.value) return null;
  if (!found.length) return <p>Nothing stops this job, and there is nothing to watch.</p>;
  const counts = (['stop', 'watch', 'note'] as const).map((level) => counted(found, level)).filter(Boolean);
  return (
    <>
      <p class="dim">{counts.join(', ')}</p>
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
  const { piece, bend } = finding;
  return (
    <>
      <p class="finding-head">
        <span class={`level ${finding.level}`}>{LEVELS[finding.level]}</span>
        {piece && <span class="where">{bend ? `${piece}, bend ${bend}` : piece}</span>}
        {piece && (
          <button type="button" class="plain" onClick={() => show(piece, bend ? { kind: 'bend', number: bend } : null)}>
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
