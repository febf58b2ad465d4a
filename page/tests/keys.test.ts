import { beforeEach, describe, expect, it } from 'vitest';
import type { Job } from '../src/api';
import { madeChanges, placedChanges } from '../src/state/holes';
import { job } from '../src/state/job';
import { addRow, keyChange, takeRow, valuesOf } from '../src/state/keys';
import { cutFrom, placed } from '../src/state/tabs';

function open(data: Record<string, unknown>): void {
  job.value = { name: 'j', sum: 's', text: '', units: 'mm', data } as unknown as Job;
}

beforeEach(() => open({}));

describe('a key of a table', () => {
  it('is set alone, its table there or not: a whole table would write over a key typed a moment before', () => {
    expect(keyChange(['finish', 'colour'], 'green')).toEqual([{ path: ['finish', 'colour'], value: 'green' }]);
    open({ piece: { deck: {} } });
    const gap = ['piece', 'deck', 'tolerance', 'gap'];
    expect(keyChange(gap, 1)).toEqual([{ path: gap, value: 1 }]);
  });

  it('is set and taken out where the table is there', () => {
    open({ finish: { colour: 'green' } });
    expect(keyChange(['finish', 'colour'], 'red')).toEqual([{ path: ['finish', 'colour'], value: 'red' }]);
    expect(keyChange(['finish', 'colour'], undefined)).toEqual([{ path: ['finish', 'colour'], how: 'remove' }]);
    expect(keyChange(['finish', 'system'], undefined)).toEqual([]);
  });

  it('takes a table in braces along when it was the last', () => {
    open({ piece: { deck: { tolerance: { gap: 1 }, trim: 2 } } });
    expect(keyChange(['piece', 'deck', 'tolerance', 'gap'], undefined)).toEqual([
      { path: ['piece', 'deck', 'tolerance'], how: 'remove' },
    ]);
    open({ tab: { eye: { off: [0, 0, 1] } } });
    expect(keyChange(['tab', 'eye', 'off'], undefined)).toEqual([{ path: ['tab', 'eye', 'off'], how: 'remove' }]);
  });

  it('of the whole job stands at its top', () => {
    expect(keyChange(['name'], 'rack')).toEqual([{ path: ['name'], value: 'rack' }]);
  });
});

describe('rows', () => {
  it('are added and taken out, the list with the last of them', () => {
    open({ piece: { cradle: {} } });
    const holes = ['piece', 'cradle', 'holes'];
    expect(addRow(holes, { along: 5 })).toEqual([{ path: holes, value: [{ along: 5 }] }]);
    open({ piece: { cradle: { holes: [{ along: 5 }] } } });
    expect(addRow(holes, { along: 9 })).toEqual([{ path: [...holes, 1], value: { along: 9 }, how: 'insert' }]);
    expect(takeRow(holes, 0)).toEqual([{ path: holes, how: 'remove' }]);
    open({ piece: { cradle: { holes: [{ along: 5 }, { along: 9 }] } } });
    expect(takeRow(holes, 0)).toEqual([{ path: [...holes, 0], how: 'remove' }]);
  });
});

describe('several values in one field', () => {
  it.each([
    ['0, 0, 1', [0, 0, 1]],
    ['0 0 1', [0, 0, 1]],
    ['0,5; 1; -2,25', [0.5, 1, -2.25]],
    ['3 5/16, 1/2, 12 mm', ['3 5/16', '1/2', '12 mm']],
    ['', []],
  ])('%s', (text, values) => expect(valuesOf(text)).toEqual(values));
});

describe('a hole', () => {
  const at = ['piece', 'cradle', 'holes', 0];
  const put = (key: string, value: unknown) => ({ path: [...at, key], value });
  const gone = (key: string) => ({ path: [...at, key], how: 'remove' });

  it('keeps its size when it is placed another way', () => {
    expect(placedChanges(at, { along: 14, diameter: 5, slot: 22 }, 'side')).toEqual([put('side', 1)]);
    expect(placedChanges(at, { side: 2, along: 45, across: 12, diameter: 'M6' }, 'at')).toEqual([
      put('at', [0, 0, 0]),
      gone('along'),
      gone('side'),
      gone('across'),
    ]);
    expect(placedChanges(at, { at: [1, 2, 3], diameter: 6 }, 'along')).toEqual([put('along', 25), gone('at')]);
  });

  it('keeps its place when it is made another way', () => {
    expect(madeChanges(at, { along: 14, diameter: 'M5' }, 'thread')).toEqual([put('thread', 'M5'), gone('diameter')]);
    expect(madeChanges(at, { along: 14, thread: 'M5' }, 'hole')).toEqual([put('diameter', 'M5'), gone('thread')]);
    expect(madeChanges(at, { along: 14, diameter: 5 }, 'slot')).toEqual([put('slot', 20)]);
    expect(madeChanges(at, { along: 14, diameter: 5, slot: 22, runs: 'across' }, 'hole')).toEqual([
      gone('slot'),
      gone('runs'),
    ]);
  });
});

describe('a tab', () => {
  const fixing = { left: { piece: 'hoop', at: [70, 188, 30], along: [0, 1, 0] } };
  it('goes from a fixing to its place, and back', () => {
    open({ fixing, tab: {} });
    expect(placed('foot', { fixing: 'left', hole: 'M8' }, 'at')).toEqual([
      { path: ['tab', 'foot', 'fixing'], how: 'remove' },
      { path: ['tab', 'foot', 'at'], value: [[70, 188, 30]] },
      { path: ['tab', 'foot', 'piece'], value: 'hoop' },
      { path: ['tab', 'foot', 'axis'], value: [0, 1, 0] },
    ]);
    expect(placed('foot', { piece: 'hoop', at: [1, 2, 3] }, 'fixing')).toEqual([
      { path: ['tab', 'foot', 'at'], how: 'remove' },
      { path: ['tab', 'foot', 'fixing'], value: ['left'] },
    ]);
    expect(placed('foot', { at: [1, 2, 3] }, 'at')).toEqual([]);
  });

  it('takes over the sizes of the flat bar that it was cut from', () => {
    open({ stock: { lug: { section: 'flat', width: 30, height: 6, material: 'S355' } } });
    expect(cutFrom('foot', { stock: 'lug' }, '')).toEqual([
      { path: ['tab', 'foot', 'stock'], how: 'remove' },
      { path: ['tab', 'foot', 'thickness'], value: 6 },
      { path: ['tab', 'foot', 'material'], value: 'S355' },
      { path: ['tab', 'foot', 'width'], value: 30 },
    ]);
    expect(cutFrom('foot', { thickness: 5, material: 'S235' }, 'lug')).toEqual([
      { path: ['tab', 'foot', 'thickness'], how: 'remove' },
      { path: ['tab', 'foot', 'material'], how: 'remove' },
      { path: ['tab', 'foot', 'stock'], value: 'lug' },
    ]);
  });
});
