// Changes that other programs make to the file of the open job are followed; a file that cannot be read is tried again.
import { batch } from '@preact/signals';
import { client, type Fault, got, Refused, Unreachable } from '../api';
import { conflict, faults, job, reachable, read, SILENT, working } from './job';

/** What is wrong with the file itself, as it was told last. */
let ofFile: readonly Fault[] = [];

/** Look whether another program changed the file, and follow it; and whether one that could not be read can be. */
export async function lookAgain(name: string): Promise<void> {
  const now = job.value?.name === name ? job.value : null;
  if (working.value || conflict.value) return;
  if (!now && faults.value.length) ofFile = faults.value;
  try {
    const path = { params: { path: { name } } };
    const same = now?.finished === true && (await got(client.GET('/api/jobs/{name}/sum', path))) === job.value?.sum;
    const found = same ? null : await read(name);
    if (working.value || (job.value !== now && job.value?.name === name)) return; // changed by ourselves meanwhile
    batch(() => {
      if (found) job.value = found;
      settled();
    });
  } catch (error) {
    if (error instanceof Unreachable) reachable.value = false;
    else if (!(error instanceof Refused)) throw error;
    else if (error.stale === null && !working.value) {
      settled(error.faults);
    }
  }
}

/** The server answers: what was said of its silence, and of the file as it was, is settled. */
function settled(found: readonly Fault[] = []): void {
  const same = found.length === ofFile.length && found.every((fault, k) => fault.says === ofFile[k]?.says);
  if (!reachable.value) faults.value = faults.value.filter((fault) => fault !== SILENT);
  reachable.value = true;
  if (same) return;
  faults.value = [...faults.value.filter((fault) => !ofFile.includes(fault)), ...found];
  ofFile = found;
}
