// What there is to say about the job, weightiest first.
import type { Finding } from '../api';
import { show } from '../state/chosen';
import { job } from '../state/job';

const LEVELS = { stop: 'Stop', watch: 'Watch', note: 'Note' } as const;

export function FindingsPanel() {
  const found = job.value?.findings ?? [];
  if (!job.value) return null;
  if (!found.length) return <p>There is nothing to say about this job.</p>;
  return (
    <ol class="findings">
      {found.map((finding, index) => (
        <li key={index} class={`finding ${finding.level}`}>
          <Told finding={finding} />
        </li>
      ))}
    </ol>
  );
}

function Told({ finding }: { finding: Finding }) {
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
    </>
  );
}
