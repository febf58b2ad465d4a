import { beforeEach, describe, expect, it, vi } from 'vitest';

const kept = new Map<string, string>();
vi.stubGlobal('localStorage', {
  getItem: (key: string) => kept.get(key) ?? null,
  setItem: (key: string, value: string) => void kept.set(key, value),
  removeItem: (key: string) => void kept.delete(key),
});
vi.stubGlobal('location', { pathname: '/' });
// A browser takes addresses from its own page on; the client keeps both of these from the moment it is made.
vi.stubGlobal(
  'Request',
  class extends Request {
    constructor(input: string, init?: RequestInit) {
      super(new URL(input, 'http://here'), init);
    }
  },
);
let asked: Request[] = [];
let answer: () => Promise<Response> = () => Promise.reject(new TypeError('no network'));
vi.stubGlobal('fetch', (request: Request) => {
  asked.push(request.clone());
  return answer();
});

const { draftKey, enter, keptWords, nextDraft, readDraft, testBends, told, typed } = await import(
  '../src/state/test-bends'
);

const PAIR = { stock: 'rod', bender: 'lever', way: 'easy' } as Parameters<typeof enter>[1];

function answers(status: number, body: unknown): void {
  answer = async () => new Response(JSON.stringify(body), { status });
}

beforeEach(() => {
  kept.clear();
  asked = [];
});

describe('what is typed of a test bend', () => {
  it('is still there when the page comes back', () => {
    const key = draftKey('shelf', PAIR);
    const draft = typed(key, readDraft(key), 'pulled', '97.5');
    expect(readDraft(key)).toEqual(draft);
    expect(draft.given).toEqual({ pulled: '97.5' });
  });

  it('belongs to one job and one bar on one bender', () => {
    const keys = [
      draftKey('shelf', PAIR),
      draftKey('other', PAIR),
      draftKey('shelf', { ...PAIR, bender: 'press' }),
      draftKey('shelf', { ...PAIR, way: 'hard' }),
    ];
    expect(new Set(keys).size).toBe(4);
  });

  it('gets an id of its own with every change, so that it is another entry', () => {
    const key = draftKey('shelf', PAIR);
    const one = typed(key, readDraft(key), 'pulled', '97');
    const two = typed(key, one, 'pulled', '97.5');
    expect(two.id).not.toBe(one.id);
    expect(two.id.length).toBeGreaterThanOrEqual(8);
  });

  it('leaves the batch for the next one, and nothing that was read', () => {
    const key = draftKey('shelf', PAIR);
    const draft = typed(key, typed(key, readDraft(key), 'batch', 'May'), 'left', '90');
    expect(nextDraft(key, draft).given).toEqual({ batch: 'May' });
    expect(readDraft(key).given).toEqual({ batch: 'May' });
  });

  it('begins anew where something else stands in its place', () => {
    kept.set('k', '{"id": 3}');
    expect(readDraft('k').given).toEqual({});
    kept.set('k', 'no json');
    expect(readDraft('k').given).toEqual({});
  });
});

describe('entering', () => {
  it('returns every fault and keeps what was known', async () => {
    const errors = [
      { says: 'left: found nothing', key: 'left' },
      { says: 'bar: found nothing', key: 'bar' },
    ];
    answers(422, { errors });
    testBends.value = null;
    expect(await enter('shelf', PAIR, { id: 'entry-1234', given: {} })).toEqual(errors);
    expect(testBends.value).toBeNull();
  });

  it('says that nothing is lost when nobody answers', async () => {
    answer = () => Promise.reject(new TypeError('no network'));
    const [fault] = await enter('shelf', PAIR, { id: 'entry-1234', given: { pulled: '97' } });
    expect(fault?.says).toContain('What you typed is kept here');
  });

  it('sends the id with it and shows what comes back', async () => {
    answers(200, { kept: 4, pairs: [], sum: 's', today: '', unit: 'mm', cautions: [], how: '' });
    expect(await enter('shelf', PAIR, { id: 'entry-1234', given: { pulled: '97', left: '90' } })).toEqual([]);
    expect(told.value).toContain('test bend 4');
    expect(testBends.value?.kept).toBe(4);
    expect(asked[0]?.url).toBe('http://here/api/jobs/shelf/test-bends');
    expect(await asked[0]?.json()).toMatchObject({ entry_id: 'entry-1234', given: { left: '90' } });
  });
});

describe('what is said of a test bend that was just kept', () => {
  const doubts = [{ number: 4, says: 'Test bend 4 is set aside. Did you mean 105° pulled?' }];

  it('asks at once after one that is odd, and of no other', () => {
    const pairs = [{ doubts }] as unknown as Parameters<typeof keptWords>[0]['pairs'];
    expect(keptWords({ kept: 4, pairs })).toContain('But look again: Test bend 4 is set aside. Did you mean');
    expect(keptWords({ kept: 3, pairs })).toBe('Kept as test bend 3. The job is worked out anew.');
  });
});
