import { expect, test } from 'vitest';
import { barsOf, lengthsOf, massOf } from '../src/state/buy';

test('lengths of offcuts as they are typed', () => {
  expect(lengthsOf('820, 300;300')).toEqual([820, 300, 300]);
  expect(lengthsOf('12 5/16 in, 40.5')).toEqual(['12 5/16 in', 40.5]);
  expect(lengthsOf(' , ')).toEqual([]);
});

test('bars on sale as they are typed', () => {
  expect(barsOf('6000 at 26.50, 1000')).toEqual([{ length: 6000, price: 26.5 }, { length: 1000 }]);
  expect(barsOf('20 ft at 31')).toEqual([{ length: '20 ft', price: 31 }]);
});

test('a weight as it is typed', () => {
  expect(massOf('1,92')).toBe(1.92);
  expect(massOf(' 1.31 ')).toBe(1.31);
  for (const wrong of ['', 'heavy', '-1', '0', '9999']) expect(massOf(wrong)).toBeNull();
});
