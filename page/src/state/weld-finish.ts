// How the frame is welded and finished, and its brackets in the flat. Asked anew with every state of the job.
import { type Change, client, got } from '../api';
import type { components } from '../api.gen';
import { askedOfJob } from './asked-of-job';
import { job } from './job';
import { isTable, remove, set } from './tables';

export type WeldAndFinish = components['schemas']['WeldAndFinishOut'];
export type Part = components['schemas']['ToldOut'];
export type Flat = components['schemas']['FlatOut'];
export type Weld = components['schemas']['WeldOut'];

export const { told, trouble, ask } = askedOfJob((name) =>
  got(client.GET('/api/jobs/{name}/weld-and-finish', { params: { path: { name } } })),
);

/** A key of [finish]; the table is made where there is none, and an empty value takes the key out. */
export function finishChange(key: string, value: string | boolean | undefined): readonly Change[] {
  const table = job.value?.data.finish;
  if (value === undefined || value === '') {
    return isTable(table) && table[key] !== undefined ? [remove(['finish', key])] : [];
  }
  return [isTable(table) ? set(['finish', key], value) : set(['finish'], { [key]: value })];
}
