// Places in the job file: how they are named, and which lies in which.
export type Place = readonly (string | number)[];

const BARE = /^[A-Za-z0-9_-]{1,60}$/;

/** A place as the server names it in its faults: elements count from 1. */
export function placeOf(path: Place): string {
  let words = '';
  for (const key of path) {
    if (typeof key === 'number') words += `[${key + 1}]`;
    else words += `${words ? '.' : ''}${BARE.test(key) ? key : `"${key}"`}`;
  }
  return words;
}

/** Whether one place is the other or lies in it. */
export function within(one: string, other: string): boolean {
  const [short, long] = one.length < other.length ? [one, other] : [other, one];
  return short === long || (long.startsWith(short) && '.['.includes(long[short.length] ?? ' '));
}
