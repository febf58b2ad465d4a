// What is to be bought: asked anew with every state of the job; spares and a weight where they are asked for.
import { batch, signal } from '@preact/signals';
import { client, got, Refused } from '../api';
import type { components } from '../api.gen';
import { job } from './job';

export type BuyOut = components['schemas']['BuyOut'];
export type StockCut = components['schemas']['StockCutOut'];
export type BarOut = components['schemas']['SawnBarOut'];

export const told = signal<BuyOut | null>(null);
export const trouble = signal('');
export const asking = signal(false);
/** Whether the spare lengths that fit-up advises are counted. */
export const spares = signal(false);
/** What the frame weighs, kg; null as long as nobody says. */
export const weighed = signal<number | null>(null);

let name = '';
let turn = 0;

/** Follow the job: what was weighed of another one is forgotten. */
export function followJob(): void {
  const now = job.value;
  if (!now) return;
  if (now.name !== name) {
    name = now.name;
    batch(() => {
      told.value = null;
      spares.value = false;
      weighed.value = null;
    });
  }
  void ask();
}

export async function ask(): Promise<void> {
  const now = job.value;
  if (!now) return;
  turn += 1;
  const own = turn;
  asking.value = true;
  const query = {
    ...(spares.value ? { spares: true } : {}),
    ...(weighed.value === null ? {} : { weighed_kg: weighed.value }),
  };
  try {
    const answer = await got(client.GET('/api/jobs/{name}/buy', { params: { path: { name: now.name }, query } }));
    if (own !== turn) return;
    batch(() => {
      told.value = answer;
      trouble.value = '';
    });
  } catch (error) {
    if (own !== turn || (error instanceof Refused && error.isStale)) return;
    trouble.value = error instanceof Refused ? error.message : 'Bentwork does not answer.';
  } finally {
    if (own === turn) asking.value = false;
  }
}

/** A weight as it is typed: a comma does for a point; null where it is none. */
export function massOf(text: string): number | null {
  const value = Number(text.trim().replace(',', '.'));
  return text.trim() !== '' && Number.isFinite(value) && value > 0 && value <= 5000 ? value : null;
}

/** Lengths as they are typed, apart by commas or semicolons; numbers stay numbers, "3 5/16 in" stays text. */
export function lengthsOf(text: string): (number | string)[] {
  return text
    .split(/[,;]/)
    .map((one) => one.trim())
    .filter(Boolean)
    .map((one) => (/^\d+(\.\d+)?$/.test(one) ? Number(one) : one));
}

/** Bars on sale as they are typed: "6000 at 26.50, 1000". */
export function barsOf(text: string): { length: number | string; price?: number }[] {
  return text
    .split(/[,;]/)
    .map((one) => one.trim())
    .filter(Boolean)
    .map((one) => {
      const [length = '', price] = one.split(/\s+at\s+/);
      const plain = lengthsOf(length)[0] ?? length;
      return price === undefined ? { length: plain } : { length: plain, price: Number(price) };
    });
}
