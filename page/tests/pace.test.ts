import { describe, expect, it } from 'vitest';
import { Pace, SHARES } from '../src/scene/pace';

function drawn(pace: Pace, took: number, times: number, from = 0): number {
  let now = from;
  for (let k = 0; k < times; k += 1) {
    now += took;
    pace.drew(took, now);
  }
  return now;
}

describe('how fine a moving picture is', () => {
  it('is as fine as at rest where sixty a second are drawn', () => {
    const pace = new Pace();
    pace.begin(0);
    drawn(pace, 16.7, 600);
    expect(pace.share).toBeNull();
  });

  it('bears a picture that comes late now and then', () => {
    const pace = new Pace();
    for (let k = 0; k < 100; k += 1) pace.drew(k % 5 ? 16.7 : 60, k);
    expect(pace.share).toBeNull();
  });

  it('gets coarser step by step until it keeps up, and no further', () => {
    const pace = new Pace();
    const seen: (number | null)[] = [];
    for (let k = 0; k < 60; k += 1) {
      pace.drew(pace.share === 0.5 ? 16.7 : 40, k);
      if (seen.at(-1) !== pace.share) seen.push(pace.share);
    }
    expect(seen).toEqual([null, 1, 0.7, 0.5]);
    drawn(pace, 200, 100);
    expect(pace.share).toBe(SHARES.at(-1));
  });

  it('tries a finer one with a movement later on, not with the next', () => {
    const pace = new Pace();
    const now = drawn(pace, 40, 3);
    expect(pace.share).toBe(1);
    pace.begin(now + 1000);
    expect(pace.share).toBe(1);
    pace.begin(now + 11_000);
    expect(pace.share).toBeNull();
  });

  it('takes no page that nobody looked at for a slow machine', () => {
    const pace = new Pace();
    drawn(pace, 60_000, 10);
    expect(pace.share).toBeNull();
  });
});
