// A tab as the file has it: at places or at fixings, of a flat bar or of sizes of its own, with a hole or a thread.
import type { Change } from '../api';
import { job } from './job';
import { list, remove, set, type Table, tables } from './tables';

/** The choice of no stock: sizes of its own. */
export const OWN_SIZES = '';

/** From places to fixings, and back to where these are. */
export function placed(name: string, table: Table, how: string): readonly Change[] {
  const path = (key: string) => ['tab', name, key];
  const fixings = tables('fixing');
  if ((how === 'fixing') === (table.fixing !== undefined)) return [];
  if (how === 'fixing') {
    const on = fixings.find(([, one]) => one.piece === table.piece)?.[0] ?? fixings[0]?.[0] ?? '';
    return [remove(path('at')), set(path('fixing'), [on])];
  }
  const names = typeof table.fixing === 'string' ? [table.fixing] : list(table.fixing).map(String);
  const held = fixings.filter(([one]) => names.includes(one)).map(([, one]) => one);
  const places = held.map((one) => [...list(one.at)]);
  const [first] = held;
  const given = [
    ...(table.piece === undefined && first ? [set(path('piece'), first.piece)] : []),
    ...(table.axis === undefined ? [set(path('axis'), first?.along ?? [0, 1, 0])] : []),
    ...(table.hole === undefined && table.thread === undefined ? [set(path('hole'), 'M6')] : []),
  ];
  return [remove(path('fixing')), set(path('at'), places.length ? places : [0, 0, 0]), ...given];
}

/** From a flat stock to sizes of its own, and back. */
export function cutFrom(name: string, table: Table, stock: string): readonly Change[] {
  const path = (key: string) => ['tab', name, key];
  const had = tables('stock').find(([one]) => one === table.stock)?.[1];
  if (stock === OWN_SIZES) {
    const thickness = had?.height ?? (job.value?.units === 'in' ? '3/16' : 5);
    const width = table.width === undefined && had?.width !== undefined ? [set(path('width'), had.width)] : [];
    return [
      ...(table.stock === undefined ? [] : [remove(path('stock'))]),
      set(path('thickness'), thickness),
      set(path('material'), had?.material ?? 'S235'),
      ...width,
    ];
  }
  const gone = ['thickness', 'material', 'width'].filter((key) => table[key] !== undefined);
  return [...gone.map((key) => remove(path(key))), set(path('stock'), stock)];
}

/** From a hole to a thread of the same bolt, and back. */
export function turned(name: string, table: Table): readonly Change[] {
  const [from, to] = table.thread === undefined ? ['hole', 'thread'] : ['thread', 'hole'];
  const bolt = typeof table[from] === 'string' ? table[from] : 'M6';
  const taken = table[from] === undefined ? [] : [remove(['tab', name, from])];
  return [...taken, set(['tab', name, to], bolt)];
}
