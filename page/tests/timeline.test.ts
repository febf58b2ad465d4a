import { expect, test } from 'vitest';
import type { StepSeen } from '../src/api';
import { atTime, startOf, timeline } from '../src/state/timeline';

type Key = StepSeen['keys'][number];

function key(when: Key['when'], angle: number, up = 0): Key {
  return {
    when,
    angle_deg: angle,
    angle: `${angle}°`,
    lift_mm: [0, 0, up],
    die: [0, 0, 0],
    arm: [0, 0, angle],
    bar: [
      [0, -50, 0],
      [10, -50, angle],
    ],
    gap: '',
    heat: null,
  };
}

function step(...keys: Key[]): StepSeen {
  return { keys } as StepSeen;
}

const steps = [
  step(
    key('put on', 0, 260),
    key('put on', 0),
    key('bending', 0),
    key('bending', 84),
    key('opening', 84),
    key('opening', 80),
    key('lifted off', 80),
    key('lifted off', 80, 260),
  ),
  step(key('put on', 0, 260), key('put on', 0), key('bending', 0), key('bending', 42)),
];

test('times never run back, and a bend takes as long as its angle', () => {
  const { times, total } = timeline(steps);
  const all = times.flat();
  expect(all).toEqual([...all].sort((a, b) => a - b));
  expect((times[0]?.[3] ?? 0) - (times[0]?.[2] ?? 0)).toBeCloseTo(2);
  expect((times[1]?.[3] ?? 0) - (times[1]?.[2] ?? 0)).toBeCloseTo(1);
  expect(total).toBeCloseTo(times[1]?.[3] ?? 0);
});

test('a time is between the keys on either side of it', () => {
  const line = timeline(steps);
  const begin = startOf(line, steps, 0);
  expect(atTime(line, begin)).toEqual({ step: 0, key: 2, share: 0 });
  expect(atTime(line, begin + 0.5)).toMatchObject({ step: 0, key: 2 });
  expect(atTime(line, begin + 0.5).share).toBeCloseTo(0.25);
  expect(atTime(line, -1)).toEqual({ step: 0, key: 0, share: 0 });
  expect(atTime(line, line.total + 9)).toEqual({ step: 1, key: 3, share: 0 });
  expect(atTime(line, startOf(line, steps, 1))).toEqual({ step: 1, key: 2, share: 0 });
});

test('with nothing to show time stands still', () => {
  const line = timeline([]);
  expect(line.total).toBe(0);
  expect(atTime(line, 3)).toEqual({ step: 0, key: 0, share: 0 });
});
