// What the maker typed and the file has not taken yet. It is sent at once; what is refused stays where it was typed.
import { computed, effect, signal } from '@preact/signals';
import type { Change, Fault } from '../api';
import { change, conflict, faults, job, reachable } from './job';

export type Place = readonly (string | number)[];

export interface Waiting {
  /** As typed, to be shown until the file says the same. */
  text: string;
  changes: readonly Change[];
  refused: boolean;
  /** A press of a button: refused, it is forgotten. */
  once?: boolean;
}

const waiting = signal<ReadonlyMap<string, Waiting>>(new Map());
/** What was wrong with the last thing that was sent; shown under the fields that it is about. */
const refusals = signal<readonly Fault[]>([]);
const shown = new Map<string, number>(); // places that have a field on the page

export const waits = computed(() => [...waiting.value.values()].some((entry) => entry.refused));
const BARE = /^[A-Za-z0-9_-]{1,60}$/;
const PATIENCE = 250; // ms that a change waits for the answer to the one before; then it overtakes it

/** A place as the server names it in its faults: elements count from 1. */
export function placeOf(path: Place): string {
  let words = '';
  for (const key of path) {
    if (typeof key === 'number') words += `[${key + 1}]`;
    else words += `${words ? '.' : ''}${BARE.test(key) ? key : `"${key}"`}`;
  }
  return words;
}

export function waitingAt(path: Place): Waiting | undefined {
  return waiting.value.get(placeOf(path));
}

export function refusedAt(path: Place): readonly Fault[] {
  const place = placeOf(path);
  return refusals.value.filter((fault) => fault.key === place);
}

/** Say that faults of a place are shown on the page; returns what takes that back. */
export function showsFaults(path: Place): () => void {
  const place = placeOf(path);
  shown.set(place, (shown.get(place) ?? 0) + 1);
  return () => {
    const left = (shown.get(place) ?? 1) - 1;
    if (left) shown.set(place, left);
    else shown.delete(place);
  };
}

/** A number where what was typed is one; the text as it is otherwise, for the server to read or to refuse. */
export function typedValue(text: string): string | number {
  const plain = text.trim().replace(/^[−–]/, '-');
  return /^[+-]?(\d+\.?\d*|\.\d+)$/.test(plain) ? Number(plain) : text.trim();
}

/** A number stepped up or down; undefined where what is typed is no plain number. */
export function stepped(text: string, by: number): string | undefined {
  const value = typedValue(text);
  return typeof value === 'number' ? String(Number((value + by).toFixed(6))) : undefined;
}

/** Change what stands at a place, now. What was refused before goes along: two wrongs may make one right. */
export function edit(path: Place, text: string, changes: readonly Change[]): Promise<boolean> {
  put(placeOf(path), { text, changes, refused: false });
  return flush();
}

/** Do something with a press of a button; refused, it leaves nothing behind. */
export function act(changes: readonly Change[]): Promise<boolean> {
  presses += 1;
  put(`press ${presses}`, { text: '', changes, refused: false, once: true });
  return flush();
}

/** The same, for a form of its own that shows what is wrong; returns that, nothing where it was taken. */
export async function tried(changes: readonly Change[]): Promise<readonly Fault[]> {
  if (await act(changes)) return [];
  const told = faults.value;
  faults.value = [];
  return told;
}

let presses = 0;

/** Take back what was typed at a place and not taken. */
export function takeBack(path: Place): void {
  const place = placeOf(path);
  const before = waiting.value.size;
  put(place, undefined);
  refusals.value = waiting.value.size && before ? refusals.value.filter((fault) => fault.key !== place) : [];
}

/** Take back everything that was refused. */
export function takeBackAll(): void {
  waiting.value = new Map([...waiting.value].filter(([, entry]) => !entry.refused));
  refusals.value = [];
}

function put(place: string, entry: Waiting | undefined): void {
  const now = new Map(waiting.value);
  if (entry) now.set(place, entry);
  else now.delete(place);
  waiting.value = now;
}

let flying: Promise<boolean> | null = null;
let coming: Promise<boolean> | null = null;

function flush(): Promise<boolean> {
  coming ??= (async () => {
    await null; // several changes of one moment go together
    if (flying) await Promise.race([flying, new Promise((done) => setTimeout(done, PATIENCE))]);
    coming = null;
    const own = send();
    flying = own;
    const took = await own;
    if (flying === own) flying = null;
    return took;
  })();
  return coming;
}

async function send(): Promise<boolean> {
  const all = [...waiting.value];
  const fresh = all.filter(([, entry]) => !entry.refused);
  if (!fresh.length) return true;
  if (await take(all)) {
    refusals.value = [];
    return true;
  }
  let told = faults.value;
  if (conflict.value || !reachable.value) return false;
  if (fresh.length < all.length && (await take(fresh))) {
    faults.value = []; // the older ones are still wrong, in the same way as before
    return true;
  }
  // Alone they may be wrong in another way: corners are looked at only when every number is one.
  told = [...told, ...faults.value.filter((fault) => told.every((one) => one.says !== fault.says))];
  if (fresh.every(([place, entry]) => waiting.value.get(place) !== entry)) return false; // overtaken by newer ones
  const pressed = fresh.every(([, entry]) => entry.once);
  const under = pressed ? [] : told.filter((fault) => fault.key && shown.has(fault.key));
  if (!pressed) refusals.value = under;
  faults.value = told.filter((fault) => !under.includes(fault));
  for (const [place, entry] of fresh) {
    if (waiting.value.get(place) === entry) put(place, entry.once ? undefined : { ...entry, refused: true });
  }
  return false;
}

async function take(entries: readonly (readonly [string, Waiting])[]): Promise<boolean> {
  const before = job.value;
  const changes = entries.flatMap(([, entry]) => entry.changes);
  let took = await change(changes);
  // An answer that came in between has moved the file on; what was typed still stands.
  if (!took && !conflict.value && reachable.value && job.value?.sum !== before?.sum) took = await change(changes);
  if (took) for (const [place, entry] of entries) if (waiting.value.get(place) === entry) put(place, undefined);
  return took;
}

let name = '';
effect(() => {
  const now = job.value?.name ?? '';
  if (now !== name) {
    name = now;
    waiting.value = new Map();
    refusals.value = [];
  }
});
