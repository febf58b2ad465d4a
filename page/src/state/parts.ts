// The small parts of the frame: crossbars, the jig for them, tabs. Asked anew with every state of the job.
import { type Change, client, got } from '../api';
import type { components } from '../api.gen';
import { askedOfJob } from './asked-of-job';
import { lengthsOf } from './buy';
import { job } from './job';
import { freeName, isTable, remove, set, tables } from './tables';

export type PartsOut = components['schemas']['PartsOut'];
export type CrossbarsOut = components['schemas']['CrossbarsOut'];
export type RowOut = components['schemas']['RowOut'];
export type TabOut = components['schemas']['TabOut'];
export type CardOut = components['schemas']['PartCardOut'];

export const { told, trouble, ask } = askedOfJob((name) =>
  got(client.GET('/api/jobs/{name}/parts', { params: { path: { name } } })),
);

/** The blocks of the shop as they are typed, "1, 2, 2, 5"; empty takes them out of the file. */
export function blocksChange(text: string | number | undefined): readonly Change[] {
  const blocks = text === undefined ? [] : lengthsOf(String(text));
  const shop = job.value?.data.shop;
  if (blocks.length) return [set(['shop', 'blocks'], blocks)];
  return isTable(shop) && shop.blocks !== undefined ? [remove(['shop', 'blocks'])] : [];
}

/** New crossbars between two sides, three of them, of the thinnest-looking guess: the first stock. */
export function newCrossbar(between: readonly (readonly [string, number])[]): readonly Change[] {
  const free = freeName(
    'rung',
    [...tables('crossbar'), ...tables('piece')].map(([one]) => one),
  );
  const stock = tables('stock')[0]?.[0];
  const made = { ...(stock && { stock }), between: between.map((side) => [...side]), count: 3, ends: 'butted' };
  return [set(['crossbar', free], made)];
}

/** A new tab for an M6 bolt at a place, standing on a piece. */
export function newTab(piece: string, at: readonly unknown[], axis: readonly number[]): readonly Change[] {
  const free = freeName(
    'tab',
    tables('tab').map(([one]) => one),
  );
  const flat = tables('stock').find(([, table]) => table.section === 'flat')?.[0];
  const metal = tables('stock')[0]?.[1].material ?? 'S235';
  const thick = job.value?.units === 'in' ? '3/16' : 5;
  const sizes = flat ? { stock: flat } : { thickness: thick, material: metal };
  return [set(['tab', free], { piece, at: [...at], axis: [...axis], ...sizes, hole: 'M6' })];
}
