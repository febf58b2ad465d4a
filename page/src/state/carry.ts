// What the frame carries: the payload that is tried, the load case that is shown, and other bars to take.
import { batch, computed, signal } from '@preact/signals';
import { type Change, client, got, Refused } from '../api';
import type { components } from '../api.gen';
import { act } from './edits';
import { job } from './job';

export type CarryOut = components['schemas']['CarryOut'];
export type TriesOut = components['schemas']['TriesOut'];
export type TryOut = components['schemas']['TryOut'];
export type JointsOut = components['schemas']['JointsOut'];
export type BarSeen = components['schemas']['BarSeen'];
export type Heat = BarSeen['heats'][number];

export interface Marked {
  at: readonly number[];
  says: string;
  heat: Heat | null;
}

export const told = signal<CarryOut | null>(null);
export const trouble = signal('');
export const asking = signal(false);
/** Payload that is tried, kg; null for that of the job. */
export const tried = signal<number | null>(null);
/** Load case that is shown; null for the one in which something gives first. */
export const caseShown = signal<number | null>(null);
export const bent = signal(true);
/** A place of the frame that is pointed at. */
export const marked = signal<Marked | null>(null);

export const tries = signal<TriesOut | null>(null);
export const triesTrouble = signal('');
export const trying = signal(false);

/** How many times moves are drawn larger; 0 draws the frame as it stands. */
export const times = computed(() => (bent.value ? (told.value?.drawn_times ?? 0) : 0));

export const HEAT_WORDS: Record<Heat, string> = {
  straw: 'far from its limit',
  brown: 'well within it',
  purple: 'nearing it',
  blue: 'at it',
  hit: 'over it',
};

let turn = 0;
let flying = false;

/** Ask what the frame carries as things stand; while an answer is on its way, only the newest question waits. */
export async function ask(): Promise<void> {
  turn += 1;
  if (flying) return;
  flying = true;
  asking.value = true;
  try {
    for (let own = -1; own !== turn; ) {
      own = turn;
      await once(own);
    }
  } finally {
    flying = false;
    asking.value = false;
  }
}

async function once(own: number): Promise<void> {
  const now = job.value;
  if (!now) return;
  const query = {
    ...(tried.value === null ? {} : { mass: tried.value }),
    ...(caseShown.value === null ? {} : { case: caseShown.value }),
  };
  try {
    const answer = await got(client.GET('/api/jobs/{name}/carry', { params: { path: { name: now.name }, query } }));
    if (own !== turn && !told.value) return;
    batch(() => {
      told.value = answer;
      trouble.value = '';
    });
  } catch (error) {
    if (error instanceof Refused && error.isStale) return;
    batch(() => {
      told.value = null;
      trouble.value = error instanceof Refused ? error.message : 'Bentwork does not answer.';
    });
  }
}

let name = '';

/** Follow the job: what was asked of another one is forgotten. */
export function followJob(): void {
  const now = job.value;
  if (!now) return;
  batch(() => {
    if (now.name !== name) {
      name = now.name;
      told.value = null;
      tried.value = null;
      caseShown.value = null;
    }
    marked.value = null;
    tries.value = null;
  });
  void ask();
}

export function tryMass(mass: number | null): void {
  batch(() => {
    tried.value = mass;
    marked.value = null;
  });
  void ask();
}

export function showCase(number: number): void {
  batch(() => {
    caseShown.value = number;
    marked.value = null;
  });
  void ask();
}

let asked = 0;

/** Try one stock in other sections and metals, with another bend radius where one is given. */
export async function askTries(stock: string | null, radius: number | null): Promise<void> {
  const now = job.value;
  if (!now) return;
  asked += 1;
  const own = asked;
  trying.value = true;
  const query = { ...(stock ? { stock } : {}), ...(radius === null ? {} : { radius_mm: radius }) };
  try {
    const answer = await got(
      client.GET('/api/jobs/{name}/carry/what-if', { params: { path: { name: now.name }, query } }),
    );
    if (own !== asked || job.value?.sum !== answer.sum) return;
    batch(() => {
      tries.value = answer;
      triesTrouble.value = '';
    });
  } catch (error) {
    if (own === asked) triesTrouble.value = error instanceof Refused ? error.message : 'Bentwork does not answer.';
  } finally {
    if (own === asked) trying.value = false;
  }
}

/** Write something into the job file that the server offered; Undo brings it back. */
export function take(changes: readonly Change[]): Promise<boolean> {
  return act(changes);
}
