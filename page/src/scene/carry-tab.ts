// A tab of a frame under its load: it goes with the place of the bar that it stands on, itself unbent.
import { type Color, Vector3 } from 'three';
import type { TabSeen } from '../state/carry';
import { barOf } from './tube';

/** Its shape, moves drawn so many times as large. */
export function tabShape(tab: TabSeen, times: number, colour: Color) {
  const at = (told: readonly number[] | undefined) => new Vector3().fromArray([...(told ?? [0, 0, 0])]);
  const places = tab.ends_mm.map((end, k) => at(end).addScaledVector(at(tab.moves_mm[k]), times));
  const half = [tab.half_mm[0] ?? 1, tab.half_mm[1] ?? 1] as const;
  return barOf({ places, wide: [at(tab.wide), at(tab.wide)], colours: [colour, colour] }, half, false);
}
