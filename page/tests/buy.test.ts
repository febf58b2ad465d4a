import { expect, test } from 'vitest';
import { barsOf, lengthsOf, massOf } from '../src/state/buy';

test('lengths of offcuts as they are typed', () => {
  expect(lengthsOf('820, 300, 300')).toEqual([820, 300, 300]);
  expect(lengthsOf('820;300; 12,5')).toEqual([820, 300, 12.5]);
  expect(lengthsOf('50,20,20,10')).toEqual([50, 20, 20, 10]);
  expect(lengthsOf('12,5, 14')).toEqual([12.5, 14]);
  expect(lengthsOf('820')).toEqual([820]);
  expect(lengthsOf('12 5/16 in, 40.5')).toEqual(['12 5/16 in', 40.5]);
  expect(lengthsOf(' , ')).toEqual([]);
  expect(lengthsOf('50,20 ')).toBe('50,20'); // 50.2, or 50 and 20: the server asks
});

test('bars on sale as they are typed', () => {
  expect(barsOf('6000 at 26.50, 1000')).toEqual([{ length: 6000, price: 26.5 }, { length: 1000 }]);
  expect(barsOf('6000 at 26,50, 1000')).toEqual([{ length: 6000, price: 26.5 }, { length: 1000 }]);
  expect(barsOf('20 ft at 31')).toEqual([{ length: '20 ft', price: 31 }]);
});

test('a weight as it is typed', () => {
  expect(massOf('1,92')).toBe(1.92);
  expect(massOf(' 1.31 ')).toBe(1.31);
  expect(massOf('10', 0.45359237)).toBeCloseTo(4.5359237, 9); // pounds
  for (const wrong of ['', 'heavy', '-1', '0', '9999']) expect(massOf(wrong)).toBeNull();
});
