import { describe, expect, it, vi } from 'vitest';

const kept = new Map<string, string>();
vi.stubGlobal('localStorage', {
  getItem: (key: string) => kept.get(key) ?? null,
  setItem: (key: string, value: string) => void kept.set(key, value),
  removeItem: (key: string) => void kept.delete(key),
});
vi.stubGlobal('location', { pathname: '/' });

const { draft, forget, placeOfLine, readDraft, type } = await import('../src/state/file');

describe('the place of a line', () => {
  const text = 'format = 1\n\n[stock.rod]\ndiameter = -12';

  it('is that line and no more', () => {
    expect(text.slice(...placeOfLine(text, 1))).toBe('format = 1');
    expect(text.slice(...placeOfLine(text, 2))).toBe('');
    expect(text.slice(...placeOfLine(text, 4))).toBe('diameter = -12');
  });

  it('stays in the text', () => {
    expect(text.slice(...placeOfLine(text, 99))).toBe('diameter = -12');
    expect(text.slice(...placeOfLine(text, 0))).toBe('format = 1');
    expect(placeOfLine('', 3)).toEqual([0, 0]);
  });
});

describe('what is typed over a file', () => {
  it('is kept until it is saved or thrown away', () => {
    type('shelf', 'typed', 'stands');
    draft.value = null;
    readDraft('shelf');
    expect(draft.value).toBe('typed');
    readDraft('other');
    expect(draft.value).toBeNull();
    readDraft('shelf');
    forget('shelf');
    readDraft('shelf');
    expect(draft.value).toBeNull();
  });

  it('is nothing where it is what stands there', () => {
    type('shelf', 'typed', 'stands');
    type('shelf', 'stands', 'stands');
    expect(draft.value).toBeNull();
    expect(kept.size).toBe(0);
  });
});
