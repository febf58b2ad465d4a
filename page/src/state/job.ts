// The job that is open: its state on the server, changes to it, undo and redo, and changes made by others.
import { batch, computed, signal } from '@preact/signals';
import { type Change, client, type Fault, got, type Job, Refused, Unreachable } from '../api';

export const job = signal<Job | null>(null);
/** What is wrong with the last thing that was tried; the job itself is as it was. */
export const faults = signal<readonly Fault[]>([]);
export const working = signal(false);
export const reachable = signal(true);
/** Another program wrote the file, and so did we: the maker has to say which counts. */
export const conflict = signal<{ mine: string; theirs: Job } | null>(null);

const past = signal<readonly string[]>([]);
const future = signal<readonly string[]>([]);
export const canUndo = computed(() => past.value.length > 0);
export const canRedo = computed(() => future.value.length > 0);

let turn = 0;

export async function open(name: string): Promise<void> {
  if (job.value?.name !== name) {
    batch(() => {
      job.value = null;
      past.value = [];
      future.value = [];
      faults.value = [];
      conflict.value = null;
    });
  }
  await attempt(() => got(client.GET('/api/jobs/{name}', { params: { path: { name } } })), 'keep');
}

/** Change values in the job file; the answer is the job worked out anew. Returns whether it was taken. */
export function change(changes: readonly Change[]): Promise<boolean> {
  return sent((now) =>
    got(
      client.POST('/api/jobs/{name}/changes', {
        params: { path: { name: now.name } },
        body: { sum: now.sum, changes: [...changes] },
      }),
    ),
  );
}

/** Try a remedy of a piece: the server writes what it changes into the job file. */
export function tried(piece: string, asDrawn: boolean, number: number): Promise<boolean> {
  return sent((now) =>
    got(
      client.POST('/api/jobs/{name}/remedy', {
        params: { path: { name: now.name } },
        body: { sum: now.sum, piece, as_drawn: asDrawn, number },
      }),
    ),
  );
}

/** Replace the whole text; `seen` is what was there when the maker began to type, for changes made meanwhile. */
export function replaceText(text: string, seen: string | null = null): Promise<boolean> {
  const theirs = job.value;
  if (theirs && seen !== null && seen !== theirs.text) {
    conflict.value = { mine: text, theirs };
    return Promise.resolve(false);
  }
  return sent((now) => put(now, text));
}

let line: Promise<void> = Promise.resolve();

/** One step back; steps asked for faster than they are taken are taken one after the other. */
export function undo(): Promise<void> {
  line = line.then(() => step(past, future));
  return line;
}

export function redo(): Promise<void> {
  line = line.then(() => step(future, past));
  return line;
}

/** Settle a conflict: keep the file as the other program wrote it, or put ours over it. */
export async function settle(keep: 'theirs' | 'mine'): Promise<void> {
  const both = conflict.value;
  if (!both) return;
  batch(() => {
    conflict.value = null;
    taken(both.theirs, 'push');
  });
  if (keep === 'mine') await replaceText(both.mine);
}

/** Look whether another program changed the file, and follow it. */
export async function lookAgain(): Promise<void> {
  const now = job.value;
  if (!now || working.value || conflict.value) return;
  try {
    const sum = await got(client.GET('/api/jobs/{name}/sum', { params: { path: { name: now.name } } }));
    reachable.value = true;
    if (sum !== job.value?.sum && !working.value) {
      await attempt(() => got(client.GET('/api/jobs/{name}', { params: { path: { name: now.name } } })), 'push');
    }
  } catch (error) {
    reachable.value = !(error instanceof Unreachable);
  }
}

function put(now: Job, text: string): Promise<Job> {
  return got(
    client.PUT('/api/jobs/{name}/text', { params: { path: { name: now.name } }, body: { sum: now.sum, text } }),
  );
}

/** Have the server change the open job; the answer is the job worked out anew. Returns whether it was taken. */
export async function sent(ask: (now: Job) => Promise<Job>): Promise<boolean> {
  const now = job.value;
  if (!now) return false;
  return attempt(() => ask(now), 'push');
}

async function step(from: typeof past, to: typeof past): Promise<void> {
  const now = job.value;
  const text = from.value.at(-1);
  if (!now || text === undefined) return;
  if (await attempt(() => put(now, text), 'keep')) {
    batch(() => {
      from.value = from.value.slice(0, -1);
      to.value = [...to.value, now.text];
    });
  }
}

async function attempt(ask: () => Promise<Job>, history: 'push' | 'keep'): Promise<boolean> {
  turn += 1;
  const own = turn;
  working.value = true;
  try {
    const answer = await ask();
    reachable.value = true;
    if (own !== turn && answer.name !== job.value?.name) return true;
    batch(() => {
      taken(answer, history);
      faults.value = [];
    });
    return true;
  } catch (error) {
    if (own !== turn && error instanceof Refused && error.isStale) return false; // a newer change has overtaken it
    await failed(error);
    return false;
  } finally {
    if (own === turn) working.value = false;
  }
}

function taken(answer: Job, history: 'push' | 'keep'): void {
  const before = job.value;
  if (history === 'push' && before && before.name === answer.name && before.text !== answer.text) {
    past.value = [...past.value, before.text];
    future.value = [];
  }
  job.value = answer;
}

async function failed(error: unknown): Promise<void> {
  if (error instanceof Unreachable) {
    reachable.value = false;
    faults.value = [{ says: 'Bentwork does not answer. Is it still running in its terminal? Nothing was lost.' }];
  } else if (error instanceof Refused) {
    faults.value = error.faults;
    if (error.isStale) await lookAgainAfter();
  } else {
    throw error;
  }
}

async function lookAgainAfter(): Promise<void> {
  const now = job.value;
  if (!now) return;
  const theirs = await got(client.GET('/api/jobs/{name}', { params: { path: { name: now.name } } })).catch(() => null);
  if (theirs && theirs.sum !== now.sum) conflict.value = { mine: now.text, theirs };
}
