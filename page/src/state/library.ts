// What a job can start from and be made of: the same for every job, fetched once.
import { signal } from '@preact/signals';
import { client, got, type Library } from '../api';

export const library = signal<Library | null>(null);
let asking = false;

export function needLibrary(): void {
  if (asking || library.value) return;
  asking = true;
  void got(client.GET('/api/library'))
    .then(
      (found) => {
        library.value = found;
      },
      () => undefined, // the next one who needs it asks again
    )
    .finally(() => {
      asking = false;
    });
}

/** The materials in groups, in the order of the library. */
export function groups(found: Library): readonly (readonly [group: string, names: readonly string[]])[] {
  const by = new Map<string, string[]>();
  for (const one of found.materials) by.set(one.group, [...(by.get(one.group) ?? []), one.name]);
  return [...by];
}
