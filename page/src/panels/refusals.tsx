// What was refused and why, all of it at once; and what to do when two wrote the same file.
import { address, go } from '../state/address';
import { showLine } from '../state/file';
import { conflict, faults, job, settle } from '../state/job';

export function Refusals() {
  if (conflict.value) {
    return (
      <div class="refusal" role="alert">
        <p>Another program changed this file meanwhile. Nothing was overwritten.</p>
        <button type="button" onClick={() => void settle('theirs')}>
          Take the file as it is now
        </button>
        <button type="button" onClick={() => void settle('mine')}>
          Put what I see over it
        </button>
      </div>
    );
  }
  if (!faults.value.length) return null;
  return (
    <div class="refusal" role="alert">
      <ul>
        {faults.value.map((fault) => (
          <li key={fault.says}>
            {fault.says}
            {fault.line ? <ToLine line={fault.line} /> : null}
          </li>
        ))}
      </ul>
      {job.value && (
        <button
          type="button"
          class="plain"
          onClick={() => {
            faults.value = [];
          }}
        >
          Put away
        </button>
      )}
    </div>
  );
}

function ToLine({ line }: { line: number }) {
  const show = (): void => {
    const at = address.value;
    if (at.at === 'job') go({ ...at, section: 'file' });
    showLine(line);
  };
  return (
    <button type="button" class="to-line" onClick={show}>
      Show line {line}
    </button>
  );
}
