// How long each part of the work is shown, and where in it one is. Only the pace is ours; the places are the server's.
import type { StepSeen } from '../api';

const DEGREES_A_SECOND = 42;
const CARRY = 0.8; // seconds to put the bar on, or to lift it off
const OPEN = 0.5;
const REST = 0.35; // between two steps, and before the lever moves

/** A moment: step and key from 0, and how far towards the next key. */
export interface At {
  step: number;
  key: number;
  share: number;
}

export interface Timeline {
  /** When each key of each step is reached, seconds. */
  times: readonly (readonly number[])[];
  total: number;
}

export function timeline(steps: readonly StepSeen[]): Timeline {
  let now = 0;
  const times = steps.map((step) => {
    const own: number[] = [];
    const opened = Math.max(...step.keys.map((key) => key.angle_deg)) - (step.keys.at(-1)?.angle_deg ?? 0);
    const far = Math.max(...step.keys.map((key) => Math.hypot(...key.lift_mm)), 1);
    step.keys.forEach((key, k) => {
      const before = step.keys[k - 1];
      if (before) now += taken(before, key, opened, far);
      own.push(now);
    });
    now += REST;
    return own;
  });
  return { times, total: Math.max(0, now - REST) };
}

type Key = StepSeen['keys'][number];

function taken(before: Key, key: Key, opened: number, far: number): number {
  if (before.when !== key.when) return key.when === 'bending' ? REST : 0.1;
  const carried = Math.hypot(...key.lift_mm) - Math.hypot(...before.lift_mm);
  if (key.when === 'put on' || key.when === 'lifted off') return (CARRY * Math.abs(carried)) / far;
  const turned = Math.abs(key.angle_deg - before.angle_deg);
  return key.when === 'opening' ? (OPEN * turned) / Math.max(opened, 1e-6) : turned / DEGREES_A_SECOND;
}

export function atTime(line: Timeline, now: number): At {
  let step = line.times.length - 1;
  while (step > 0 && now < (line.times[step]?.[0] ?? 0)) step -= 1;
  const keys = line.times[step] ?? [0];
  let key = keys.length - 1;
  while (key > 0 && now < (keys[key] ?? 0)) key -= 1;
  const from = keys[key] ?? 0;
  const to = keys[key + 1];
  const share = to === undefined || to <= from ? 0 : Math.min(1, Math.max(0, (now - from) / (to - from)));
  return { step: Math.max(0, step), key, share };
}

/** When the lever begins to move in a step. */
export function startOf(line: Timeline, steps: readonly StepSeen[], step: number): number {
  const first = steps[step]?.keys.findIndex((key) => key.when === 'bending') ?? 0;
  return line.times[step]?.[Math.max(0, first)] ?? 0;
}
