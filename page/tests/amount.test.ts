import { expect, test } from 'vitest';
import { shownAs, writtenAs } from '../src/panels/amount';

test('a mass of the file is shown under the unit of the job', () => {
  expect(shownAs(12, 'kg', 'kg')).toBe(12);
  expect(shownAs(12, 'lb', 'kg')).toBe('12 kg'); // a bare number is kilograms, whatever the job's units
  expect(shownAs('25 lb', 'lb', 'kg')).toBe('25');
  expect(shownAs('25 lb', 'kg', 'kg')).toBe('25 lb');
  expect(shownAs(undefined, 'lb', 'kg')).toBeUndefined();
});

test('what is typed under a unit goes into the file with it', () => {
  expect(writtenAs(12, 'kg', 'kg')).toBe(12);
  expect(writtenAs(25, 'lb', 'kg')).toBe('25 lb');
  expect(writtenAs('12 kg', 'lb', 'kg')).toBe('12 kg');
  expect(writtenAs(undefined, 'lb', 'kg')).toBeUndefined();
});
