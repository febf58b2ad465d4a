import { describe, expect, it } from 'vitest';
import { distance, isWithin, type Key, meant, pressed, reading } from '../src/bench/keys';

const typed = (keys: string) => [...keys].reduce((text, key) => pressed(text, key as Key), '');

describe('large keys', () => {
  it.each([
    ['89.5', '89.5'],
    ['.5', '0.5'],
    ['8..5', '8.5'],
    ['007', '7'],
    ['9±', '−9'],
    ['9±±', '9'],
    ['±9', '−9'],
    ['98⌫9', '99'],
    ['5±⌫', ''],
    ['⌫', ''],
    ['1/16', '1/16'],
    ['1 1/16', '1 1/16'],
    ['/', ''],
    [' ', ''],
    ['1//2', '1/2'],
    ['1.5/', '1.5'],
    ['12345678901', '123456789'],
  ])('%s gives %s', (keys, text) => {
    expect(typed(keys)).toBe(text);
  });

  it('reads what is whole, and nothing else', () => {
    expect(reading('89.5')).toBe(89.5);
    expect(reading('−12')).toBe(-12);
    expect(reading('89.')).toBe(89);
    for (const text of ['', '−', '.', '1/2', 'x']) expect(reading(text)).toBeNull();
  });

  it('knows a distance that can be sent', () => {
    expect(['1', '1.5', '−1', '1/16', '−1 1/16', '2.'].map(distance)).toEqual([1, 1.5, -1, 0.0625, -1.0625, 2]);
    for (const text of ['', '−', '1/', '1 ', '1 1', '1/0']) expect(distance(text)).toBeNull();
  });
});

describe('did you mean', () => {
  const around = (drawn: number) => ({ least: drawn - 5, most: drawn + 5 });

  it.each([
    ['98', 90, ['89']], // figures the wrong way round
    ['120', 60, ['60']], // read off the other leg
    ['895', 90, ['89.5']], // a point was missed
    ['−90', 90, ['90']], // the sign
    ['35', 90, []], // nothing near: it may be so
  ])('%s where %d is drawn', (text, drawn, expected) => {
    expect(meant(text, around(drawn))).toEqual(expected);
  });

  it.each([
    ['25', 5, ['2.5']], // a point was missed
    ['−18', 5, ['−1.8']],
    ['120', 5, []],
    ['1 1/2', 0.25, []],
  ])('%s off the mark where %d is not asked about', (text, most, expected) => {
    const span = { least: -most, most };
    expect(meant(text, span, 'off')).toEqual(expected);
  });

  it('takes a distance for no angle: nobody reads it off the other leg of a finder', () => {
    expect(meant('178', { least: -5, most: 5 }, 'off')).toEqual([]);
    expect(meant('178', { least: -5, most: 5 }, 'rotation')).toEqual(['2']);
  });

  it('never offers what is as far off itself', () => {
    for (let got = 1; got < 200; got += 1) {
      for (const one of meant(String(got), around(90))) expect(isWithin(Number(one), around(90))).toBe(true);
    }
  });
});
