// The papers of the job that is open: which paper, what it looks like, saving beside the job; files for other programs.
import { client, got, Refused, Unreachable } from '../api';
import type { components } from '../api.gen';

export type Papers = components['schemas']['PapersOut'];
export type Paper = components['schemas']['PaperOut'];
export type Saved = components['schemas']['PapersSaved'];
export type Models = components['schemas']['ModelsOut'];
export type Size = Papers['size'];
export type PaperKind = Paper['kind'];
export type ModelKind = Models['kind'];

export interface Told<K> {
  kind: K;
  title: string;
  about: string;
}

/** `full`: at 1:1, worth nothing when it was printed smaller. */
export const PAPERS: readonly (Told<PaperKind> & { full: boolean })[] = [
  {
    kind: 'sheets',
    title: 'Shop sheets',
    about: 'What to cut, the marks, and the work at the bender step by step.',
    full: false,
  },
  { kind: 'strips', title: 'Marking strips', about: 'At 1:1: cut out, join, tape along the bar.', full: true },
  {
    kind: 'gauges',
    title: 'Angle gauges',
    about: 'At 1:1: one for the pull, one for what must be left.',
    full: true,
  },
  {
    kind: 'full-size',
    title: 'Full-size layouts',
    about: 'At 1:1: tape the pages together, lay the piece on.',
    full: true,
  },
  {
    kind: 'proof-load',
    title: 'Proof load',
    about: 'What to hang where, what to measure, when to reject: before the frame is trusted.',
    full: false,
  },
  {
    kind: 'measuring',
    title: 'Measuring',
    about: 'What the frame must fit: points, readings, stays, room to be left.',
    full: false,
  },
  {
    kind: 'small-parts',
    title: 'Small parts',
    about: 'At 1:1: wraps for ends that sit on a bar, tabs to cut and drill.',
    full: true,
  },
  {
    kind: 'brackets',
    title: 'Brackets',
    about: 'At 1:1: flat bar with its bend lines and holes, and the work at the V-block.',
    full: true,
  },
  {
    kind: 'welding',
    title: 'Welding',
    about: 'What to clamp, tacks, the order of the welds, filler and heat.',
    full: false,
  },
  {
    kind: 'finish',
    title: 'Finish',
    about: 'What to clean, mask and vent, coats and times, bolts that must not touch.',
    full: false,
  },
  {
    kind: 'buying',
    title: 'Buying list',
    about: 'What to buy with masses and prices, and how every bar is cut.',
    full: false,
  },
  {
    kind: 'booklet',
    title: 'Booklet',
    about: 'Everything to read, bound into one: what to buy, the pieces, small parts, welding, finish, proof load.',
    full: false,
  },
  { kind: 'benders', title: 'Benders', about: 'Your benders with every size, to measure and correct.', full: false },
];

export const MODELS: readonly Told<ModelKind>[] = [
  { kind: 'step', title: 'STEP', about: 'solids for CAD: every piece, and the frame with all its copies' },
  { kind: 'dxf', title: 'DXF', about: 'views at 1:1 and flat patterns, for CAD and cutters' },
  { kind: 'stl', title: 'STL', about: 'pieces, angle gauges and saddles for a 3D printer' },
  { kind: 'glb', title: 'GLB', about: 'to look at in a 3D viewer' },
  { kind: 'csv', title: 'CSV', about: 'bend tables, marks and steps for a spreadsheet' },
  { kind: 'svg', title: 'SVG', about: 'the views at 1:1, for drawing programs' },
];

export const ALL: readonly PaperKind[] = PAPERS.map((one) => one.kind);

export function papersOf(name: string): Promise<Papers> {
  return got(client.GET('/api/jobs/{name}/papers', { params: { path: { name } } }));
}

export function setPaper(name: string, kind: PaperKind, size: Size): Promise<Paper> {
  return got(client.GET('/api/jobs/{name}/papers/{kind}', { params: { path: { name, kind }, query: { size } } }));
}

export function savePapers(
  name: string,
  size: Size,
  kinds: readonly PaperKind[],
  replace: readonly string[],
): Promise<Saved> {
  const body = { size, kinds: [...kinds], replace: [...replace] };
  return got(client.POST('/api/jobs/{name}/papers/save', { params: { path: { name } }, body }));
}

export function makeModels(name: string, kind: ModelKind): Promise<Models> {
  return got(client.GET('/api/jobs/{name}/models/{kind}', { params: { path: { name, kind } } }));
}

/** Address of a page as a picture; `state` tells one state of the job from the next. */
export function pageAddress(name: string, kind: PaperKind, number: number, size: Size, state: string): string {
  const query = new URLSearchParams({ size, state });
  return `/api/jobs/${encodeURIComponent(name)}/papers/${kind}/pages/${number}?${query}`;
}

export function pdfAddress(name: string, kind: PaperKind, size: Size): string {
  return `/api/jobs/${encodeURIComponent(name)}/papers/${kind}/pdf?${new URLSearchParams({ size })}`;
}

export function modelAddress(name: string, kind: ModelKind, file?: string): string {
  const start = `/api/jobs/${encodeURIComponent(name)}/models/${kind}`;
  return file === undefined ? `${start}/zip` : `${start}/files/${encodeURIComponent(file)}`;
}

/** What to say of an error. */
export function said(error: unknown): string {
  if (error instanceof Unreachable) return 'Bentwork does not answer. Is it still running in its terminal?';
  if (error instanceof Refused) return error.message;
  throw error;
}

/** The size of a file as people say it. */
export function inBytes(bytes: number): string {
  if (bytes < 1000) return `${bytes} bytes`;
  return bytes < 1e6 ? `${Math.round(bytes / 1e3)} kB` : `${(bytes / 1e6).toFixed(1)} MB`;
}
