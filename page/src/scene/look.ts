// The colours of things in space; those of the tempers are the page's own.
import type { Theme } from '../state/theme';

export interface Colours {
  bar: string;
  opposite: string;
  chosen: string;
  sky: string;
  ground: string;
  tool: string;
  moving: string;
  room: string;
  bench: string;
  edge: string;
  stop: string;
  /** What everything stands before, and the squares on it. */
  back: string;
  squares: string | null;
}

export const COLOURS: Record<Theme, Colours> = {
  plate: {
    bar: '#c3c9cb',
    opposite: '#a5b3a2',
    chosen: '#e8c96a',
    sky: '#eef3f5',
    ground: '#3a3f42',
    tool: '#5f8a94',
    moving: '#8fa79b',
    room: '#7b868c',
    bench: '#6d5a45',
    edge: '#11161a',
    stop: '#ff8f7c',
    back: '#1d2226',
    squares: null,
  },
  paper: {
    bar: '#8d9498',
    opposite: '#7d8f80',
    chosen: '#a4570d',
    sky: '#ffffff',
    ground: '#9c978a',
    tool: '#7f9aa3',
    moving: '#a9c0b3',
    room: '#c2c4bd',
    bench: '#d8c6a5',
    edge: '#3c474c',
    stop: '#c23a26',
    back: '#fbf9f3',
    squares: '#e8e8e5',
  },
};

/** Read a colour of the page's own. */
export function token(name: string): string {
  return getComputedStyle(document.documentElement).getPropertyValue(`--${name}`).trim() || '#888888';
}
