import { signal } from '@preact/signals';
import { beforeEach, expect, it, vi } from 'vitest';
import type { Change, Fault } from '../src/api';

const job = signal<{ name: string; sum: string } | null>({ name: 'cart', sum: '0' });
const faults = signal<readonly Fault[]>([]);
const change = vi.fn<(changes: readonly Change[]) => Promise<boolean>>();
vi.mock('../src/state/job', () => ({
  job,
  faults,
  change: (changes: readonly Change[]) => change(changes),
  conflict: signal(null),
  reachable: signal(true),
}));
const {
  act,
  edit,
  placeOf,
  refusedAt,
  showsFaults,
  stepped,
  takeBack,
  takeBackAll,
  tried,
  typedValue,
  waitingAt,
  waits,
} = await import('../src/state/edits');

const trim = ['piece', 'loop', 'trim'];
const radius = ['bender', 'lever', 'radius'];
const set = (path: string[], value: unknown): Change => ({ path, value });
const wrong = (key: string): Fault => ({ says: `${key} is wrong`, key });

beforeEach(() => {
  takeBack(trim);
  takeBack(radius);
  change.mockReset();
  faults.value = [];
});

it('names places as the server does in its faults', () => {
  // the same are named by tests/unit/web/test_shape.py
  expect(placeOf(['piece', 'loop', 'points', 1, 0])).toBe('piece.loop.points[2][1]');
  expect(placeOf(['stock', 'rod', 'wall'])).toBe('stock.rod.wall');
  expect(placeOf(['piece', 'left rail', 'trim'])).toBe('piece."left rail".trim');
});

it('sends numbers as numbers, everything else as it was typed', () => {
  expect(['12', ' 0.5 ', '-3', '−3', '.5'].map(typedValue)).toEqual([12, 0.5, -3, -3, 0.5]);
  expect(['1/2', '3 5/16', '12 mm', '', '1e3', '12,5'].map(typedValue)).toEqual([
    '1/2',
    '3 5/16',
    '12 mm',
    '',
    '1e3',
    '12,5',
  ]);
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
  change.mockResolvedValue(true);
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
    return false;
  });
  expect(await edit(trim, 'far', [set(trim, 'far')])).toBe(false);
  expect(waitingAt(trim)).toMatchObject({ text: 'far', refused: true });
  expect(refusedAt(trim).map((fault) => fault.key)).toEqual(['piece.loop.trim']);
  expect(faults.value.map((fault) => fault.key)).toEqual(['somewhere.else']);
  expect(waits.value).toBe(true);
  takeBack(trim);
  expect(waits.value).toBe(false);
  expect(refusedAt(trim)).toEqual([]);
  await edit(trim, 'far', [set(trim, 'far')]);
  takeBackAll();
  expect(waitingAt(trim)).toBeUndefined();
  expect(refusedAt(trim)).toEqual([]);
  end();
});

it('a second value may mend the first: both are sent together', async () => {
  change.mockResolvedValueOnce(false).mockResolvedValueOnce(true);
  await edit(trim, '5', [set(trim, 5)]);
  expect(await edit(radius, '40', [set(radius, 40)])).toBe(true);
  expect(change).toHaveBeenLastCalledWith([set(trim, 5), set(radius, 40)]);
  expect(waitingAt(trim)).toBeUndefined();
});

it('a value that is wrong holds up no other', async () => {
  change.mockImplementation(async (changes) => {
    if (!changes.some((one) => one.value === 'far')) return true;
    faults.value = [wrong('piece.loop.trim')];
    return false;
  });
  await edit(trim, 'far', [set(trim, 'far')]);
  expect(await edit(radius, '40', [set(radius, 40)])).toBe(true);
  expect(change).toHaveBeenLastCalledWith([set(radius, 40)]);
  expect(waitingAt(trim)?.text).toBe('far');
  expect(waitingAt(radius)).toBeUndefined();
});

it('changes of one moment go together, and the last word of a field counts', async () => {
  change.mockResolvedValue(true);
  await Promise.all([
    edit(trim, '1', [set(trim, 1)]),
    edit(trim, '2', [set(trim, 2)]),
    edit(radius, '3', [set(radius, 3)]),
  ]);
  expect(change).toHaveBeenCalledExactlyOnceWith([set(trim, 2), set(radius, 3)]);
});

it('what was typed meanwhile outlives the answer to what was sent before', async () => {
  let answer: (took: boolean) => void = () => undefined;
  change.mockImplementationOnce(() => new Promise((done) => (answer = done))).mockResolvedValue(true);
  const first = edit(trim, '1', [set(trim, 1)]);
  await vi.waitFor(() => expect(change).toHaveBeenCalledTimes(1));
  const second = edit(trim, '12', [set(trim, 12)]);
  answer(true);
  await Promise.all([first, second]);
  expect(change).toHaveBeenLastCalledWith([set(trim, 12)]);
});

it('is sent again where an answer in between has moved the file on', async () => {
  change.mockImplementationOnce(async () => {
    job.value = { name: 'cart', sum: '1' };
    return false;
  });
  change.mockResolvedValueOnce(true);
  expect(await edit(trim, '7', [set(trim, 7)])).toBe(true);
  expect(change).toHaveBeenCalledTimes(2);
});

it('a press of a button that is refused leaves nothing behind but its faults', async () => {
  change.mockImplementation(async () => {
    faults.value = [wrong('piece.loop.points[3]')];
    return false;
  });
  expect(await act([set(trim, 1)])).toBe(false);
  expect(waits.value).toBe(false);
  expect(faults.value).toHaveLength(1);
  expect(await tried([set(trim, 1)])).toHaveLength(1);
  expect(faults.value).toEqual([]);
});

it('another job begins with nothing waiting', async () => {
  change.mockResolvedValue(false);
  await edit(trim, 'far', [set(trim, 'far')]);
  job.value = { name: 'boat', sum: '0' };
  expect(waits.value).toBe(false);
});
