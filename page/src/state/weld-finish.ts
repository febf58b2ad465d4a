// How the frame is welded and finished, and its brackets in the flat. Asked anew with every state of the job.
import { batch, signal } from '@preact/signals';
import { type Change, client, got, Refused } from '../api';
import type { components } from '../api.gen';
import { job } from './job';
import { isTable, remove, set } from './tables';

export type WeldAndFinish = components['schemas']['WeldAndFinishOut'];
export type Part = components['schemas']['ToldOut'];
export type Flat = components['schemas']['FlatOut'];
export type Weld = components['schemas']['WeldOut'];

export const told = signal<WeldAndFinish | null>(null);
export const trouble = signal('');

let name = '';
let turn = 0;

export async function ask(): Promise<void> {
  const now = job.value;
  if (!now) return;
  if (now.name !== name) told.value = null;
  name = now.name;
  turn += 1;
  const own = turn;
  try {
    const path = { name: now.name };
    const answer = await got(client.GET('/api/jobs/{name}/weld-and-finish', { params: { path } }));
    if (own !== turn) return;
    batch(() => {
      told.value = answer;
      trouble.value = '';
    });
  } catch (error) {
    if (own !== turn || (error instanceof Refused && error.isStale)) return;
    trouble.value = error instanceof Refused ? error.message : 'Bentwork does not answer.';
  }
}

/** A key of [finish]; the table is made where there is none, and an empty value takes the key out. */
export function finishChange(key: string, value: string | boolean | undefined): readonly Change[] {
  const table = job.value?.data.finish;
  if (value === undefined || value === '') {
    return isTable(table) && table[key] !== undefined ? [remove(['finish', key])] : [];
  }
  return [isTable(table) ? set(['finish', key], value) : set(['finish'], { [key]: value })];
}
