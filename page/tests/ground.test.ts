import { describe, expect, it } from 'vitest';
import { squares } from '../src/scene/ground';

/** Where a line lies, in points from the top left of a picture of this size. */
function lines(width: number, height: number) {
  const told = squares(width, height);
  const ends = Array.from({ length: told.length / 3 }, (_, k) => [
    ((1 + (told[3 * k] ?? 0)) / 2) * width,
    ((1 - (told[3 * k + 1] ?? 0)) / 2) * height,
  ]);
  return Array.from({ length: ends.length / 2 }, (_, k) => [ends[2 * k] ?? [], ends[2 * k + 1] ?? []]);
}

describe('the squares of the paper', () => {
  it('are 24 px wide, counted from the top left, each line through the middle of its points', () => {
    const upright = lines(50, 30).filter(([a, b]) => a?.[0] === b?.[0]);
    expect(upright.map(([a]) => Math.round(10 * (a?.[0] ?? 0)) / 10)).toEqual([0.5, 24.5, 48.5]);
    const level = lines(50, 30).filter(([a, b]) => a?.[1] === b?.[1]);
    expect(level.map(([a]) => Math.round(10 * (a?.[1] ?? 0)) / 10)).toEqual([0.5, 24.5]);
  });

  it('reach from edge to edge', () => {
    for (const [a, b] of lines(794, 663)) {
      const long = Math.hypot((b?.[0] ?? 0) - (a?.[0] ?? 0), (b?.[1] ?? 0) - (a?.[1] ?? 0));
      expect([794, 663].some((side) => Math.abs(side - long) < 1e-6)).toBe(true);
    }
  });
});
