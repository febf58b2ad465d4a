// Taking a piece out of the job takes out what names it: fixings, tabs, crossbars and stays on it, joints with it, the payload
// that lies on it.
import type { Change } from '../api';
import { isTable, list, remove, set, type Table } from './tables';

/** Whether a name is that of the piece or of one of its copies, such as `stay left` or `crossbar 2`. */
export function names(piece: string, name: unknown, pieces: readonly string[]): boolean {
  if (name === piece) return true;
  return typeof name === 'string' && name.startsWith(`${piece} `) && !pieces.includes(name);
}

/** The changes that take a piece, crossbars or a stay out of the job. */
export function withoutPiece(data: Table, piece: string, sort: 'piece' | 'crossbar' | 'stay' = 'piece'): Change[] {
  const pieces = Object.keys(isTable(data.piece) ? data.piece : {});
  const is = (name: unknown): boolean => names(piece, name, pieces);
  const found: Change[] = [remove([sort, piece])];
  const gone = new Set<unknown>();
  for (const [name, fixing] of rows(data.fixing)) {
    if (!is(fixing.piece)) continue;
    gone.add(name);
    found.push(remove(['fixing', name]));
  }
  for (const [name, tab] of rows(data.tab)) {
    const fixings = Array.isArray(tab.fixing) ? tab.fixing : [tab.fixing];
    if (is(tab.piece) || fixings.some((one) => gone.has(one))) found.push(remove(['tab', name]));
  }
  for (const [name, bars] of rows(data.crossbar))
    if (name !== piece && list(bars.between).some((side) => is(list(side)[0]))) found.push(remove(['crossbar', name]));
  for (const [name, stay] of rows(data.stay)) if (name !== piece && is(stay.piece)) found.push(remove(['stay', name]));
  for (const [name, joint] of rows(data.joint)) if (list(joint.pieces).some(is)) found.push(remove(['joint', name]));
  const payload = data.payload;
  if (!isTable(payload)) return found;
  const on = list(payload.on);
  const left = on.filter((name) => !is(name));
  if (on.length && !left.length && !list(payload.at).length) return [...found, remove(['payload'])];
  if (left.length < on.length) found.push(left.length ? set(['payload', 'on'], left) : remove(['payload', 'on']));
  const straps = list(payload.straps);
  const hooked = straps.filter((strap) => !(isTable(strap) && is(strap.piece)));
  if (hooked.length < straps.length)
    found.push(hooked.length ? set(['payload', 'straps'], hooked) : remove(['payload', 'straps']));
  return found;
}

function rows(tables: unknown): [string, Table][] {
  return Object.entries(isTable(tables) ? tables : {}).filter((one): one is [string, Table] => isTable(one[1]));
}
