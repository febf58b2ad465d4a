// Places that have a field on the page: what is wrong with them is said there.
import type { Fault } from '../api';
import { type Place, placeOf, within } from './place';

const shown = new Map<string, number>();

export const isShown = (place: string): boolean => shown.has(place);

/** Say that faults of a place are shown on the page; returns what takes that back. */
export function showsFaults(path: Place): () => void {
  const place = placeOf(path);
  shown.set(place, (shown.get(place) ?? 0) + 1);
  return () => {
    const left = (shown.get(place) ?? 1) - 1;
    if (left) shown.set(place, left);
    else shown.delete(place);
  };
}

/**
 * A fault in the words of the page: its fields want neither the quotes nor the brackets of the file. One in a part of what
 * was typed in one field, such as the second of three lengths, stands under that field. `typed` names the fields.
 */
export function onThePage(fault: Fault, typed: readonly string[] = []): Fault {
  const { key } = fault;
  const found = bare(fault.found);
  const wanted = bare(fault.wanted)
    .replace(' in brackets', '')
    .replace(/\[([^[\]]*)\]/g, '$1');
  if (!key || isShown(key)) return { ...fault, found, wanted };
  const home = typed.find((place) => place.length < key.length && within(place, key) && isShown(place));
  return home
    ? { ...fault, found, key: home, wanted: `${wanted}, not ${found || 'nothing'}` }
    : { ...fault, found, wanted };
}

const bare = (text: string | null | undefined): string => (text ?? '').replace(/"([^"]*)"/g, '$1');
