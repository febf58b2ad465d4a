// The tables of the job file as the page changes them: which changes make an insertion, a removal, a move.
import type { Change } from '../api';
import { job } from './job';
import type { Place } from './place';

export type Table = Readonly<Record<string, unknown>>;

export function isTable(value: unknown): value is Table {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

/** The tables of one sort in the file, by name. */
export function tables(sort: string): readonly (readonly [name: string, table: Table])[] {
  const found = job.value?.data[sort];
  return isTable(found) ? Object.entries(found).filter((one): one is [string, Table] => isTable(one[1])) : [];
}

export function list(value: unknown): readonly unknown[] {
  return Array.isArray(value) ? value : [];
}

export const set = (path: Place, value: unknown): Change => ({ path: [...path], value });
export const insert = (path: Place, value: unknown): Change => ({ path: [...path], value, how: 'insert' });
export const move = (path: Place, to: number): Change => ({ path: [...path], value: to, how: 'move' });
export const remove = (path: Place): Change => ({ path: [...path], how: 'remove' });

/** A name that is not taken: the wanted one, or with a number behind it. */
export function freeName(wanted: string, taken: readonly string[]): string {
  const known = new Set(taken.map((name) => name.toLowerCase()));
  for (let number = 1; ; number += 1) {
    const name = number === 1 ? wanted : `${wanted} ${number}`;
    if (!known.has(name.toLowerCase())) return name;
  }
}

/** The index in ``radius`` of the corner at a point; null at the ends of an open piece. */
export function cornerAt(point: number, count: number, closed: boolean): number | null {
  if (closed) return point;
  return point > 0 && point < count - 1 ? point - 1 : null;
}

interface Corners {
  path: Place;
  table: Table;
}

function parts({ table }: Corners) {
  const points = list(table.points);
  return { points, radii: Array.isArray(table.radius) ? table.radius : null, closed: table.closed === true };
}

/** A new corner point before the one of this index; one beyond the last adds it at the end. */
export function insertPoint(corners: Corners, index: number, point: unknown): readonly Change[] {
  const { points, radii, closed } = parts(corners);
  const changes = [insert([...corners.path, 'points', index], point)];
  if (radii) {
    const corner = cornerAt(index, points.length + 1, closed) ?? (index === 0 ? 0 : radii.length);
    changes.push(insert([...corners.path, 'radius', corner], radii[Math.min(corner, radii.length - 1)] ?? 0));
  }
  return changes;
}

export function removePoint(corners: Corners, index: number): readonly Change[] {
  const { points, radii, closed } = parts(corners);
  const changes = [remove([...corners.path, 'points', index])];
  if (radii?.length) {
    const corner = cornerAt(index, points.length, closed) ?? (index === 0 ? 0 : radii.length - 1);
    changes.push(remove([...corners.path, 'radius', corner]));
  }
  return changes;
}

/** Put a point one place further up or down; its radius goes with it. */
export function movePoint(corners: Corners, index: number, by: 1 | -1): readonly Change[] {
  const { points, radii, closed } = parts(corners);
  const changes = [move([...corners.path, 'points', index], index + by)];
  const [from, to] = [cornerAt(index, points.length, closed), cornerAt(index + by, points.length, closed)];
  if (radii && from !== null && to !== null) changes.push(move([...corners.path, 'radius', from], to));
  return changes;
}

/**
 * The radius of one corner: a list of its own for every corner as soon as one differs. Left empty it is the usual one,
 * that of the bender; where every corner has that, the file says nothing of radii.
 */
export function setRadius(corners: Corners, corner: number, value: unknown, usual: unknown): readonly Change[] {
  const { points, radii, closed } = parts(corners);
  const count = closed ? points.length : points.length - 2;
  const all = [...(radii ?? Array.from({ length: count }, () => corners.table.radius ?? usual))];
  all[corner] = value ?? usual;
  if (value === undefined || !radii) return toRadii(corners, all, value === undefined ? usual : null);
  return [set([...corners.path, 'radius', corner], value)];
}

/** Make a piece a closed one, or an open one; the points at its ends become corners or are none any more. */
export function setClosed(corners: Corners, closed: boolean, usual: unknown): readonly Change[] {
  const { radii } = parts(corners);
  const changes = [set([...corners.path, 'closed'], closed)];
  if (!closed && corners.table.seam !== undefined) changes.push(remove([...corners.path, 'seam']));
  if (!radii || closed === parts(corners).closed) return changes;
  const all = closed ? [usual ?? radii[0], ...radii, usual ?? radii.at(-1)] : radii.slice(1, -1);
  return [...changes, ...toRadii(corners, all, usual)];
}

/** Radii for all corners; none are written where all are the usual one. */
function toRadii({ path, table }: Corners, all: readonly unknown[], usual: unknown): readonly Change[] {
  if (all.some((one) => one !== usual)) return [set([...path, 'radius'], all)];
  return table.radius === undefined ? [] : [remove([...path, 'radius'])];
}

/** A new bend before one of this index, with the straight before it. */
export function insertBend(path: Place, table: Table, index: number): readonly Change[] {
  const [straights, bends] = [list(table.straights), list(table.bends)];
  const like = list(bends[Math.min(index, bends.length - 1)]);
  const bend = like.length ? [like[0], 90, 0] : [];
  const straight = straights[Math.min(index, straights.length - 1)] ?? 100;
  return [insert([...path, 'straights', index], straight), insert([...path, 'bends', index], bend)];
}

export function removeBend(path: Place, index: number): readonly Change[] {
  return [remove([...path, 'straights', index]), remove([...path, 'bends', index])];
}

export function moveBend(path: Place, index: number, by: 1 | -1): readonly Change[] {
  return [move([...path, 'bends', index], index + by)];
}
