// Test bends of the job that is open: what is known, and entries that are being typed. Nothing typed is lost.
import { signal } from '@preact/signals';
import { client, type Fault, got, Refused, Unreachable } from '../api';
import type { components } from '../api.gen';
import { job, open } from './job';

export type TestBends = components['schemas']['TestBendsOut'];
export type Known = components['schemas']['KnownOut'];
export type TestBend = components['schemas']['TestBendOut'];
export type Picture = components['schemas']['PullPictureOut'];
export type Meant = components['schemas']['MeantOut'];

export const testBends = signal<TestBends | null>(null);
export const trouble = signal('');
/** What the last thing that was kept or struck out says of itself. */
export const told = signal('');

/** What is typed for one bar on one bender; `id` lets the server keep it once, however often it is sent. */
export interface Draft {
  id: string;
  given: Readonly<Record<string, string>>;
}

const NO_ANSWER = 'Bentwork does not answer. Is it still running in its terminal? What you typed is kept here.';

export async function loadTestBends(name: string): Promise<void> {
  try {
    testBends.value = await got(client.GET('/api/jobs/{name}/test-bends', { params: { path: { name } } }));
    trouble.value = '';
  } catch (error) {
    trouble.value = said(error);
  }
}

/** Keep a test bend; returns what is wrong with it, nothing where it was kept. */
export async function enter(name: string, pair: Known, draft: Draft): Promise<readonly Fault[]> {
  const { stock, bender, way } = pair;
  const body = { stock, bender, way, entry_id: draft.id, given: { ...draft.given } };
  try {
    const answer = await got(client.POST('/api/jobs/{name}/test-bends', { params: { path: { name } }, body }));
    testBends.value = answer;
    told.value = keptWords(answer);
    void open(name);
    return [];
  } catch (error) {
    return error instanceof Refused ? error.faults : [{ says: said(error) }];
  }
}

/** What is said of a test bend that was just kept: what is odd about it at once, while the bar is still at hand. */
export function keptWords(answer: Pick<TestBends, 'kept' | 'pairs'>): string {
  const kept = `Kept as test bend ${answer.kept}. The job is worked out anew.`;
  const odd = answer.pairs.flatMap((pair) => pair.doubts).find((doubt) => doubt.number === answer.kept);
  return odd ? `${kept} But look again: ${odd.says}` : kept;
}

/** Keep a test bend anew with the angles that were meant; the misread one is struck out. */
export async function asMeant(name: string, number: number, meant: Meant): Promise<void> {
  const body = { ...meant, entry_id: `meant-${number}-${meant.pulled_deg}-${meant.left_deg}` };
  try {
    const path = { name, number };
    testBends.value = await got(client.POST('/api/jobs/{name}/test-bends/{number}/meant', { params: { path }, body }));
    told.value = `Test bend ${number} is struck out, and kept as you meant it. The job is worked out anew.`;
    void open(name);
  } catch (error) {
    told.value = said(error);
  }
}

/** Let an odd test bend count: it was read twice, and is right. */
export async function readTwice(name: string, number: number): Promise<void> {
  try {
    const path = { name, number };
    testBends.value = await got(client.POST('/api/jobs/{name}/test-bends/{number}/sure', { params: { path } }));
    told.value = `Test bend ${number} counts. The job is worked out anew.`;
    void open(name);
  } catch (error) {
    told.value = said(error);
  }
}

/** Strike out a test bend; returns what is wrong, nothing where it was done. */
export async function strikeOut(name: string, number: number, because: string): Promise<readonly Fault[]> {
  try {
    testBends.value = await got(
      client.POST('/api/jobs/{name}/test-bends/{number}/strike', {
        params: { path: { name, number } },
        body: { because },
      }),
    );
    told.value = `Test bend ${number} is struck out. The job is worked out anew.`;
    void open(name);
    return [];
  } catch (error) {
    return error instanceof Refused ? error.faults : [{ says: said(error) }];
  }
}

function said(error: unknown): string {
  if (error instanceof Unreachable) return NO_ANSWER;
  return error instanceof Error ? error.message : String(error);
}

export function draftKey(jobName: string, pair: Pick<Known, 'stock' | 'bender' | 'way'>): string {
  return `bentwork.test-bend.${JSON.stringify([jobName, pair.stock, pair.bender, pair.way])}`;
}

export function readDraft(key: string): Draft {
  try {
    const kept: unknown = JSON.parse(localStorage.getItem(key) ?? '');
    if (isDraft(kept)) return kept;
  } catch {
    // nothing was kept, or something else stands there
  }
  return { id: newId(), given: {} };
}

/** Keep what was typed. A changed entry is another entry: it gets an id of its own. */
export function typed(key: string, draft: Draft, name: string, value: string): Draft {
  const next = { id: newId(), given: { ...draft.given, [name]: value } };
  localStorage.setItem(key, JSON.stringify(next));
  return next;
}

/** The next one begins with what stays the same from one test bend to the next. */
export function nextDraft(key: string, draft: Draft): Draft {
  const given = Object.fromEntries(Object.entries(draft.given).filter(([name]) => STAYS.has(name)));
  const next = { id: newId(), given };
  localStorage.setItem(key, JSON.stringify(next));
  return next;
}

const STAYS = new Set(['batch', 'gauge', 'tape', 'to_middle']);

function isDraft(value: unknown): value is Draft {
  const found = value as Partial<Draft> | null;
  return typeof found?.id === 'string' && typeof found.given === 'object' && found.given !== null;
}

/** An id that nobody else makes up; `randomUUID` is there only where the address is this machine's. */
function newId(): string {
  const numbers = crypto.getRandomValues(new Uint32Array(4));
  return Array.from(numbers, (number) => number.toString(36)).join('-');
}

export function jobName(): string {
  return job.value?.name ?? '';
}
