// How the frame is welded and finished, and its brackets in the flat. Asked anew with every state of the job.
import { type Change, client, got } from '../api';
import type { components } from '../api.gen';
import { askedOfJob } from './asked-of-job';
import { keyChange } from './keys';

export type WeldAndFinish = components['schemas']['WeldAndFinishOut'];
export type Part = components['schemas']['ToldOut'];
export type Flat = components['schemas']['FlatOut'];
export type Weld = components['schemas']['WeldOut'];

export const { told, trouble, ask } = askedOfJob((name) =>
  got(client.GET('/api/jobs/{name}/weld-and-finish', { params: { path: { name } } })),
);

/** A key of [finish]; the table is made where there is none, and an empty value takes the key out. */
export function finishChange(key: string, value: string | boolean | undefined): readonly Change[] {
  return keyChange(['finish', key], value === '' ? undefined : value);
}
