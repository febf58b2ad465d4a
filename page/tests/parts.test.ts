// What the page writes into the file for crossbars, tabs and blocks.
import { beforeEach, describe, expect, it } from 'vitest';
import type { Job } from '../src/api';
import { job } from '../src/state/job';
import { blocksChange, newCrossbar, newTab } from '../src/state/parts';
import { withoutPiece } from '../src/state/without-piece';

function has(data: Record<string, unknown>, units: 'mm' | 'in' = 'mm'): void {
  job.value = { data, units } as unknown as Job;
}

describe('spacer blocks', () => {
  beforeEach(() => has({}));

  it('are set where there is no table of the shop', () => {
    expect(blocksChange('1, 2; 1/2 in')).toEqual([{ path: ['shop', 'blocks'], value: [1, 2, '1/2 in'] }]);
  });

  it('go into the table that is there, and out of it', () => {
    has({ shop: { kerf: 2, blocks: [1] } });
    expect(blocksChange('5')).toEqual([{ path: ['shop', 'blocks'], value: [5] }]);
    expect(blocksChange(undefined)).toEqual([{ path: ['shop', 'blocks'], how: 'remove' }]);
  });

  it('that are not there are not taken out', () => {
    expect(blocksChange('')).toEqual([]);
  });
});

describe('new ones', () => {
  it('crossbars take a free name and the first stock', () => {
    has({ stock: { rod: {} }, piece: { rung: {} }, crossbar: {} });
    const [change] = newCrossbar([
      ['loop', 1],
      ['loop', 5],
    ]);
    expect(change?.path).toEqual(['crossbar', 'rung 2']);
    expect(change?.value).toEqual({
      stock: 'rod',
      between: [
        ['loop', 1],
        ['loop', 5],
      ],
      count: 3,
      ends: 'butted',
    });
  });

  it('a tab takes flat bar where the job has some', () => {
    has({ stock: { rod: { section: 'round' }, strap: { section: 'flat' } } });
    expect(newTab('loop', [0, 0, -30], [0, 1, 0])[0]?.value).toMatchObject({ stock: 'strap', hole: 'M6' });
    has({ stock: { rod: { section: 'round', material: '6082-T6' } } }, 'in');
    expect(newTab('loop', [0, 0, -1], [0, 1, 0])[0]?.value).toMatchObject({ thickness: '3/16', material: '6082-T6' });
  });
});

describe('what goes with a piece', () => {
  const data = {
    piece: { loop: {}, stay: {} },
    fixing: { foot: { piece: 'stay' }, wall: { piece: 'loop' } },
    tab: { ear: { fixing: ['foot'] }, lug: { piece: 'loop' } },
    crossbar: { rung: { between: [['loop', 1]] }, brace: { between: [['stay', 1]] } },
    payload: { on: ['rung', 'brace'], mass: 1 },
  };

  it('tabs at its fixings and crossbars on it', () => {
    expect(withoutPiece(data, 'stay').map((one) => one.path.join('.'))).toEqual([
      'piece.stay',
      'fixing.foot',
      'tab.ear',
      'crossbar.brace',
    ]);
  });

  it('crossbars leave the payload', () => {
    expect(withoutPiece(data, 'rung', 'crossbar')).toEqual([
      { path: ['crossbar', 'rung'], how: 'remove' },
      { path: ['payload', 'on'], value: ['brace'] },
    ]);
  });
});
