// Dark plate for the workshop, paper for outdoors; the system's choice until the maker makes one.
import { effect, signal } from '@preact/signals';

export type Theme = 'plate' | 'paper';
const KEY = 'bentwork.theme';

function first(): Theme {
  const kept = localStorage.getItem(KEY);
  if (kept === 'plate' || kept === 'paper') return kept;
  return matchMedia('(prefers-color-scheme: light)').matches ? 'paper' : 'plate';
}

export const theme = signal<Theme>(first());

export function turnTheme(): void {
  theme.value = theme.value === 'plate' ? 'paper' : 'plate';
  localStorage.setItem(KEY, theme.value);
}

export function followTheme(): void {
  effect(() => {
    document.documentElement.dataset.theme = theme.value;
  });
}
