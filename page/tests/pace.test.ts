import { describe, expect, it } from 'vitest';
import { LEVELS, Pace } from '../src/scene/pace';

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
    expect(pace.now).toBe('fine');
  });

  it('bears a picture that comes late now and then', () => {
    const pace = new Pace();
    for (let k = 0; k < 100; k += 1) pace.drew(k % 5 ? 16.7 : 60, k);
    expect(pace.now).toBe('fine');
  });

  it('gets plainer step by step until it keeps up, and no further', () => {
    const pace = new Pace();
    const seen: string[] = [];
    for (let k = 0; k < 60; k += 1) {
      pace.drew(pace.now === 'plain' ? 16.7 : 40, k);
      if (seen.at(-1) !== pace.now) seen.push(pace.now);
    }
    expect(seen).toEqual(['fine', 'plain']);
    drawn(pace, 200, 100);
    expect(pace.now).toBe(LEVELS.at(-1));
  });

  it('tries a finer one with a movement later on, not with the next', () => {
    const pace = new Pace();
    const now = drawn(pace, 40, 3);
    expect(pace.now).toBe('plain');
    pace.begin(now + 1000);
    expect(pace.now).toBe('plain');
    pace.begin(now + 11_000);
    expect(pace.now).toBe('fine');
  });

  it('tries a finer one ever more seldom where it was always too slow', () => {
    const pace = new Pace();
    const tried: number[] = [];
    for (let now = 0; now < 200_000; now += 1000) {
      pace.begin(now);
      if (pace.now === 'fine') {
        tried.push(now);
        drawn(pace, 40, 3, now);
      }
    }
    expect(tried).toEqual([0, 11_000, 32_000, 73_000, 154_000]);
  });

  it('takes no page that nobody looked at for a slow machine', () => {
    const pace = new Pace();
    drawn(pace, 60_000, 10);
    expect(pace.now).toBe('fine');
  });
});
