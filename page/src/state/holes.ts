// A hole of a piece as the file has it: placed in another way, or made in another way.

import type { Change } from '../api';
import { job } from './job';
import type { Place } from './place';
import { remove, set, type Table } from './tables';

export const GRADES = ['8.8', '10.9', 'A2-70', 'A4-70'].map((one) => [one, one] as const);
/** The hole placed in another way: what says its place in this one goes. */
export function placedChanges(at: Place, hole: Table, placed: string): readonly Change[] {
  const wanted: Record<string, unknown> =
    placed === 'at' ? { at: [0, 0, 0] } : { along: inches() ? 1 : 25, ...(placed === 'side' ? { side: 1 } : {}) };
  return towards(at, hole, wanted, ['at', 'along', 'side', ...(placed === 'at' ? ['across'] : [])]);
}

/** Another hole in the same place: round, a slot, a thread. */
export function madeChanges(at: Place, hole: Table, made: string): readonly Change[] {
  const bolt = typeof hole.diameter === 'string' ? hole.diameter : inches() ? '1/4-20' : 'M6';
  const size = hole.thread ?? bolt;
  const wanted: Record<string, unknown> =
    made === 'thread'
      ? { thread: bolt }
      : { diameter: size, ...(made === 'slot' ? { slot: inches() ? '3/4' : 20 } : {}) };
  return towards(at, hole, wanted, ['diameter', 'slot', 'thread', ...(made === 'slot' ? [] : ['runs'])]);
}

function inches(): boolean {
  return job.value?.units === 'in';
}

/** What is wanted is put in where it is not there yet; of the others, those that are there go. */
function towards(at: Place, hole: Table, wanted: Table, keys: readonly string[]): readonly Change[] {
  const gone = keys.filter((key) => hole[key] !== undefined && wanted[key] === undefined);
  const missing = Object.keys(wanted).filter((key) => hole[key] === undefined);
  return [...missing.map((key) => set([...at, key], wanted[key])), ...gone.map((key) => remove([...at, key]))];
}
