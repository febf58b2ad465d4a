// One key of the job file as the page changes it, whether its table is there yet or not; and rows of a list.
import type { Change } from '../api';
import { job } from './job';
import type { Place } from './place';
import { insert, isTable, list, remove, set } from './tables';
import { typedValue } from './typed';

/** What stands at a place of the file; undefined where nothing does. */
export function standsAt(path: Place): unknown {
  return path.reduce<unknown>(
    (here, key) => (here === null || typeof here !== 'object' ? undefined : (here as Record<string, unknown>)[key]),
    job.value?.data,
  );
}

/**
 * The change of a key. The server makes a table that is not there, so that two keys typed in one moment both stand;
 * a table written in braces goes with its last key.
 * A value of undefined takes the key out.
 */
export function keyChange(path: Place, value: unknown): readonly Change[] {
  if (value !== undefined) return [set(path, value)];
  const around = path.slice(0, -1);
  const table = standsAt(around);
  if (standsAt(path) === undefined) return [];
  const alone = around.length > 2 && isTable(table) && Object.keys(table).length === 1;
  return [remove(alone ? around : path)];
}

/** One more row at the end of a list that may not be there yet. */
export function addRow(path: Place, row: unknown): readonly Change[] {
  const there = list(standsAt(path));
  return there.length ? [insert([...path, there.length], row)] : keyChange(path, [row]);
}

/** A row taken out; the list goes with its last one. */
export function takeRow(path: Place, index: number): readonly Change[] {
  return list(standsAt(path)).length > 1 ? [remove([...path, index])] : keyChange(path, undefined);
}

/** Several values as they are typed in one field: apart by commas, or by semicolons where a comma stands in a number. */
export function valuesOf(text: string): (number | string)[] {
  const spaced =
    !/[,;]/.test(text) &&
    text
      .trim()
      .split(/\s+/)
      .every((one) => typeof typedValue(one) === 'number');
  return text
    .split(spaced ? /\s+/ : text.includes(';') ? ';' : ',')
    .map((one) => one.trim())
    .filter(Boolean)
    .map(typedValue);
}
