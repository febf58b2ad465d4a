// Between two keys of a step every number is taken in proportion: the server sees to it that this is near enough.
import type { StepSeen } from '../api';

export type Place = readonly [number, number, number];

/** Where everything is between two keys. */
export interface Here {
  lift: Place;
  die: Place;
  arm: Place;
  bar: Float32Array;
}

function mixed(a: readonly number[], b: readonly number[], share: number): Place {
  const one = (k: number) => (a[k] ?? 0) + ((b[k] ?? 0) - (a[k] ?? 0)) * share;
  return [one(0), one(1), one(2)];
}

export function between(step: StepSeen, key: number, share: number): Here | null {
  const a = step.keys[key];
  const b = step.keys[Math.min(key + 1, step.keys.length - 1)];
  if (!a || !b) return null;
  const bar = new Float32Array(3 * a.bar.length);
  for (let k = 0; k < a.bar.length; k += 1) bar.set(mixed(a.bar[k] ?? [], b.bar[k] ?? [], share), 3 * k);
  return {
    lift: mixed(a.lift_mm, b.lift_mm, share),
    die: mixed(a.die, b.die, share),
    arm: mixed(a.arm, b.arm, share),
    bar,
  };
}

/** The rings of the bend between the two sides: origin, width and height, turned with the bar. */
export function bendRings(step: StepSeen, bar: Float32Array): Float32Array {
  const count = bar.length / 3;
  const rings = new Float32Array(9 * count);
  for (let k = 0; k < count; k += 1) {
    const turn = ((bar[3 * k + 2] ?? 0) * Math.PI) / 180;
    const c = Math.cos(turn);
    const s = Math.sin(turn);
    rings[9 * k] = bar[3 * k] ?? 0;
    rings[9 * k + 1] = bar[3 * k + 1] ?? 0;
    for (const [at, vector] of [
      [3, step.wide],
      [6, step.high],
    ] as const) {
      const [x = 0, y = 0, z = 0] = vector;
      rings[9 * k + at] = c * x - s * y;
      rings[9 * k + at + 1] = s * x + c * y;
      rings[9 * k + at + 2] = z;
    }
  }
  return rings;
}
