import { describe, expect, it } from 'vitest';
import { ALL, inBytes, modelAddress, PAPERS, pageAddress, pdfAddress } from '../src/state/papers';

describe('addresses of papers', () => {
  it('keep a name with slashes and signs in one part', () => {
    for (const address of [
      pdfAddress('a/b? #c', 'sheets', 'a4'),
      pageAddress('a/b? #c', 'sheets', 1, 'a4', 'x'),
      modelAddress('a/b? #c', 'step'),
    ]) {
      expect(new URL(address, 'http://here').pathname.split('/')[3]).toBe('a%2Fb%3F%20%23c');
    }
    expect(modelAddress('x', 'csv', '../y')).toBe('/api/jobs/x/models/csv/files/..%2Fy');
  });

  it('ask for the page and the size of paper', () => {
    const address = new URL(pageAddress('shelf', 'full-size', 3, 'letter', 'now'), 'http://here');
    expect(address.pathname).toBe('/api/jobs/shelf/papers/full-size/pages/3');
    expect(address.searchParams.get('size')).toBe('letter');
  });
});

describe('papers', () => {
  it('are saved all of them, the benders too', () => {
    expect(ALL).toEqual(PAPERS.map((one) => one.kind));
    expect(ALL).toContain('benders');
  });
});

describe('the size of a file', () => {
  it('is said as people say it', () => {
    expect([0, 999, 1000, 47_300, 2_340_000].map(inBytes)).toEqual(['0 bytes', '999 bytes', '1 kB', '47 kB', '2.3 MB']);
  });
});
