import { expect, it } from 'vitest';
import { cornerAt, freeName, insertPoint, movePoint, removePoint, setClosed, setRadius } from '../src/state/tables';

const path = ['piece', 'loop'];
const points = [
  [0, 0, 0],
  [400, 0, 0],
  [400, 300, 0],
  [0, 300, 0],
];

it('corners are where the bar bends: everywhere on a closed piece, not at the ends of an open one', () => {
  expect([0, 1, 2, 3].map((point) => cornerAt(point, 4, true))).toEqual([0, 1, 2, 3]);
  expect([0, 1, 2, 3].map((point) => cornerAt(point, 4, false))).toEqual([null, 0, 1, null]);
});

it('a point is put in with a radius of its own where every corner has one', () => {
  const point = [450, 0, 0];
  const put = { path: [...path, 'points', 2], value: point, how: 'insert' };
  expect(insertPoint({ path, table: { points } }, 2, point)).toEqual([put]);
  const radii = { points, radius: [40, 50] };
  expect(insertPoint({ path, table: radii }, 2, point)).toEqual([
    put,
    { path: [...path, 'radius', 1], value: 50, how: 'insert' },
  ]);
  const last = insertPoint({ path, table: radii }, 4, point);
  expect(last[1]).toEqual({ path: [...path, 'radius', 2], value: 50, how: 'insert' });
  const first = insertPoint({ path, table: radii }, 0, point);
  expect(first[1]).toEqual({ path: [...path, 'radius', 0], value: 40, how: 'insert' });
});

it('a point is taken out with its radius; at an end, with that of the corner that becomes the end', () => {
  const radius = (index: number) => ({ path: [...path, 'radius', index], how: 'remove' });
  const table = { points, radius: [40, 50] };
  expect(removePoint({ path, table }, 1)[1]).toEqual(radius(0));
  expect(removePoint({ path, table }, 0)[1]).toEqual(radius(0));
  expect(removePoint({ path, table }, 3)[1]).toEqual(radius(1));
  expect(removePoint({ path, table: { ...table, closed: true, radius: [1, 2, 3, 4] } }, 3)[1]).toEqual(radius(3));
});

it('a point is moved with its radius', () => {
  const table = { points, radius: [1, 2, 3, 4], closed: true };
  expect(movePoint({ path, table }, 1, 1)).toEqual([
    { path: [...path, 'points', 1], value: 2, how: 'move' },
    { path: [...path, 'radius', 1], value: 2, how: 'move' },
  ]);
  expect(movePoint({ path, table: { points, radius: 36 } }, 1, 1)).toHaveLength(1);
});

it('one radius becomes a list as soon as a corner differs', () => {
  expect(setRadius({ path, table: { points } }, 1, 36, 50)).toEqual([{ path: [...path, 'radius'], value: [50, 36] }]);
  expect(setRadius({ path, table: { points, radius: 40, closed: true } }, 0, '1 in', 50)).toEqual([
    { path: [...path, 'radius'], value: ['1 in', 40, 40, 40] },
  ]);
  expect(setRadius({ path, table: { points, radius: [40, 36] } }, 1, 45, 50)).toEqual([
    { path: [...path, 'radius', 1], value: 45 },
  ]);
});

it('a radius that is left empty is that of the bender again, and the last one takes the line with it', () => {
  const radius = [...path, 'radius'];
  const emptied = (table: object) => setRadius({ path, table: { points, ...table } }, 1, undefined, 50);
  expect(emptied({ radius: [40, 36] })).toEqual([{ path: radius, value: [40, 50] }]);
  expect(emptied({ radius: [50, 36] })).toEqual([{ path: radius, how: 'remove' }]);
  expect(emptied({ radius: 40 })).toEqual([{ path: radius, value: [40, 50] }]);
  expect(emptied({})).toEqual([]);
});

it('a piece that is closed has a radius for the corners that its ends become, one that is opened none', () => {
  const closed = { path: [...path, 'closed'], value: true };
  const radius = [...path, 'radius'];
  expect(setClosed({ path, table: { points } }, true, 50)).toEqual([closed]);
  expect(setClosed({ path, table: { points, radius: [40, 36] } }, true, 50)).toEqual([
    closed,
    { path: radius, value: [50, 40, 36, 50] },
  ]);
  const table = { points, radius: [50, 40, 36, 50], closed: true, seam: 1 };
  expect(setClosed({ path, table }, false, 50)).toEqual([
    { path: [...path, 'closed'], value: false },
    { path: [...path, 'seam'], how: 'remove' },
    { path: radius, value: [40, 36] },
  ]);
});

it('names are free however they are written', () => {
  expect(freeName('bar', ['rod'])).toBe('bar');
  expect(freeName('bar', ['Bar', 'bar 2'])).toBe('bar 3');
});
