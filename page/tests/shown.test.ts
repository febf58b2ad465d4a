import { describe, expect, it } from 'vitest';
import { onThePage, showsFaults } from '../src/state/shown';
import { inOtherUnits } from '../src/state/typed';

const fault = (key: string, wanted: string, found = '"x"') => ({ key, wanted, found, says: key });

describe('a fault on the page', () => {
  it('wants neither the quotes nor the brackets of the file', () => {
    const told = onThePage(fault('a', 'a length, such as 12.5 or "12.5 mm"'));
    expect([told.wanted, told.found]).toEqual(['a length, such as 12.5 or 12.5 mm', 'x']);
    const point = onThePage(fault('a', 'a point: three lengths in brackets, [x, y, z], such as [400, 0, 120]'));
    expect(point.wanted).toBe('a point: three lengths, x, y, z, such as 400, 0, 120');
  });

  it('stands under the field that it was typed in, with the part that is wrong', () => {
    const gone = showsFaults(['stock', 'rod', 'offcuts']);
    const told = onThePage(fault('stock.rod.offcuts[2]', 'a length above 0', '-82'), ['stock.rod.offcuts']);
    expect([told.key, told.wanted]).toEqual(['stock.rod.offcuts', 'a length above 0, not -82']);
    // Of another field with a longer name it is not.
    expect(onThePage(fault('stock.rod.offcuts2', 'x'), ['stock.rod.offcuts']).key).toBe('stock.rod.offcuts2');
    gone();
    expect(onThePage(fault('stock.rod.offcuts[2]', 'x'), ['stock.rod.offcuts']).key).toBe('stock.rod.offcuts[2]');
  });
});

describe('a typed length in the other units', () => {
  it('keeps its size', () => {
    expect(inOtherUnits('300', 'mm', 'in')).toBe('11.811');
    expect(inOtherUnits('11.811', 'in', 'mm')).toBe('300');
    expect(inOtherUnits('3 5/16', 'in', 'mm')).toBe('84.14'); // 53 sixteenths of 25.4 mm: 84.1375
    expect(inOtherUnits('1/2', 'in', 'mm')).toBe('12.7');
    expect(inOtherUnits('12,7', 'mm', 'in')).toBe('0.5');
  });

  it('stays as it is where it says its unit, or is no number yet', () => {
    for (const text of ['12 mm', '3 5/16 in', '1/', 'far', '1/0']) expect(inOtherUnits(text, 'mm', 'in')).toBe(text);
  });
});
