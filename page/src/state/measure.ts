// What the frame must fit: measured points, stays to them, room to be left. Asked anew with every state of the job.
import { type Change, client, got } from '../api';
import type { components } from '../api.gen';
import { askedOfJob } from './asked-of-job';
import { job } from './job';
import type { Place } from './place';
import { freeName, insert, isTable, list, remove, set, type Table, tables } from './tables';
import { inUnits } from './typed';

export type MeasureOut = components['schemas']['MeasuredOut'];
export type PointOut = components['schemas']['MeasuredPointOut'];
export type KindOut = components['schemas']['ReadingKindOut'];
export type MissingOut = components['schemas']['ReadingMissingOut'];
export type StayOut = components['schemas']['StayOut'];

export const { told, trouble, ask } = askedOfJob((name) =>
  got(client.GET('/api/jobs/{name}/measured', { params: { path: { name } } })),
);

/** The measured table of the file. */
export function measured(): Table {
  const found = job.value?.data.measured;
  return isTable(found) ? found : {};
}

/** Names of the points in the file, in their order. */
export function pointNames(): readonly string[] {
  return list(measured().points)
    .filter(isTable)
    .map((point) => String(point.name ?? ''));
}

/** One more point, sketched beside the last one or in the middle of nothing. */
export function newPoint(): readonly Change[] {
  const points = list(measured().points).filter(isTable);
  const last = points.at(-1);
  const from = list(last?.near ?? last?.at);
  const near = [0, 1, 2].map((axis) => from[axis] ?? 0);
  return append('points', { name: freeName('point', pointNames()), near });
}

/** One more reading of a kind between points; what is not given is the first points of the file. */
export function newReading(kind: KindOut, of: readonly string[] = [], about?: number): readonly Change[] {
  const points = of.length === kind.points ? of : pointNames().slice(0, kind.points);
  if (points.length < kind.points) return [];
  const numbers = Object.fromEntries(kind.numbers.map((key) => [key, about ?? (job.value?.units === 'in' ? 4 : 100)]));
  return append('readings', { kind: kind.kind, of: [...points], ...numbers });
}

/** What another kind makes of a reading: points and numbers that it does not have are left out or filled up. */
export function ofKind(reading: Table, kind: KindOut): Table {
  const had = list(reading.of).map(String);
  const spare = pointNames().filter((one) => !had.includes(one));
  const of = [...had, ...spare].slice(0, kind.points);
  const number = reading.reads ?? reading.off ?? reading.along ?? (job.value?.units === 'in' ? 4 : 100);
  const numbers = Object.fromEntries(kind.numbers.map((key) => [key, reading[key] ?? number]));
  const kept = Object.fromEntries(
    ['accuracy', 'leave_out'].filter((key) => reading[key] !== undefined).map((key) => [key, reading[key]]),
  );
  return { kind: kind.kind, of, ...numbers, ...kept };
}

/** Another name for a point, wherever the file names it. */
export function renamed(number: number, name: string): readonly Change[] {
  const old = pointNames()[number];
  const changes: Change[] = [set(['measured', 'points', number, 'name'], name)];
  if (old === undefined || pointNames().filter((one) => one === old).length > 1) return changes;
  const at = (path: Place, value: unknown): void => {
    if (value === old) changes.push(set(path, name));
    else for (const [k, one] of list(value).entries()) at([...path, k], one);
  };
  for (const [k, one] of list(measured().readings).entries())
    if (isTable(one)) at(['measured', 'readings', k, 'of'], one.of);
  at(['measured', 'pairs'], measured().pairs);
  for (const [stay, table] of tables('stay')) for (const key of ['from', 'to']) at(['stay', stay, key], table[key]);
  return changes;
}

/** A point taken out, and with it what was read of it. */
export function without(number: number): readonly Change[] {
  const name = pointNames()[number];
  const names = (value: unknown): boolean => value === name || list(value).includes(name);
  const changes: Change[] = [];
  for (const key of ['readings', 'pairs']) {
    const rows = list(measured()[key]);
    const gone = rows.flatMap((row, k) => (names(isTable(row) ? row.of : row) ? [k] : []));
    if (gone.length === rows.length && rows.length) changes.push(remove(['measured', key]));
    else for (const k of gone.reverse()) changes.push(remove(['measured', key, k]));
  }
  const alone = pointNames().length === 1;
  return [...changes, remove(alone ? ['measured'] : ['measured', 'points', number])];
}

/** A stay from the first piece to a point. */
export function newStay(point: string): readonly Change[] {
  const piece = tables('piece')[0]?.[0];
  const stock = tables('stock')[0]?.[0];
  const at = told.value?.points.find((one) => one.name === point)?.at_mm ?? [0, 0, 0];
  const from = at.map((value, axis) => inUnits(value + (axis === 2 ? 200 : 0), job.value?.units));
  const free = freeName(
    `stay to ${point}`,
    [...tables('stay'), ...tables('piece')].map(([one]) => one),
  );
  return [set(['stay', free], { ...(stock && { stock }), ...(piece && { piece }), from, to: point })];
}

export function newKeepOut(): readonly Change[] {
  const free = freeName(
    'keep-out',
    tables('keepout').map(([one]) => one),
  );
  const [low, high] = job.value?.units === 'in' ? [0, 4] : [0, 100];
  const range = [low, high];
  const clearance = job.value?.units === 'in' ? '3/8' : 10;
  return [set(['keepout', free], { shape: 'box', x: range, y: [...range], z: [...range], clearance })];
}

export function newOpening(): readonly Change[] {
  const free = freeName(
    'door',
    tables('opening').map(([one]) => one),
  );
  const [width, height] = job.value?.units === 'in' ? [30, 78] : [800, 2000];
  return [set(['opening', free], { width, height })];
}

function append(key: string, item: Table): readonly Change[] {
  const there = list(measured()[key]);
  if (there.length) return [insert(['measured', key, there.length], item)];
  return [set(['measured', key], [item])];
}
