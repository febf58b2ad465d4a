// Places of numbers along an axis of a picture, and where its ticks are.

export interface Axis {
  readonly from: number;
  readonly to: number;
  readonly ticks: readonly number[];
  place(value: number): number;
}

const STEPS = [0.1, 0.2, 0.5, 1, 2, 5, 10, 15, 30, 45, 90];

/** An axis that holds all values, with ends on ticks; `start` and `end` are the places of its ends. */
export function axis(values: readonly number[], start: number, end: number, most = 7): Axis {
  const low = Math.min(0, ...values);
  const high = Math.max(low + 0.1, ...values);
  const step = STEPS.find((one) => (high - low) / one <= most) ?? 90;
  const first = Math.floor(low / step + 1e-9);
  const last = Math.ceil(high / step - 1e-9);
  const from = first * step;
  const to = last * step;
  const ticks = Array.from({ length: last - first + 1 }, (_, index) => rounded((first + index) * step));
  return { from, to, ticks, place: (value) => start + ((value - from) / (to - from)) * (end - start) };
}

function rounded(value: number): number {
  return Math.round(value * 1e6) / 1e6 + 0;
}
