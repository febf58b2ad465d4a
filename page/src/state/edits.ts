// What the maker typed and the file has not taken yet. It is sent at once; what is refused stays where it was typed.
import { batch, computed, effect, signal, untracked } from '@preact/signals';
import type { Change, Fault } from '../api';
import { change, conflict, faults, job, type Outcome, reachable, type Seen, type Ways } from './job';
import { type Place, placeOf, within } from './place';
import { isShown, onThePage } from './shown';
import { isTable } from './tables';

export interface Waiting {
  /** As typed, to be shown until the file says the same. */
  text: string;
  changes: readonly Change[];
  refused: boolean;
  /** The state of the file that it was thought of in. */
  from: Seen;
  /** A press of a button: refused, it is forgotten. */
  once?: boolean;
}

const waiting = signal<ReadonlyMap<string, Waiting>>(new Map());
/** What was wrong with what was sent, each with the places that it came from: it goes when these are settled. */
const refusals = signal<readonly Refusal[]>([]);
/** The state in which the maker began to type at a place, and the one that an own change of it has made since. */
const begun = new Map<string, Seen>();
const own = new Map<string, Seen>();

interface Refusal {
  fault: Fault;
  from: readonly string[];
  /** It stands under a field; otherwise above all of them. */
  under: boolean;
}

/** How many places hold something that the file has not taken. */
export const waits = computed(() => [...waiting.value.values()].filter((entry) => entry.refused).length);
/** What is wrong and stands under no field. */
export const loose = computed(() => refusals.value.filter((one) => !one.under).map((one) => one.fault));
const PATIENCE = 250; // ms that a change waits for the answer to the one before; then it overtakes it

export function waitingAt(path: Place): Waiting | undefined {
  return waiting.value.get(placeOf(path));
}

export function refusedAt(path: Place): readonly Fault[] {
  const place = placeOf(path);
  return refusals.value.filter((one) => one.fault.key === place).map((one) => one.fault);
}

/** The maker begins to type at a place: what stands there now is what the new value is to replace. */
export function begin(path: Place): void {
  const place = placeOf(path);
  if (begun.has(place)) return;
  const before = waiting.value.get(place);
  if (!before) own.delete(place);
  begun.set(place, before?.from ?? seen());
}

/** Nothing was typed there after all. */
export function leave(path: Place): void {
  begun.delete(placeOf(path));
}

function seen(): Seen {
  return { sum: job.value?.sum ?? '', text: job.value?.text ?? '' };
}

/** Change what stands at a place, now. What was refused before goes along: two wrongs may make one right. */
export function edit(path: Place, text: string, changes: readonly Change[]): Promise<boolean> {
  begin(path);
  const place = placeOf(path);
  put(place, { text, changes, refused: false, from: begun.get(place) ?? seen() });
  begun.delete(place);
  return flush();
}

/**
 * Do something with a press of a button; refused, it leaves nothing behind. What goes by what is there already is told by
 * a function: pressed twice, it is asked the second time when the first has been answered.
 */
export async function act(wanted: readonly Change[] | (() => readonly Change[])): Promise<boolean> {
  if (typeof wanted === 'function') for (let one = coming ?? flying; one; one = coming ?? flying) await one;
  const changes = typeof wanted === 'function' ? wanted() : wanted;
  presses += 1;
  put(`press ${presses}`, { text: '', changes, refused: false, once: true, from: seen() });
  return flush();
}

/** The same, for a form of its own that shows what is wrong; returns that, nothing where it was taken. */
export async function tried(changes: readonly Change[]): Promise<readonly Fault[]> {
  if (await act(changes)) return [];
  const told = faults.value;
  faults.value = [];
  return told.map((one) => onThePage(one));
}

let presses = 0;

/** Take back what was typed at a place and not taken. */
export function takeBack(path: Place): void {
  const place = placeOf(path);
  begun.delete(place);
  put(place, undefined);
}

/** Take back everything that was refused. */
export function takeBackAll(): void {
  drop((entry) => entry.refused);
}

function put(place: string, entry: Waiting | undefined): void {
  const now = new Map(waiting.value);
  if (entry) now.set(place, entry);
  else now.delete(place);
  settle(now);
}

function drop(which: (entry: Waiting, place: string) => boolean): void {
  settle(new Map([...waiting.value].filter(([place, entry]) => !which(entry, place))));
}

/** What is told of a place goes when nothing waits there any more. */
function settle(now: ReadonlyMap<string, Waiting>): void {
  batch(() => {
    waiting.value = now;
    if (refusals.value.length)
      refusals.value = refusals.value.filter((one) => one.from.some((place) => now.has(place)));
  });
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

type Entries = readonly (readonly [string, Waiting])[];

async function send(): Promise<boolean> {
  const all = [...waiting.value];
  const fresh = all.filter(([, entry]) => !entry.refused);
  if (!fresh.length) return true;
  const alone = fresh.length === all.length;
  let outcome = await take(all, alone);
  let told = faults.value;
  if (outcome === 'refused' && !alone) {
    outcome = await take(fresh, true); // the older ones may still be wrong, in the same way as before
    // Alone they may be wrong in another way: corners are looked at only when every number is one.
    told = [...told, ...faults.value.filter((fault) => told.every((one) => one.says !== fault.says))];
  }
  if (outcome !== 'refused') return outcome === 'taken';
  if (fresh.every(([place, entry]) => waiting.value.get(place) !== entry)) return false; // overtaken by newer ones
  refuse(fresh, told);
  return false;
}

/** Keep what was refused where it was typed, and what is wrong with it for as long. */
function refuse(fresh: Entries, told: readonly Fault[]): void {
  const pressed = fresh.every(([, entry]) => entry.once);
  for (const [place, entry] of fresh) {
    if (waiting.value.get(place) === entry) put(place, entry.once ? undefined : { ...entry, refused: true });
  }
  faults.value = pressed ? told : [];
  if (pressed) return;
  const places = fresh.map(([place]) => place);
  refusals.value = told
    .map((one) => onThePage(one, places))
    .map((fault) => ({
      fault,
      from: fault.key && waiting.value.has(fault.key) ? [fault.key] : places,
      under: Boolean(fault.key && isShown(fault.key)),
    }));
}

/** Send entries; ``asking`` lets the maker be asked where another program was at the same place. */
async function take(entries: Entries, asking: boolean): Promise<Outcome> {
  const changes = entries.flatMap(([, { changes, from }]) => changes.map((one) => ({ ...one, seen: from.sum })));
  const states = [...new Map(entries.map(([, { from }]) => [from.sum, from])).values()];
  const outcome = await change(changes, states, asking ? ways(entries) : undefined);
  if (outcome === 'asked' && followOwn(entries)) {
    conflict.value = null;
    return take(entries, asking);
  }
  if (outcome !== 'taken') return outcome;
  for (const [place, entry] of entries) {
    const now = waiting.value.get(place);
    if (now === entry) put(place, undefined);
    else if (now) now.from = seen(); // typed again meanwhile, over our own
    if (begun.has(place)) begun.set(place, seen());
    own.set(place, seen());
  }
  return outcome;
}

/** What was changed meanwhile may have been changed by ourselves: then the newer value goes over it unasked. */
function followOwn(entries: Entries): boolean {
  let moved = false;
  for (const [place, entry] of entries) {
    const since = own.get(place);
    if (!since || since.sum === entry.from.sum) continue;
    entry.from = since;
    moved = true;
  }
  return moved;
}

function ways(entries: Entries): Ways {
  return {
    mine: (theirs) => {
      for (const [, entry] of entries) entry.from = { sum: theirs.sum, text: theirs.text };
      return flush();
    },
    theirs: (places) => {
      const at = (entry: Waiting) => entry.changes.map((one) => placeOf(one.path));
      const meets = (entry: Waiting) => at(entry).some((one) => places.some(({ key }) => key && within(one, key)));
      const gone = entries.filter(([, entry]) => meets(entry));
      const which = gone.length ? gone : entries;
      for (const [place] of which) own.delete(place);
      drop((entry) => which.some(([, one]) => one === entry));
      return flush();
    },
  };
}

let name = '';
effect(() => {
  const now = job.value;
  if (now?.name === name) {
    const isThere = ([sort, thing]: Change['path']) =>
      isTable(now.data[String(sort)]) && String(thing) in Object(now.data[String(sort)]);
    const lost = ({ refused, changes }: Waiting) =>
      refused && changes.some(({ path }) => path.length > 2 && !isThere(path));
    untracked(() => [...waiting.value.values()].some(lost) && drop(lost));
    return;
  }
  name = now?.name ?? '';
  waiting.value = new Map();
  refusals.value = [];
  begun.clear();
  own.clear();
});
effect(() => {
  const back = reachable.value;
  untracked(() => back && waiting.value.size && !flying && void flush()); // what waited for an answer
});
