import { beforeAll, expect, it, vi } from 'vitest';

beforeAll(() => void vi.stubGlobal('location', { pathname: '/' }));

it.each([
  ['/bench/crate-shelf', 'crate-shelf', '', null, 1],
  ['/bench/crate-shelf/loop', 'crate-shelf', 'loop', null, 1],
  ['/bench/crate-shelf/stay/left', 'crate-shelf', 'stay', 'left', 1],
  ['/bench/crate-shelf/stay/right/2', 'crate-shelf', 'stay', 'right', 2],
  ['/bench/crate-shelf/crossbar/3', 'crate-shelf', 'crossbar', null, 3],
  ['/bench/a%20b/c%2Fd', 'a b', 'c/d', null, 1],
] as const)('%s', async (path, job, piece, hand, number) => {
  const { read, written } = await import('../src/state/address');
  expect(read(path)).toEqual({ at: 'bench', job, piece, hand, number });
  expect(written(read(path))).toBe(path);
});
