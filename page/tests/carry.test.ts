import { Color, Line3, Vector3 } from 'three';
import { describe, expect, it } from 'vitest';
import type { Job } from '../src/api';
import { boltChanges } from '../src/panels/carry-bolt';
import { newCase } from '../src/panels/carry-cases';
import { madeChanges } from '../src/panels/carry-said';
import { newStrap } from '../src/panels/carry-straps';
import { bendsWords } from '../src/panels/carry-tries';
import { windowOf } from '../src/panels/carry-tries-picture';
import { barOf, enough } from '../src/scene/tube';
import type { TryOut } from '../src/state/carry';
import { job } from '../src/state/job';
import { names, withoutPiece } from '../src/state/without-piece';

const DATA = {
  piece: { loop: {}, stay: {}, 'stay top': {} },
  fixing: { 'left foot': { piece: 'stay left' }, hook: { piece: 'loop' }, top: { piece: 'stay top' } },
  joint: { one: { pieces: ['loop', 'stay'] }, two: { pieces: ['loop', 'stay top'] } },
  payload: { on: ['loop', 'stay 2'], straps: [{ piece: 'stay' }, { piece: 'loop' }] },
};

describe('a piece that is taken out', () => {
  it('goes by its own name and by those of its copies', () => {
    const pieces = ['stay', 'stay top'];
    expect(names('stay', 'stay', pieces)).toBe(true);
    expect(names('stay', 'stay left', pieces)).toBe(true);
    expect(names('stay', 'stay top', pieces)).toBe(false);
    expect(names('stay', 'stayed', pieces)).toBe(false);
    expect(names('stay', undefined, pieces)).toBe(false);
  });

  it('takes what names it along, and nothing else', () => {
    expect(withoutPiece(DATA, 'stay')).toEqual([
      { path: ['piece', 'stay'], how: 'remove' },
      { path: ['fixing', 'left foot'], how: 'remove' },
      { path: ['joint', 'one'], how: 'remove' },
      { path: ['payload', 'on'], value: ['loop'] },
      { path: ['payload', 'straps'], value: [{ piece: 'loop' }] },
    ]);
  });

  it('takes the payload along that lies on nothing else', () => {
    const data = { ...DATA, payload: { on: ['stay'] } };
    expect(withoutPiece(data, 'stay').at(-1)).toEqual({ path: ['payload'], how: 'remove' });
    expect(withoutPiece({ piece: { stay: {} } }, 'stay')).toHaveLength(1);
  });
});

function one(mass: number, carries: number, more: Partial<TryOut> = {}): TryOut {
  return { mass_kg: mass, carries_kg: carries, enough: carries >= 10, now: false, ...more } as TryOut;
}

describe('the picture of tries', () => {
  it('reaches over what carries enough and is not far too heavy', () => {
    const tries = [one(1, 12), one(2.9, 30), one(9, 40), one(0.5, 2)];
    expect(windowOf(tries, 10)).toEqual({ mass: expect.closeTo(3.045), carries: expect.closeTo(33) });
  });

  it('always shows what the job has now', () => {
    expect(windowOf([one(1, 12), one(8, 5, { now: true })], 10).mass).toBeCloseTo(8.4);
    expect(windowOf([], 10)).toEqual({ mass: expect.closeTo(0.105), carries: expect.closeTo(11) });
  });
});

describe('a bar in colours', () => {
  const places = [new Vector3(0, 0, 0), new Vector3(50, 0, 0), new Vector3(100, 0, 0)];
  const wide = places.map(() => new Vector3(0, 1, 0));
  const colours = places.map(() => new Color(1, 0, 0));

  it('has the volume of its outline, closed at both ends', () => {
    const shape = barOf({ places, wide, colours }, [15, 2], false);
    expect(volume(shape.getAttribute('position').array, shape.getIndex()?.array ?? [])).toBeCloseTo(30 * 4 * 100);
    const round = barOf({ places, wide, colours }, [6, 6], true);
    const dozen = 0.5 * 12 * 36 * Math.sin(Math.PI / 6); // area of a polygon with twelve corners
    expect(volume(round.getAttribute('position').array, round.getIndex()?.array ?? [])).toBeCloseTo(dozen * 100, 1);
    const coarse = round.userData.coarse as typeof round;
    const eight = 0.5 * 8 * 36 * Math.sin(Math.PI / 4);
    expect(volume(coarse.getAttribute('position').array, coarse.getIndex()?.array ?? [])).toBeCloseTo(eight * 100, 1);
    expect(coarse.getAttribute('position').count).toBe(2 * 8);
  });

  it('keeps its ends, its curves and where its colour changes while it moves', () => {
    const [cold, hot] = [new Color(0, 0, 1), new Color(1, 0, 0)];
    const line = Array.from({ length: 11 }, (_, k) => new Vector3(10 * k, 0, 0));
    const hues = line.map((_, k) => (k < 7 ? cold : hot));
    expect(enough(line, hues)).toEqual([0, 6, 7, 10]);
    const arc = Array.from({ length: 41 }, (_, k) =>
      new Vector3(Math.cos(k / 20), Math.sin(k / 20), 0).multiplyScalar(60),
    );
    const kept = enough(arc, Array(41).fill(cold));
    expect(kept.length).toBeLessThan(10);
    for (const [k, at] of arc.entries()) {
      const next = kept.findIndex((one) => one >= k);
      const [from, to] = [kept[Math.max(0, next - 1)] ?? 0, kept[next] ?? 0];
      const off = new Line3(arc[from], arc[to]).closestPointToPoint(at, true, new Vector3()).distanceTo(at);
      expect(off).toBeLessThan(1.2);
    }
    expect(enough(line.slice(0, 1), hues)).toEqual([0]);
  });
});

/** Volume inside triangles that are seen from outside, by the divergence theorem. */
function volume(points: ArrayLike<number>, index: ArrayLike<number>): number {
  let sum = 0;
  const at = (k: number): Vector3 => {
    const corner = 3 * (index[k] ?? 0);
    return new Vector3(points[corner], points[corner + 1], points[corner + 2]);
  };
  for (let k = 0; k < index.length; k += 3) sum += at(k).dot(at(k + 1).cross(at(k + 2))) / 6;
  return sum;
}

describe('what is written into the job', () => {
  const strap = { piece: 'loop', at: [0, 0, 0], towards: [0, 0, 9], tension: 50 };

  it('is a strap from under the payload, the first in a list of its own', () => {
    const added = { piece: 'loop', at: [200, 150, 0], towards: [200, 150, 110], tension: 100 };
    expect(newStrap({ centre: [200, 150, 110] }, ['loop'])).toEqual([{ path: ['payload', 'straps'], value: [added] }]);
    job.value = { data: { payload: { straps: [strap] } } } as unknown as Job;
    expect(newStrap({ centre: [200, 150, 110] }, ['loop'])).toEqual([
      { path: ['payload', 'straps', 1], value: added, how: 'insert' },
    ]);
    job.value = null;
    const [flat] = newStrap({ centre: [1, 2, 0] }, ['loop']);
    expect(flat?.value).toMatchObject([{ at: [1, 2, -1], towards: [1, 2, 0] }]);
  });

  it('is a load case with a name that is free', () => {
    const cases = (data: object) => {
      job.value = { data } as unknown as Job;
      return newCase();
    };
    const first = [{ path: ['load', 'cases'], value: [{ name: 'own case', down: 2 }] }];
    expect(cases({})).toEqual(first);
    expect(cases({ load: { use: 'house' } })).toEqual(first);
    expect(cases({ load: { cases: [{ name: 'own case' }] } })).toEqual([
      { path: ['load', 'cases', 1], value: { name: 'own case 2', down: 2 }, how: 'insert' },
    ]);
  });

  it('is a bolt, or none', () => {
    const own = ['joint', 'one', 'bolt'];
    expect(boltChanges(own, false, 'M6')).toEqual([{ path: own, value: { size: 'M6' } }]);
    expect(boltChanges(own, true, 'M8')).toEqual([{ path: [...own, 'size'], value: 'M8' }]);
    expect(boltChanges(own, true, '')).toEqual([{ path: own, how: 'remove' }]);
    expect(boltChanges(own, false, '')).toEqual([]);
  });

  it('is a joint made another way, without what makes no sense there', () => {
    const at = ['joint', 'one'];
    const table = { made: 'bolted', bolt: { size: 'M6' }, axis: [0, 0, 1], gap: 2 };
    expect(madeChanges(at, table, 'welded')).toEqual([
      { path: [...at, 'made'], value: 'welded' },
      { path: [...at, 'axis'], how: 'remove' },
      { path: [...at, 'bolt'], how: 'remove' },
    ]);
    expect(madeChanges(at, { made: 'welded', throat: 3 }, 'pinned')).toHaveLength(2);
    expect(madeChanges(at, table, 'bolted')).toEqual([{ path: [...at, 'made'], value: 'bolted' }]);
  });
});

describe('what the bender says to a try', () => {
  const one = {
    bends: 'other die',
    lever: '210 N',
    springback: '5.2°',
    springback_from: 'handbook',
    price: '',
  } as const;

  it('is a line, with where the springback is from unless it is the handbook', () => {
    expect(bendsWords(one)).toBe('wants another die, 210 N at the lever, springs 5.2°');
    expect(bendsWords({ ...one, springback_from: 'test bends' })).toContain('springs 5.2° by your test bends');
    expect(bendsWords({ ...one, bends: 'unknown', lever: '', springback: '' })).toBe('');
  });
});
