// A new job while it is thought up: a shape with dimensions, and what it would be.
import { signal } from '@preact/signals';
import { client, type Fault, got, type NewJob, type Preview, Refused } from '../api';
import { onThePage } from './shown';
import { inOtherUnits } from './typed';

export const wish = signal<NewJob>({
  name: '',
  shape: 'loop',
  dimensions: {},
  material: '6082-T6',
  units: 'mm',
  bender: 'plate-roller',
});
export const seen = signal<Preview | null>(null);
export const wrong = signal<readonly Fault[]>([]);

let turn = 0;

/** Change the wish; its picture follows. */
export function wanted(more: Partial<NewJob>): void {
  wish.value = { ...wish.value, ...more };
  void preview();
}

/** Change the units; what was typed keeps its size. `lengths` names the dimensions that are lengths. */
export function measuredIn(to: 'mm' | 'in', lengths: readonly string[]): void {
  const { units: from = 'mm', dimensions = {}, diameter, radius } = wish.value;
  const turned = (text: string | null | undefined) => (text ? inOtherUnits(text, from, to) : null);
  const entries = Object.entries(dimensions).map(([name, text]) => [
    name,
    lengths.includes(name) ? turned(text) : text,
  ]);
  wanted({ units: to, dimensions: Object.fromEntries(entries), diameter: turned(diameter), radius: turned(radius) });
}

export async function preview(): Promise<void> {
  turn += 1;
  const own = turn;
  try {
    const found = await got(
      client.POST('/api/new-job/preview', { body: { ...wish.value, name: wish.value.name || null } }),
    );
    if (own !== turn) return;
    seen.value = found;
    wrong.value = [];
  } catch (error) {
    if (own === turn) wrong.value = told(error);
  }
}

/** Write the file; returns its name, null where something is wrong. */
export async function make(): Promise<string | null> {
  turn += 1;
  try {
    const made = await got(client.POST('/api/jobs', { body: wish.value }));
    wish.value = { ...wish.value, name: '', dimensions: {} };
    return made.name;
  } catch (error) {
    wrong.value = told(error);
    return null;
  }
}

function told(error: unknown): readonly Fault[] {
  return error instanceof Refused
    ? error.faults.map((one) => onThePage(one))
    : [{ says: 'Bentwork does not answer. Is it still running?' }];
}
