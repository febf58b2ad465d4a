import { expect, test } from 'vitest';
import type { StepSeen } from '../src/api';
import { bendRings, between } from '../src/scene/places';
import { Sweep } from '../src/scene/sweep';

const SQUARE = [
  [5, 5, 1, 0],
  [5, 5, 0, 1],
  [-5, 5, 0, 1],
  [-5, 5, -1, 0],
  [-5, -5, -1, 0],
  [-5, -5, 0, -1],
  [5, -5, 0, -1],
  [5, -5, 1, 0],
];
const RINGS = [0, 100].flatMap((x) => [x, 0, 0, 0, 1, 0, 0, 0, 1]);

/** Six times the volume behind each triangle as it faces out, summed: negative where they face in. */
function volume(sweep: Sweep): number {
  const points = sweep.geometry.getAttribute('position');
  const index = sweep.geometry.getIndex();
  let sum = 0;
  for (let i = 0; index && i < index.count; i += 3) {
    const [a, b, c] = [0, 1, 2].map((k) => {
      const at = index.getX(i + k);
      return [points.getX(at), points.getY(at), points.getZ(at)] as const;
    });
    if (!a || !b || !c) continue;
    sum += a[0] * (b[1] * c[2] - b[2] * c[1]) + a[1] * (b[2] * c[0] - b[0] * c[2]) + a[2] * (b[0] * c[1] - b[1] * c[0]);
  }
  return sum / 6;
}

test('a swept square faces out on its sides and at its end', () => {
  const sweep = new Sweep([SQUARE], 2, true);
  sweep.write(RINGS);
  // The face at the start lies in x = 0, as does the middle that volumes are told from: it adds nothing.
  expect(volume(sweep)).toBeCloseTo(100 * 10 * 10);
});

test('a tube ends in a ring', () => {
  const inner = SQUARE.map(([x = 0, y = 0, a = 0, b = 0]) => [0.6 * x, 0.6 * y, a, b]);
  const sweep = new Sweep([SQUARE, inner], 2, true);
  sweep.write(RINGS);
  // Only the outside is drawn: its sides, and an end face without its middle.
  const sides = (100 * 10 * 10 * 2) / 3;
  expect(volume(sweep)).toBeCloseTo(sides + (100 * (100 - 36)) / 3);
});

test('between two keys everything is in proportion, and the section turns with the bar', () => {
  const one = { lift_mm: [0, 0, 10], die: [0, 0, 0], arm: [0, 0, 0], bar: [[0, 0, 0]] };
  const other = { lift_mm: [0, 0, 0], die: [0, -4, 0], arm: [0, 0, 40], bar: [[8, 2, 90]] };
  const step = { keys: [one, other], wide: [0, 0, -1], high: [0, 1, 0] } as unknown as StepSeen;
  const here = between(step, 0, 0.5);
  expect(here?.lift).toEqual([0, 0, 5]);
  expect(here?.die).toEqual([0, -2, 0]);
  expect(here?.arm).toEqual([0, 0, 20]);
  expect([...(here?.bar ?? [])]).toEqual([4, 1, 45]);
  const rings = bendRings(step, here?.bar ?? new Float32Array());
  expect([...rings.slice(0, 6)]).toEqual([4, 1, 0, 0, 0, -1].map((value) => expect.closeTo(value, 6)));
  expect(rings[6]).toBeCloseTo(-Math.SQRT1_2);
  expect(rings[7]).toBeCloseTo(Math.SQRT1_2);
  expect(between(step, 1, 0.3)?.lift).toEqual([0, 0, 0]);
  expect(between(step, 5, 0)).toBeNull();
});
