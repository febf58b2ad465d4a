import { describe, expect, it } from 'vitest';
import { axis } from '../src/panels/axis';

describe('an axis', () => {
  it('holds every value and 0, and ends on ticks', () => {
    const one = axis([2.3, 17.9], 300, 20);
    expect(one.ticks).toEqual([0, 5, 10, 15, 20]);
    expect(one.place(0)).toBe(300);
    expect(one.place(20)).toBe(20);
    expect(one.place(10)).toBe(160);
  });

  it('reaches below 0 where springback does', () => {
    const one = axis([-1.2, 4.4], 0, 100);
    expect(one.from).toBeLessThanOrEqual(-1.2);
    expect(one.to).toBeGreaterThanOrEqual(4.4);
    expect(one.ticks).toContain(0);
  });

  it('never has more ticks than fit, nor a length of nothing', () => {
    for (const most of [0.01, 0.4, 3, 47, 180, 359]) {
      const one = axis([most], 0, 100);
      expect(one.ticks.length).toBeLessThanOrEqual(9);
      expect(one.to).toBeGreaterThan(one.from);
    }
    expect(axis([], 0, 100).to).toBeGreaterThan(0);
  });
});
