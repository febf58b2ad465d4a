// Places that have a field on the page: what is wrong with them is said there.
import { type Place, placeOf } from './place';

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
