import { expect, test } from 'vitest';
import { shownAs, writtenAs } from '../src/panels/amount';
import { inUnits } from '../src/state/typed';

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

test('a length in the units of the job keeps a hundredth of a millimetre, a thousandth of an inch', () => {
  expect(inUnits(123.456, 'mm')).toBe(123.46);
  expect(inUnits(25.4 * 3.3333, 'in')).toBe(3.333);
  expect(inUnits(50)).toBe(50);
});
