// The bar at the bench: how it stands by the server, and by what is on its way there.
import { batch, computed, signal } from '@preact/signals';
import {
  type BarsOut,
  type BenchOut,
  type Card,
  client,
  type DoubtOut,
  got,
  type MeasureOut,
  Refused,
  Unreachable,
} from '../api';
import type { Address } from '../state/address';
import { type Entry, newId, type Sent, today, Waiting } from './waiting';

export type BenchAddress = Extract<Address, { at: 'bench' }>;

export const bench = signal<BenchOut | null>(null);
export const bars = signal<BarsOut | null>(null);
/** What went wrong with reading; empty while all is well. */
export const says = signal('');
export const connected = signal(true);
/** Index of the step that is looked at; null for the next one. */
export const looked = signal<number | null>(null);

export const waiting = new Waiting<BenchOut>(localStorage, send, kept);

const at = signal<BenchAddress | null>(null);
const PATIENCE = 8000; // ms that an answer may take: where the network is gone, none ever comes
let newest = 0; // counts what the log answered, so that an answer asked for before does not undo it

/** What waits of the bar that is shown. */
const own = computed(() =>
  waiting.entries.value.filter(({ job, body }) => {
    const now = bench.value;
    return now && job === now.name && body.piece === now.piece && body.hand === now.hand && body.number === now.number;
  }),
);

/** Bends that are made, by the server or by what waits, each with what it measured. */
export const made = computed(() => {
  const found = new Map<number, { entry: string; angle: string; more: string; waits: boolean }>();
  for (const one of bench.value?.made ?? []) {
    found.set(one.bend, { entry: one.entry_id, angle: one.angle, more: one.more, waits: false });
  }
  for (const entry of own.value) {
    if (entry.kind === 'log') {
      const { bend, entry_id, angle_deg } = entry.body;
      found.set(bend, { entry: entry_id, angle: `${angle_deg}°`, more: '', waits: true });
    } else if (entry.kind === 'strike') {
      for (const [bend, one] of found) if (one.entry === entry.body.entry_id) found.delete(bend);
    }
  }
  return found;
});

/** Index of the step that is next; -1 where none is left. */
export const next = computed(() => bench.value?.cards.findIndex((card) => !made.value.has(card.bend)) ?? -1);

export const finished = computed(() => {
  const now = bench.value;
  return now !== null && !now.stopped && next.value < 0 && made.value.size >= now.bends;
});

export const shown = computed(() => {
  const count = bench.value?.cards.length ?? 0;
  return looked.value !== null && looked.value < count ? looked.value : next.value;
});

/** The entry that came last and still counts. */
export const last = computed(() => {
  const gone = new Set(own.value.filter((entry) => entry.kind === 'strike').map((entry) => entry.body.entry_id));
  const mine = own.value.filter((entry) => entry.kind !== 'strike' && !gone.has(entry.body.entry_id)).at(-1);
  if (mine) return { entry: mine.body.entry_id, says: wordsOf(mine) };
  const now = bench.value;
  if (!now?.last_entry || gone.has(now.last_entry)) return null;
  return { entry: now.last_entry, says: now.last_says };
});

function wordsOf(entry: Entry): string {
  if (entry.kind === 'log') return `bend ${entry.body.bend}, ${entry.body.angle_deg}°`;
  return entry.kind === 'size' ? `${entry.body.kind}, ${entry.body.length}` : 'the last answer';
}

/** Show a bar, or the bars of a job where none is named. */
export async function show(address: BenchAddress): Promise<void> {
  batch(() => {
    if (bench.value && !isOf(bench.value, address)) bench.value = null;
    at.value = address;
    looked.value = null;
  });
  void waiting.sendAll();
  await lookAgain();
}

/** Ask the server again how things stand. */
export async function lookAgain(): Promise<void> {
  const asked = at.value;
  if (!asked) return;
  const path = { name: asked.job };
  const began = newest;
  const signal = AbortSignal.timeout(PATIENCE);
  try {
    if (asked.piece) {
      const query = { piece: asked.piece, hand: asked.hand, number: asked.number };
      const answer = await got(client.GET('/api/bench/{name}/bar', { params: { path, query }, signal }));
      if (asked === at.value && began === newest) taken(answer);
    } else {
      bars.value = await got(client.GET('/api/bench/{name}/bars', { params: { path }, signal }));
    }
    batch(() => {
      connected.value = true;
      says.value = '';
    });
    if (waiting.entries.value.length) void waiting.sendAll();
  } catch (error) {
    batch(() => {
      connected.value = !(error instanceof Unreachable);
      says.value = error instanceof Refused ? error.message : 'The computer does not answer yet.';
    });
  }
}

/** Log a bend. It is kept in this browser before this returns. */
export function log(card: Card, angle: number, rotation: number | null, off: string, sure = false): void {
  const now = bench.value;
  if (!now) return;
  const { piece, hand, number, version } = now;
  const body = {
    entry_id: newId(),
    version,
    piece,
    hand,
    number,
    bend: card.bend,
    held: card.held,
    pulled_deg: card.pull_deg,
    angle_deg: angle,
    rotation_deg: rotation,
    off: off.replace('−', '-'),
    mark_mm: card.mark_mm,
    turn_deg: card.turn_deg,
    sure,
    made_on: today(),
  };
  batch(() => {
    waiting.add({ kind: 'log', job: now.name, body });
    looked.value = null;
  });
}

/** Log a size of the bar. */
export function logSize(one: MeasureOut, text: string): void {
  const now = bench.value;
  if (!now) return;
  const { piece, hand, number, version } = now;
  const { kind, start, end, way } = one;
  const length = text.replace('−', '-');
  const body = { entry_id: newId(), version, piece, hand, number, kind, start, end, way, length, made_on: today() };
  waiting.add({ kind: 'size', job: now.name, body });
}

/** Answer the question about a reading: another was meant, or it is right as it is (null). */
export function settle(doubt: DoubtOut, value: number | null): void {
  const now = bench.value;
  if (!now) return;
  const { piece, hand, number } = now;
  const { kind, entry_id: of } = doubt;
  waiting.add({
    kind: 'sure',
    job: now.name,
    body: { entry_id: newId(), of, kind, value, piece, hand, number, made_on: today() },
  });
}

/** Take the last entry back. */
export function takeBack(): void {
  if (last.value) strike(last.value.entry);
}

/** Strike an entry out. */
export function strike(entry: string): void {
  const now = bench.value;
  if (!now) return;
  const body = { entry_id: entry, piece: now.piece, hand: now.hand, number: now.number, made_on: today() };
  batch(() => {
    waiting.add({ kind: 'strike', job: now.name, body });
    looked.value = null;
  });
}

function kept(answer: BenchOut): void {
  newest += 1;
  taken(answer);
  if (answer.reckoning) void lookAgain(); // it is kept; the best way on takes a moment longer
}

function taken(answer: BenchOut): void {
  if (at.value && isOf(answer, at.value)) bench.value = answer;
  connected.value = true;
}

function isOf(answer: BenchOut, address: BenchAddress): boolean {
  if (answer.name !== address.job || answer.piece !== address.piece || answer.number !== address.number) return false;
  return address.hand === null || answer.hand === address.hand; // no hand named: the one that is drawn
}

function posted(entry: Entry, path: { name: string }, signal: AbortSignal) {
  const params = { path };
  if (entry.kind === 'log') return client.POST('/api/bench/{name}/log', { params, body: entry.body, signal });
  if (entry.kind === 'size') return client.POST('/api/bench/{name}/size', { params, body: entry.body, signal });
  if (entry.kind === 'sure') return client.POST('/api/bench/{name}/sure', { params, body: entry.body, signal });
  return client.POST('/api/bench/{name}/strike', { params, body: entry.body, signal });
}

async function send(entry: Entry): Promise<Sent<BenchOut>> {
  const path = { name: entry.job };
  const signal = AbortSignal.timeout(PATIENCE);
  try {
    return { now: 'kept', answer: await got(posted(entry, path, signal)) };
  } catch (error) {
    if (!(error instanceof Refused)) {
      connected.value = false;
      return { now: 'no answer' };
    }
    if ([401, 403, 421].includes(error.status)) return { now: 'not let in' };
    if (error.status >= 500 || error.isStale) return { now: 'no answer' };
    return { now: 'refused', says: error.message };
  }
}
