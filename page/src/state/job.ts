// The job that is open: its state on the server, changes to it, undo and redo, and changes made by others.
import { batch, computed, signal } from '@preact/signals';
import { type Change, client, type Fault, got, type Job, Refused, Unreachable } from '../api';

export const job = signal<Job | null>(null);
/** What is wrong with the last thing that was tried; the job itself is as it was. */
export const faults = signal<readonly Fault[]>([]);
export const working = signal(false);
export const reachable = signal(true);

/** A state of the file, as the page saw it. */
export interface Seen {
  sum: string;
  text: string;
}

/** What becomes of a change when the maker has said what counts. */
export interface Ways {
  /** Put it over what another program wrote, that is the state that the maker was asked about. */
  mine: (theirs: Job) => Promise<unknown>;
  /** Give it up. */
  theirs?: (places: readonly Fault[]) => unknown;
}

/** Another program changed the same place, or the whole file: the maker has to say which counts. */
export interface Conflict extends Ways {
  /** The places, as they were and as they are; none where the whole file is meant. */
  places: readonly Fault[];
  now: Job;
}
export const conflict = signal<Conflict | null>(null);

/** What came of a change. ``overtaken``: a newer one is on its way and has this one in it; ``asked``: see conflict. */
export type Outcome = 'taken' | 'refused' | 'overtaken' | 'asked' | 'unreachable';

/** What is to be put back, into a file that stands as it was seen. */
interface Back {
  text: string;
  seen: Seen;
}
const past = signal<readonly Back[]>([]);
const future = signal<readonly Back[]>([]);
export const canUndo = computed(() => past.value.length > 0);
export const canRedo = computed(() => future.value.length > 0);

const PATIENCE = 120; // ms until something is asked once more that a change from another window has overtaken
const OFTEN = 40;

let turn = 0;

export function open(name: string): Promise<unknown> {
  if (job.value?.name !== name) {
    batch(() => {
      job.value = null;
      past.value = [];
      future.value = [];
      faults.value = [];
      conflict.value = null;
    });
  }
  return attempt(() => read(name, true)); // what the frame carries follows: see look-again
}

/** Change values in the job file, each in the state that it was thought of in; the answer is the job worked out anew. */
export function change(changes: readonly Change[], seen: readonly Seen[], ways?: Ways): Promise<Outcome> {
  const states = Object.fromEntries(seen.map((one) => [one.sum, one.text]));
  return did(
    (now) =>
      got(
        client.POST('/api/jobs/{name}/changes', {
          params: { path: { name: now.name } },
          body: { sum: now.sum, states, changes: [...changes] },
        }),
      ),
    ways,
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
export async function replaceText(text: string, seen: string | null = null): Promise<boolean> {
  const now = job.value;
  const ways: Ways = { mine: (theirs) => did(() => put(theirs, { sum: theirs.sum, text }), ways) };
  if (now && seen !== null && seen !== now.text) {
    conflict.value = { places: [], now, ...ways };
    return false;
  }
  return (await did((stands) => put(stands, { sum: stands.sum, text }), ways)) === 'taken';
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

/** Settle a conflict: keep what the other program wrote, or put ours over it. */
export async function settle(keep: 'theirs' | 'mine'): Promise<void> {
  const both = conflict.value;
  if (!both) return;
  batch(() => {
    conflict.value = null;
    job.value = both.now;
  });
  if (keep === 'mine') await both.mine(both.now);
  else await both.theirs?.(both.places);
}

export function read(name: string, atOnce = false): Promise<Job> {
  return got(client.GET('/api/jobs/{name}', { params: { path: { name }, query: { at_once: atOnce } } }));
}

interface NewText {
  sum: string;
  text: string;
  seen?: string;
  mine_counts?: boolean;
}

function put({ name }: Job, body: NewText): Promise<Job> {
  return got(
    client.PUT('/api/jobs/{name}/text', { params: { path: { name } }, body: { mine_counts: false, ...body } }),
  );
}

/** Have the server change the open job; the answer is the job worked out anew. Returns whether it was taken. */
export async function sent(ask: (now: Job) => Promise<Job>): Promise<boolean> {
  return (await did(ask)) === 'taken';
}

/** The same for what can be asked about where another program was at the same place. */
async function did(ask: (now: Job) => Promise<Job>, ways?: Ways): Promise<Outcome> {
  const now = job.value;
  if (!now) return 'refused';
  return attempt(
    () => ask(now),
    ways,
    (answer) => {
      const before = answer.onto ?? now.text;
      if (before === answer.text) return;
      past.value = [...past.value, { text: before, seen: answer }];
      future.value = [];
    },
  );
}

async function step(from: typeof past, to: typeof past): Promise<void> {
  const now = job.value;
  const back = from.value.at(-1);
  if (!now || !back) return;
  const { text, seen } = back;
  const done = (answer: Job): void => {
    from.value = from.value.slice(0, -1);
    to.value = [...to.value, { text: answer.onto ?? seen.text, seen: answer }];
  };
  const ways: Ways = {
    mine: (theirs) => over(theirs),
    theirs: () => {
      from.value = from.value.slice(0, -1);
    },
  };
  const over = (theirs: Job) =>
    attempt(() => put(now, { sum: theirs.sum, text, seen: seen.text, mine_counts: true }), ways, done);
  await attempt(() => put(now, { sum: seen.sum, text, seen: seen.text }), ways, done);
}

async function attempt(ask: () => Promise<Job>, ways?: Ways, done?: (answer: Job) => void): Promise<Outcome> {
  turn += 1;
  const own = turn;
  working.value = true;
  try {
    for (let times = 1; ; times += 1) {
      try {
        const answer = await ask();
        if (own !== turn && answer.name !== job.value?.name) return 'taken';
        batch(() => {
          done?.(answer);
          job.value = answer;
          faults.value = [];
          reachable.value = true;
        });
        return 'taken';
      } catch (error) {
        if (!(error instanceof Refused) || error.stale !== 'overtaken') return await failed(error, own, ways);
        if (own !== turn) return 'overtaken';
        if (times === OFTEN) return await failed(error, own, ways);
        await new Promise((wake) => setTimeout(wake, PATIENCE)); // another window is changing this job, too
      }
    }
  } finally {
    if (own === turn) working.value = false;
  }
}

export const SILENT: Fault = {
  says: 'Bentwork does not answer. Is it still running in its terminal? Nothing was lost.',
};
const MOVED =
  'The file was changed by another program meanwhile; here it is as it stands now. Look, and press once more.';

async function failed(error: unknown, own: number, ways?: Ways): Promise<Outcome> {
  if (error instanceof Unreachable) {
    reachable.value = false;
    faults.value = [SILENT];
    return 'unreachable';
  }
  if (!(error instanceof Refused)) throw error;
  const name = job.value?.name;
  if (!error.isStale || error.stale === 'overtaken' || !name) {
    faults.value = error.faults;
    return 'refused';
  }
  const theirs = await read(name).catch(() => null);
  if (own !== turn) return 'overtaken';
  if (theirs && ways) {
    faults.value = [];
    conflict.value = { places: error.stale === 'place' ? error.faults : [], now: theirs, ...ways };
    return 'asked';
  }
  batch(() => {
    if (theirs) job.value = theirs;
    faults.value = !theirs ? error.faults : error.stale === 'place' ? [] : [{ says: MOVED }];
  });
  return 'refused';
}
