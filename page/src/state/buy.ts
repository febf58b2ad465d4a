// What is to be bought: asked anew with every state of the job; spares and a weight where they are asked for.
import { signal } from '@preact/signals';
import { client, got } from '../api';
import type { components } from '../api.gen';
import { askedOfJob } from './asked-of-job';
import { typedValue } from './typed';

export type BuyOut = components['schemas']['BuyOut'];
export type StockCut = components['schemas']['StockCutOut'];
export type BarOut = components['schemas']['SawnBarOut'];

/** Whether the spare lengths that fit-up advises are counted. */
export const spares = signal(false);
/** What the frame weighs, kg; null as long as nobody says. */
export const weighed = signal<number | null>(null);
/** The same as it was typed, in the job's unit. */
export const typedWeight = signal('');
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
    typedWeight.value = '';
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

/** A weight in kg as it is typed, in units of so many kg: a comma does for a point; null where it is none. */
export function massOf(text: string, size = 1): number | null {
  const value = Number(text.trim().replace(',', '.')) * size;
  return text.trim() !== '' && Number.isFinite(value) && value > 0 && value <= 5000 ? value : null;
}

/**
 * Several lengths as they are typed: apart by semicolons, or by commas with a space; "3 5/16 in" stays text.
 * One comma without a space, "50,20", may be meant either way: the text goes to the server as it is, which asks.
 */
export function lengthsOf(text: string): (number | string)[] | string {
  const tight = text.match(/\d,\d/g)?.length ?? 0;
  if (tight === 1 && !/;|,\s/.test(text)) return text.trim();
  return (tight > 1 && !/;|,\s/.test(text) ? text.split(',') : parted(text)).map(typedValue);
}

/** Bars on sale as they are typed: "6000 at 26.50, 1000"; a comma without a space is one of a number. */
export function barsOf(text: string): { length: number | string; price?: number | string }[] {
  return parted(text).map((one) => {
    const [length = '', price] = one.split(/\s+at\s+/);
    return price === undefined
      ? { length: typedValue(length) }
      : { length: typedValue(length), price: typedValue(price) };
  });
}

function parted(text: string): string[] {
  return text
    .split(/;|,(?!\d)/)
    .map((one) => one.trim())
    .filter(Boolean);
}
