// What is to be bought: asked anew with every state of the job; spares and a weight where they are asked for.
import { signal } from '@preact/signals';
import { client, got } from '../api';
import type { components } from '../api.gen';
import { askedOfJob } from './asked-of-job';

export type BuyOut = components['schemas']['BuyOut'];
export type StockCut = components['schemas']['StockCutOut'];
export type BarOut = components['schemas']['SawnBarOut'];

/** Whether the spare lengths that fit-up advises are counted. */
export const spares = signal(false);
/** What the frame weighs, kg; null as long as nobody says. */
export const weighed = signal<number | null>(null);
export const asking = signal(false);

const asked = askedOfJob(
  (name) => {
    const query = {
      ...(spares.value ? { spares: true } : {}),
      ...(weighed.value === null ? {} : { weighed_kg: weighed.value }),
    };
    return got(client.GET('/api/jobs/{name}/buy', { params: { path: { name }, query } }));
  },
  () => {
    spares.value = false;
    weighed.value = null;
  },
);
export const { told, trouble } = asked;

let turn = 0;

/** Ask; what was weighed of another job is forgotten. */
export async function ask(): Promise<void> {
  turn += 1;
  const own = turn;
  asking.value = true;
  await asked.ask();
  if (own === turn) asking.value = false;
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
