// What the maker has chosen on the page: a piece, perhaps a bend or a straight of it.
import { signal } from '@preact/signals';

export interface Chosen {
  piece: string;
  asDrawn: boolean;
  run: { kind: 'bend' | 'straight'; number: number } | null;
}

export const chosen = signal<Chosen | null>(null);
/** Raised each time the camera shall move to what is chosen. */
export const showMe = signal(0);

export function choose(piece: string, run: Chosen['run'] = null, asDrawn = true): void {
  chosen.value = { piece, asDrawn, run };
}

export function show(piece: string, run: Chosen['run'] = null): void {
  choose(piece, run);
  showMe.value += 1;
}
