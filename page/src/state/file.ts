// The text of the job file: what is typed over it, and a file that cannot be read as a job and has to be mended.
import { signal } from '@preact/signals';
import { client, got } from '../api';
import { faults, job, open } from './job';

interface Text {
  name: string;
  sum: string;
  text: string;
}

/** The file of a job that cannot be read, as it stands. */
export const broken = signal<Text | null>(null);
/** What is typed and not saved yet. */
export const draft = signal<string | null>(null);
/** A line that the maker wants to see; counted up so that the same one can be asked for again. */
export const wantedLine = signal<{ line: number; turn: number } | null>(null);

export function showLine(line: number): void {
  wantedLine.value = { line, turn: (wantedLine.value?.turn ?? 0) + 1 };
}

function key(name: string): string {
  return `bentwork.draft.${name}`;
}

function keyOfBefore(name: string): string {
  return `bentwork.draft-of.${name}`;
}

/** The text that was there when the maker began to type over it; null where nothing is typed. */
export function before(name: string): string | null {
  return localStorage.getItem(keyOfBefore(name));
}

export function readDraft(name: string): void {
  draft.value = name ? localStorage.getItem(key(name)) : null;
}

/** Keep what is typed on this machine until it is saved or thrown away. */
export function type(name: string, typed: string, stands: string): void {
  if (typed === stands) {
    forget(name);
    return;
  }
  if (draft.value === null) localStorage.setItem(keyOfBefore(name), stands);
  draft.value = typed;
  localStorage.setItem(key(name), typed);
}

export function forget(name: string): void {
  localStorage.removeItem(key(name));
  localStorage.removeItem(keyOfBefore(name));
  draft.value = null;
}

/** Look at a file that is no job: show its text, and open it again once somebody has changed it. */
export async function lookAtBroken(name: string): Promise<void> {
  if (job.value?.name === name) {
    broken.value = null;
    return;
  }
  const seen = broken.value?.name === name ? broken.value.sum : null;
  const found = await got(client.GET('/api/jobs/{name}/text', { params: { path: { name } } })).catch(() => null);
  if (!found || job.value?.name === name) return;
  broken.value = { name, ...found };
  if (seen !== null && seen !== found.sum) await open(name);
}

/** Write the text over a file that is no job; returns whether it is one now. */
export async function mend(text: string): Promise<boolean> {
  const was = broken.value;
  if (!was) return false;
  const { name, sum } = was;
  const answer = await client.PUT('/api/jobs/{name}/text', {
    params: { path: { name } },
    body: { sum, text, mine_counts: false },
  });
  if (!answer.response.ok) {
    const told = (answer.error as { errors?: typeof faults.value } | undefined)?.errors;
    faults.value = told ?? [{ says: `The server answered ${answer.response.status}.` }];
    return false;
  }
  await open(name);
  broken.value = null;
  return true;
}

/** Where a line begins and ends in a text, lines counted from 1. */
export function placeOfLine(text: string, line: number): [number, number] {
  const lines = text.split('\n');
  const at = Math.min(Math.max(line, 1), lines.length) - 1;
  const start = lines.slice(0, at).reduce((sum, one) => sum + one.length + 1, 0);
  return [start, start + (lines[at]?.length ?? 0)];
}
