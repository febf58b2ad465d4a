// What the frame carries: the payload that is tried, the load case that is shown, and other bars to take.
import { batch, computed, signal } from '@preact/signals';
import { type Change, client, got, Refused } from '../api';
import type { components } from '../api.gen';
import { act } from './edits';
import { job } from './job';

export type CarryOut = components['schemas']['CarryOut'];
export type TriesOut = components['schemas']['TriesOut'];
export type HelpsOut = components['schemas']['HelpsOut'];
export type HelpOut = components['schemas']['HelpOut'];
export type TryOut = components['schemas']['TryOut'];
export type JointsOut = components['schemas']['JointsOut'];
export type BarSeen = components['schemas']['BarSeen'];
export type TabSeen = components['schemas']['TabSeen'];
export type Heat = BarSeen['heats'][number];

export interface Marked {
  at: readonly number[];
  says: string;
  heat: Heat | null;
  /** Bars that could be added there, from end to end, mm. */
  lines?: readonly (readonly (readonly number[])[])[];
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
/** Raised each time the camera shall go there. */
export const goThere = signal(0);

/** Point at a place and have the camera go to it. */
export function pointAt(place: Marked): void {
  batch(() => {
    marked.value = place;
    goThere.value += 1;
  });
}

export const tries = signal<TriesOut | null>(null);
export const triesTrouble = signal('');
export const trying = signal(false);

/** What would help the job as it stands most for the fewest grams; null until it is reckoned. */
export const helps = signal<HelpsOut | null>(null);
export const helpsTrouble = signal('');

/** How many times moves are drawn larger; 0 draws the frame as it stands. */
export const times = computed(() => (bent.value ? (told.value?.drawn_times ?? 0) : 0));

export const HEAT_WORDS: Record<Heat, string> = {
  straw: 'far from its limit',
  brown: 'well within',
  purple: 'nearing its limit',
  blue: 'at its limit',
  hit: 'over its limit',
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
    helps.value = null;
    helpsTrouble.value = '';
  });
  void ask().then(askHelps);
}

/** Ask what would help: it takes longer than what the frame carries, and does not hang on the payload that is tried. */
async function askHelps(): Promise<void> {
  const now = job.value;
  if (!now || !told.value?.gives.length) return;
  try {
    const answer = await got(client.GET('/api/jobs/{name}/carry/helps', { params: { path: { name: now.name } } }));
    if (job.value?.sum === answer.sum) helps.value = answer;
  } catch (error) {
    if (job.value?.sum !== now.sum) return;
    helpsTrouble.value = error instanceof Refused ? error.message : 'Bentwork does not answer.';
  }
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
