// What the page shows is in its address, so that going back and reloading work.
import { signal } from '@preact/signals';

export type Section =
  | 'shape'
  | 'steps'
  | 'carry'
  | 'measure'
  | 'parts'
  | 'buy'
  | 'weld'
  | 'findings'
  | 'test-bends'
  | 'papers'
  | 'file';
export const SECTIONS: readonly Section[] = [
  'shape',
  'steps',
  'carry',
  'measure',
  'parts',
  'buy',
  'weld',
  'findings',
  'test-bends',
  'papers',
  'file',
];

export type Hand = 'left' | 'right';

export type Address =
  | { at: 'jobs' }
  | { at: 'job'; job: string; section: Section }
  | { at: 'bench'; job: string; piece: string; hand: Hand | null; number: number };

export function read(path: string): Address {
  const [first, job, more, ...bar] = path.split('/').filter(Boolean).map(decode);
  if (first === 'job' && job) return { at: 'job', job, section: SECTIONS.find((one) => one === more) ?? 'shape' };
  if (first === 'bench' && job) {
    const hand = bar.find((one) => one === 'left' || one === 'right') ?? null;
    const number = bar.map(Number).find((one) => Number.isInteger(one) && one > 0) ?? 1;
    return { at: 'bench', job, piece: more ?? '', hand: hand as Hand | null, number };
  }
  return { at: 'jobs' };
}

export function written(address: Address): string {
  if (address.at === 'job') return `/job/${encodeURIComponent(address.job)}/${address.section}`;
  if (address.at === 'bench') {
    const { job, piece, hand, number } = address;
    const parts = piece ? [job, piece, hand ?? '', number > 1 ? String(number) : ''] : [job];
    return `/bench/${parts.filter(Boolean).map(encodeURIComponent).join('/')}`;
  }
  return '/';
}

function decode(part: string): string {
  try {
    return decodeURIComponent(part);
  } catch {
    return part;
  }
}

export const address = signal<Address>(read(location.pathname));

export function go(to: Address, replace = false): void {
  history[replace ? 'replaceState' : 'pushState'](null, '', written(to));
  address.value = to;
}

/** Follow the browser's own back and forward, and links of ours. */
export function followAddress(): void {
  addEventListener('popstate', () => {
    address.value = read(location.pathname);
  });
  document.addEventListener('click', (event) => {
    const link = event.target instanceof Element ? event.target.closest('a[href^="/"]') : null;
    const plain = event.button === 0 && !event.metaKey && !event.ctrlKey && !event.shiftKey;
    if (!(link instanceof HTMLAnchorElement) || !plain || link.target || link.hasAttribute('download')) return;
    event.preventDefault();
    go(read(new URL(link.href).pathname));
  });
}
