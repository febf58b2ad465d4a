import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { type Entry, newId, type Sent, today, Waiting } from '../src/bench/waiting';

class Box implements Storage {
  readonly kept = new Map<string, string>();
  full = false;
  get length() {
    return this.kept.size;
  }
  clear() {
    this.kept.clear();
  }
  getItem(name: string) {
    return this.kept.get(name) ?? null;
  }
  key(at: number) {
    return [...this.kept.keys()][at] ?? null;
  }
  removeItem(name: string) {
    this.kept.delete(name);
  }
  setItem(name: string, text: string) {
    if (this.full) throw new DOMException('full', 'QuotaExceededError');
    this.kept.set(name, text);
  }
}

const entry = (id: string, bend = 1): Entry => ({
  kind: 'log',
  job: 'crate-shelf',
  body: {
    entry_id: id,
    version: 'v',
    piece: 'loop',
    hand: null,
    number: 1,
    bend,
    held: 'A',
    pulled_deg: 93,
    angle_deg: 90,
    rotation_deg: null,
    off: '',
    mark_mm: 667,
    turn_deg: null,
    sure: false,
    made_on: '2026-03-12',
  },
});

/** A server that keeps what it is sent, and may not be reached, or not answer. */
class Server {
  readonly log: string[] = [];
  asked = 0;
  way: 'there' | 'gone' | 'deaf' | 'closed' | 'refuses' = 'there';
  readonly send = async (one: Entry): Promise<Sent<string>> => {
    this.asked += 1;
    const id = one.body.entry_id;
    if (this.way === 'gone') throw new TypeError('Failed to fetch');
    if (this.way === 'closed') return { now: 'not let in' };
    if (this.way === 'refuses') return { now: 'refused', says: 'no such bend' };
    if (!this.log.includes(id)) this.log.push(id);
    if (this.way === 'deaf') return { now: 'no answer' }; // it was kept, and the answer got lost
    return { now: 'kept', answer: id };
  };
}

let clock = 0;
const waitingWith = (box: Box, server: Server, told: string[] = []) =>
  new Waiting<string>(
    box,
    server.send,
    (answer) => void told.push(answer),
    () => (clock += 1),
  );

beforeEach(() => void vi.useFakeTimers());
afterEach(() => void vi.useRealTimers());

describe('entries on their way', () => {
  it('are kept before anything is sent', () => {
    const [box, server] = [new Box(), new Server()];
    server.way = 'gone';
    waitingWith(box, server).add(entry('a'));
    expect(box.length).toBe(1);
  });

  it('are sent in order, once, and taken off', async () => {
    const [box, server, told] = [new Box(), new Server(), [] as string[]];
    const waiting = waitingWith(box, server, told);
    for (const id of ['c', 'a', 'b']) waiting.add(entry(id));
    await vi.runAllTimersAsync();
    expect(server.log).toEqual(['c', 'a', 'b']);
    expect(told).toEqual(['c', 'a', 'b']);
    expect(server.asked).toBe(3);
    expect(box.length).toBe(0);
    expect(waiting.entries.value).toEqual([]);
  });

  it('wait while the connection is gone, with longer and longer pauses, and arrive then', async () => {
    const [box, server] = [new Box(), new Server()];
    server.way = 'gone';
    const waiting = waitingWith(box, server);
    waiting.add(entry('a'));
    waiting.add(entry('b'));
    await vi.advanceTimersByTimeAsync(60_000);
    expect(waiting.entries.value).toHaveLength(2);
    expect(waiting.trouble.value.why).toBe('no answer');
    expect(server.asked).toBeGreaterThan(4);
    expect(server.asked).toBeLessThan(12);
    server.way = 'there';
    await vi.advanceTimersByTimeAsync(16_000);
    expect(server.log).toEqual(['a', 'b']);
    expect(waiting.entries.value).toEqual([]);
    expect(waiting.trouble.value.why).toBe('none');
  });

  it('are sent again under the same id when the answer got lost', async () => {
    const [box, server] = [new Box(), new Server()];
    server.way = 'deaf';
    const waiting = waitingWith(box, server);
    waiting.add(entry('a'));
    await vi.advanceTimersByTimeAsync(5_000);
    server.way = 'there';
    await vi.advanceTimersByTimeAsync(16_000);
    expect(server.asked).toBeGreaterThan(1);
    expect(server.log).toEqual(['a']);
    expect(box.length).toBe(0);
  });

  it('outlive a reload, in their order', async () => {
    const [box, server] = [new Box(), new Server()];
    server.way = 'gone';
    const before = waitingWith(box, server);
    for (const id of ['z', 'y']) before.add(entry(id));
    await vi.advanceTimersByTimeAsync(10);
    before.stop();
    const [after, there] = [new Box(), new Server()];
    for (const [name, text] of [...box.kept].reverse()) after.kept.set(name, text);
    const waiting = waitingWith(after, there);
    expect(waiting.entries.value.map((one) => one.body.entry_id)).toEqual(['z', 'y']);
    await waiting.sendAll();
    expect(there.log).toEqual(['z', 'y']);
  });

  it('stay when the device is no longer paired', async () => {
    const [box, server] = [new Box(), new Server()];
    server.way = 'closed';
    const waiting = waitingWith(box, server);
    waiting.add(entry('a'));
    await vi.advanceTimersByTimeAsync(40_000);
    expect(waiting.trouble.value.why).toBe('not let in');
    expect(box.length).toBe(1);
  });

  it('stay when they are refused, until the maker throws them away', async () => {
    const [box, server] = [new Box(), new Server()];
    server.way = 'refuses';
    const waiting = waitingWith(box, server);
    waiting.add(entry('a'));
    waiting.add(entry('b'));
    await vi.advanceTimersByTimeAsync(40_000);
    expect(waiting.trouble.value).toEqual({ why: 'refused', says: 'no such bend' });
    expect(box.length).toBe(2);
    server.way = 'there';
    waiting.throwAway();
    await vi.advanceTimersByTimeAsync(16_000);
    expect(server.log).toEqual(['b']);
  });

  it('are held in memory where the browser keeps nothing, and it is said', async () => {
    const [box, server] = [new Box(), new Server()];
    box.full = true;
    server.way = 'gone';
    const waiting = waitingWith(box, server);
    waiting.add(entry('a'));
    expect(waiting.isKept.value).toBe(false);
    expect(waiting.entries.value).toHaveLength(1);
    server.way = 'there';
    await vi.advanceTimersByTimeAsync(16_000);
    expect(server.log).toEqual(['a']);
  });

  it('are not lost by rubbish that lies beside them', async () => {
    const [box, server] = [new Box(), new Server()];
    box.kept.set('bentwork.bench.waiting.000', 'no JSON');
    box.kept.set('something.else', 'x');
    const waiting = waitingWith(box, server);
    waiting.add(entry('a'));
    await vi.runAllTimersAsync();
    expect(server.log).toEqual(['a']);
    expect([...box.kept.keys()]).toEqual(['something.else']);
  });
});

it('gives every entry an id of its own', () => {
  const ids = new Set(Array.from({ length: 1000 }, newId));
  expect(ids.size).toBe(1000);
  expect([...ids].every((id) => /^[0-9a-f]{32}$/.test(id))).toBe(true);
});

it('names the day by the clock on the wall', () => {
  expect(today(new Date(2026, 2, 5, 23, 59))).toBe('2026-03-05');
});
