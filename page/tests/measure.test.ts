import { afterEach, expect, it } from 'vitest';
import { reshaped } from '../src/panels/body-shape';
import { segments } from '../src/scene/keep-outs';
import { job } from '../src/state/job';
import { type KindOut, newPoint, newReading, ofKind, renamed, without } from '../src/state/measure';

const distance: KindOut = { kind: 'distance', says: '', points: 2, numbers: ['reads'] };
const height: KindOut = { kind: 'height', says: '', points: 1, numbers: ['reads'] };
const string: KindOut = { kind: 'string', says: '', points: 3, numbers: ['along', 'off'] };

const measured = {
  points: [{ name: 'stern', at: [0, 0, 0] }, { name: 'left lug', near: [420, 330, 60] }, { name: 'right lug' }],
  readings: [
    { kind: 'distance', of: ['stern', 'left lug'], reads: 541 },
    { kind: 'height', of: 'left lug', reads: 370 },
    { kind: 'distance', of: ['stern', 'right lug'], reads: 539 },
  ],
  pairs: [['left lug', 'right lug']],
};

function open(data: Record<string, unknown>): void {
  job.value = { name: 'boat', units: 'mm', data } as unknown as NonNullable<typeof job.value>;
}

afterEach(() => {
  job.value = null;
});

it('a point gets another name wherever the file names it', () => {
  open({ measured, stay: { brace: { to: 'left lug', from: [0, 0, 0] } } });
  expect(renamed(1, 'left cleat')).toEqual([
    { path: ['measured', 'points', 1, 'name'], value: 'left cleat' },
    { path: ['measured', 'readings', 0, 'of', 1], value: 'left cleat' },
    { path: ['measured', 'readings', 1, 'of'], value: 'left cleat' },
    { path: ['measured', 'pairs', 0, 0], value: 'left cleat' },
    { path: ['stay', 'brace', 'to'], value: 'left cleat' },
  ]);
});

it('a point goes with what was read of it, the last first', () => {
  open({ measured });
  expect(without(1)).toEqual([
    { path: ['measured', 'readings', 1], how: 'remove' },
    { path: ['measured', 'readings', 0], how: 'remove' },
    { path: ['measured', 'pairs'], how: 'remove' },
    { path: ['measured', 'points', 1], how: 'remove' },
  ]);
  open({ measured: { points: [{ name: 'stern' }] } });
  expect(without(0)).toEqual([{ path: ['measured'], how: 'remove' }]);
});

it('the first point makes the list, the next stands beside the last', () => {
  open({});
  expect(newPoint()).toEqual([{ path: ['measured', 'points'], value: [{ name: 'point', near: [0, 0, 0] }] }]);
  open({ measured });
  expect(newPoint()).toEqual([
    { path: ['measured', 'points', 3], value: { name: 'point', near: [0, 0, 0] }, how: 'insert' },
  ]);
});

it('a reading takes as many points as its kind has', () => {
  open({ measured });
  const at = { path: ['measured', 'readings', 3], how: 'insert' };
  expect(newReading(string)).toEqual([
    { ...at, value: { kind: 'string', of: ['stern', 'left lug', 'right lug'], along: 100, off: 100 } },
  ]);
  expect(newReading(distance, ['left lug', 'right lug'], 661)).toEqual([
    { ...at, value: { kind: 'distance', of: ['left lug', 'right lug'], reads: 661 } },
  ]);
  open({ measured: { points: [{ name: 'stern' }] } });
  expect(newReading(distance)).toEqual([]);
});

it('another kind keeps what it can of a reading', () => {
  open({ measured });
  const reading = { kind: 'distance', of: ['stern', 'right lug'], reads: 539, accuracy: 2 };
  expect(ofKind(reading, height)).toEqual({ kind: 'height', of: ['stern'], reads: 539, accuracy: 2 });
  expect(ofKind(reading, string)).toEqual({
    kind: 'string',
    of: ['stern', 'right lug', 'left lug'],
    along: 539,
    off: 539,
    accuracy: 2,
  });
});

it('a keep-out of another shape stands in the same place', () => {
  const box = { shape: 'box', x: [0, 100], y: [-20, 20], z: [40, 60], clearance: 10 };
  expect(reshaped(box, 'cylinder')).toEqual({
    shape: 'cylinder',
    from: [50, -20, 50],
    to: [50, 20, 50],
    radius: 50,
    clearance: 10,
  });
  const wheel = { shape: 'cylinder', from: [0, -20, 50], to: [0, 20, 50], radius: 30, clearance: 5 };
  expect(reshaped(wheel, 'capsule')).toEqual({ ...wheel, shape: 'capsule' });
  expect(reshaped(wheel, 'box')).toEqual({ shape: 'box', x: [-30, 30], y: [-50, 50], z: [20, 80], clearance: 5 });
});

it('rows of places are single lines', () => {
  expect(
    segments([
      [
        [0, 0, 0],
        [1, 0, 0],
        [1, 1, 0],
      ],
    ]),
  ).toEqual([0, 0, 0, 1, 0, 0, 1, 0, 0, 1, 1, 0]);
  expect(segments([[[0, 0, 0]]])).toEqual([]);
});
