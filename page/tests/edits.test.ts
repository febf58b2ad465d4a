import { signal } from '@preact/signals';
import { beforeEach, describe, expect, it, vi } from 'vitest';
import type { Change, Fault } from '../src/api';
import type { Outcome, Seen, Ways } from '../src/state/job';
import { placeOf } from '../src/state/place';
import { showsFaults } from '../src/state/shown';
import { stepped, typedValue, usualLength } from '../src/state/typed';

interface Stands {
  name: string;
  sum: string;
  text: string;
  data: Record<string, unknown>;
}
const stands = (sum: string, name = 'cart'): Stands => ({
  name,
  sum,
  text: `text ${sum}`,
  data: { piece: { loop: {} }, bender: { lever: {} }, stock: { rod: {} } },
});
const job = signal<Stands | null>(stands('0'));
const faults = signal<readonly Fault[]>([]);
const change = vi.fn<(changes: readonly Change[]) => Promise<Outcome>>();
/** What came with the last changes: the states that they were thought of in, and what to do with them if asked. */
let came: { sums: unknown[]; texts: string[]; ways: Ways | undefined };
const conflict = signal<unknown>(null);
const reachable = signal(true);
vi.mock('../src/state/job', () => ({
  job,
  faults,
  change: (changes: readonly Change[], states: readonly Seen[], ways?: Ways) => {
    came = { sums: changes.map((one) => one.seen), texts: states.map((one) => one.text), ways };
    return change(changes.map(({ seen, ...rest }) => rest));
  },
  conflict,
  reachable,
}));
const { act, begin, edit, loose, refusedAt, takeBack, takeBackAll, tried, waitingAt, waits } = await import(
  '../src/state/edits'
);

const trim = ['piece', 'loop', 'trim'];
const radius = ['bender', 'lever', 'radius'];
const set = (path: string[], value: unknown): Change => ({ path, value });
const wrong = (key: string): Fault => ({ says: `${key} is wrong`, key });

beforeEach(() => {
  takeBack(trim);
  takeBack(radius);
  change.mockReset();
  faults.value = [];
  conflict.value = null;
  job.value = stands('0');
});

it('names places as the server does in its faults', () => {
  // the same are named by tests/unit/web/test_shape.py
  expect(placeOf(['piece', 'loop', 'points', 1, 0])).toBe('piece.loop.points[2][1]');
  expect(placeOf(['stock', 'rod', 'wall'])).toBe('stock.rod.wall');
  expect(placeOf(['piece', 'left rail', 'trim'])).toBe('piece."left rail".trim');
});

it('sends numbers as numbers, everything else as it was typed', () => {
  expect(['12', ' 0.5 ', '-3', '−3', '.5'].map(typedValue)).toEqual([12, 0.5, -3, -3, 0.5]);
  expect(['1/2', '3 5/16', '12 mm', '', '1e3'].map(typedValue)).toEqual(['1/2', '3 5/16', '12 mm', '', '1e3']);
});

it('takes a comma for a point where it cannot be meant for thousands', () => {
  // the same are read by parse_length, see tests/unit/test_units.py
  expect(['1,5', '−0,25', ',5', '0,125', '12,3456'].map(typedValue)).toEqual([1.5, -0.25, 0.5, 0.125, 12.3456]);
  expect(['1,500', '1,2,3', '1,5 mm', '1.000,5'].map(typedValue)).toEqual(['1,500', '1,2,3', '1,5 mm', '1.000,5']);
});

it('says a usual length in the units of the job', () => {
  expect([2, 0.5, 3].map((mm) => usualLength(mm, 'mm'))).toEqual(['2 mm', '0.5 mm', '3 mm']);
  expect([2, 0.5, 3].map((mm) => usualLength(mm, 'in'))).toEqual(['0.08 in', '0.02 in', '0.12 in']);
});

it('steps numbers and nothing else', () => {
  expect([stepped('12', 1), stepped('0.3', 10), stepped('-1', 1), stepped('3 5/16', 1)]).toEqual([
    '13',
    '10.3',
    '0',
    undefined,
  ]);
});

it('what is taken waits no longer', async () => {
  change.mockResolvedValue('taken');
  const taken = edit(trim, '20', [set(trim, 20)]);
  expect(waitingAt(trim)?.text).toBe('20');
  expect(await taken).toBe(true);
  expect(waitingAt(trim)).toBeUndefined();
  expect(change).toHaveBeenCalledExactlyOnceWith([set(trim, 20)]);
});

it('what is refused stays, with its fault under it, until it is taken back', async () => {
  const end = showsFaults(trim);
  change.mockImplementation(async () => {
    faults.value = [wrong('piece.loop.trim'), wrong('somewhere.else')];
    return 'refused';
  });
  expect(await edit(trim, 'far', [set(trim, 'far')])).toBe(false);
  expect(waitingAt(trim)).toMatchObject({ text: 'far', refused: true });
  expect(refusedAt(trim).map((fault) => fault.key)).toEqual(['piece.loop.trim']);
  expect(loose.value.map((fault) => fault.key)).toEqual(['somewhere.else']);
  expect(waits.value).toBe(1);
  takeBack(trim);
  expect(waits.value).toBe(0);
  expect(refusedAt(trim)).toEqual([]);
  expect(loose.value).toEqual([]);
  await edit(trim, 'far', [set(trim, 'far')]);
  takeBackAll();
  expect(waitingAt(trim)).toBeUndefined();
  expect(refusedAt(trim)).toEqual([]);
  end();
});

it('a second value may mend the first: both are sent together', async () => {
  change.mockResolvedValueOnce('refused').mockResolvedValueOnce('taken');
  await edit(trim, '5', [set(trim, 5)]);
  expect(await edit(radius, '40', [set(radius, 40)])).toBe(true);
  expect(change).toHaveBeenLastCalledWith([set(trim, 5), set(radius, 40)]);
  expect(waitingAt(trim)).toBeUndefined();
});

it('a value that is wrong holds up no other', async () => {
  change.mockImplementation(async (changes) => {
    if (!changes.some((one) => one.value === 'far')) return 'taken';
    faults.value = [wrong('piece.loop.trim')];
    return 'refused';
  });
  await edit(trim, 'far', [set(trim, 'far')]);
  expect(await edit(radius, '40', [set(radius, 40)])).toBe(true);
  expect(change).toHaveBeenLastCalledWith([set(radius, 40)]);
  expect(waitingAt(trim)?.text).toBe('far');
  expect(waitingAt(radius)).toBeUndefined();
});

it('changes of one moment go together, and the last word of a field counts', async () => {
  change.mockResolvedValue('taken');
  await Promise.all([
    edit(trim, '1', [set(trim, 1)]),
    edit(trim, '2', [set(trim, 2)]),
    edit(radius, '3', [set(radius, 3)]),
  ]);
  expect(change).toHaveBeenCalledExactlyOnceWith([set(trim, 2), set(radius, 3)]);
});

it('what was typed meanwhile outlives the answer to what was sent before', async () => {
  let answer: (took: Outcome) => void = () => undefined;
  change.mockImplementationOnce(() => new Promise((done) => (answer = done))).mockResolvedValue('taken');
  const first = edit(trim, '1', [set(trim, 1)]);
  await vi.waitFor(() => expect(change).toHaveBeenCalledTimes(1));
  const second = edit(trim, '12', [set(trim, 12)]);
  answer('taken');
  await Promise.all([first, second]);
  expect(change).toHaveBeenLastCalledWith([set(trim, 12)]);
});

it('a press of a button that is refused leaves nothing behind but its faults', async () => {
  change.mockImplementation(async () => {
    faults.value = [wrong('piece.loop.points[3]')];
    return 'refused';
  });
  expect(await act([set(trim, 1)])).toBe(false);
  expect(waits.value).toBe(0);
  expect(faults.value).toHaveLength(1);
  expect(await tried([set(trim, 1)])).toHaveLength(1);
  expect(faults.value).toEqual([]);
});

it('another job begins with nothing waiting', async () => {
  change.mockResolvedValue('refused');
  await edit(trim, 'far', [set(trim, 'far')]);
  job.value = stands('0', 'boat');
  expect(waits.value).toBe(0);
});

describe('a message goes when its cause is settled', () => {
  const price = ['stock', 'rod', 'price'];
  beforeEach(() => {
    change.mockImplementation(async (changes) => {
      faults.value = changes.filter((one) => typeof one.value === 'string').map((one) => wrong(placeOf(one.path)));
      return faults.value.length ? 'refused' : 'taken';
    });
  });

  it('a field that is mended is red no longer, though another one still is', async () => {
    const ends = [showsFaults(trim), showsFaults(price)];
    await edit(trim, 'far', [set(trim, 'far')]);
    await edit(price, 'dear', [set(price, 'dear')]);
    expect(refusedAt(price)).toHaveLength(1);
    await edit(price, '9', [set(price, 9)]);
    expect(refusedAt(price)).toEqual([]);
    expect(refusedAt(trim)).toHaveLength(1);
    takeBack(trim);
    for (const end of ends) end();
  });

  it('what stands above all fields goes with the field that it came from', async () => {
    await edit(trim, 'far', [set(trim, 'far')]); // no field shows it
    expect(loose.value).toHaveLength(1);
    await edit(trim, '9', [set(trim, 9)]);
    expect(loose.value).toEqual([]);
  });

  it('what was typed into a thing that is gone by now is forgotten', async () => {
    await edit(trim, 'far', [set(trim, 'far')]);
    job.value = { ...stands('1'), data: { piece: {} } };
    expect(waits.value).toBe(0);
    expect(loose.value).toEqual([]);
  });
});

describe('the state that a value was thought of in goes along', () => {
  beforeEach(() => change.mockResolvedValue('taken'));

  it('is the one in which the maker began to type', async () => {
    begin(trim);
    job.value = stands('1'); // an editor's change is followed while the maker types
    await edit(trim, '20', [set(trim, 20)]);
    expect(came).toMatchObject({ sums: ['0'], texts: ['text 0'] });
    await edit(radius, '40', [set(radius, 40)]);
    expect(came).toMatchObject({ sums: ['1'], texts: ['text 1'] });
  });

  it('is our own newer one where what was typed before has come through meanwhile', async () => {
    change.mockImplementationOnce(async () => {
      job.value = stands('1');
      return 'taken';
    });
    const first = edit(trim, '1', [set(trim, 1)]);
    begin(trim);
    await first;
    await edit(trim, '12', [set(trim, 12)]);
    expect(came.sums).toEqual(['1']);
  });

  it('asked, the maker keeps theirs and nothing waits, or puts mine over the state that was shown', async () => {
    for (const keep of ['theirs', 'mine'] as const) {
      job.value = stands('0');
      change.mockResolvedValueOnce('asked');
      expect(await edit(trim, '20', [set(trim, 20)])).toBe(false);
      expect(waitingAt(trim)?.text).toBe('20');
      const { ways } = came;
      job.value = stands('1');
      change.mockClear();
      if (keep === 'theirs') await ways?.theirs?.([{ says: 'trim', key: 'piece.loop.trim' }]);
      else await ways?.mine(stands('1') as never);
      expect(waitingAt(trim)).toBeUndefined();
      expect(change).toHaveBeenCalledTimes(keep === 'mine' ? 1 : 0);
      if (keep === 'mine') expect(came.sums).toEqual(['1']);
    }
  });

  it('a place that nobody else touched is sent on where the maker keeps theirs elsewhere', async () => {
    change.mockResolvedValueOnce('asked');
    await Promise.all([edit(trim, '20', [set(trim, 20)]), edit(radius, '40', [set(radius, 40)])]);
    await came.ways?.theirs?.([{ says: 'trim', key: 'piece.loop.trim' }]);
    expect(change).toHaveBeenLastCalledWith([set(radius, 40)]);
  });
});

it('asks again what a second press of a button is to do, once the first is answered', async () => {
  let rows = 0;
  change.mockImplementation(async () => {
    rows += 1;
    return 'taken';
  });
  const add = (): readonly Change[] => [set(['load', 'cases'], rows)];
  await Promise.all([act(add), act(add)]);
  expect(change.mock.calls).toEqual([[[set(['load', 'cases'], 0)]], [[set(['load', 'cases'], 1)]]]);
});
