// What was refused and why, all of it at once; and what to do when two wrote the same file.
import { useEffect } from 'preact/hooks';
import { address, go } from '../state/address';
import { loose, takeBackAll, waits } from '../state/edits';
import { showLine } from '../state/file';
import { type Conflict, conflict, faults, job, settle } from '../state/job';

export function Refusals() {
  return conflict.value ? <Asking {...conflict.value} /> : <Refused />;
}

function Refused() {
  const told = [...faults.value, ...loose.value.filter((one) => faults.value.every(({ says }) => says !== one.says))];
  const unsaved = waits.value;
  useEffect(keepInSight, [told.length, unsaved]);
  if (!told.length && !unsaved) return null;
  return (
    <div class="refusal" role="alert">
      {told.length > 0 && (
        <ul>
          {told.map((fault) => (
            <li key={fault.says}>
              {fault.says}
              {fault.line ? <ToLine line={fault.line} /> : null}
            </li>
          ))}
        </ul>
      )}
      <p class="row">
        {unsaved > 0 && <span>What is marked is not in the file yet.</span>}
        {unsaved > 0 && (
          <button type="button" class="plain" onClick={takeBackAll}>
            Bring back what was there
          </button>
        )}
        {job.value && faults.value.length > 0 && (
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
      </p>
    </div>
  );
}

/** Another program was at the same place: nothing is written until the maker has said which counts. */
function Asking({ places }: Conflict) {
  const whole = places.length === 0;
  useEffect(keepInSight, []);
  const line = places.find((one) => one.line)?.line;
  return (
    <div class="refusal" role="alert">
      <p>
        {whole
          ? 'Another program changed this file meanwhile. Nothing was overwritten.'
          : 'Changed by another program or window meanwhile, so yours is not written yet:'}
      </p>
      {!whole && (
        <ul>
          {places.map((one) => (
            <li key={one.says}>{one.says}</li>
          ))}
        </ul>
      )}
      <p class="row">
        <button type="button" onClick={() => void settle('theirs')}>
          {whole ? 'Take the file as it is now' : 'Keep theirs'}
        </button>
        <button type="button" onClick={() => void settle('mine')}>
          {whole ? 'Put what I see over it' : 'Put mine'}
        </button>
        {line && <ToLine line={line} says="Look" />}
      </p>
    </div>
  );
}

function ToLine({ line, says }: { line: number; says?: string }) {
  const show = (): void => {
    const at = address.value;
    if (at.at === 'job') go({ ...at, section: 'file' });
    showLine(line);
  };
  return (
    <button type="button" class="to-line" onClick={show}>
      {says ?? `Show line ${line}`}
    </button>
  );
}

/** The box takes room from the fields: the one that is typed in stays in sight. */
function keepInSight(): void {
  const typedIn = document.activeElement;
  if (typedIn?.closest('.panel')) typedIn.scrollIntoView({ block: 'nearest' });
}
