// Which straight or bend of a body a point lies on.
import type { Run } from '../api';

type Point = readonly [number, number, number];

function point(told: readonly number[] | undefined): Point {
  return [told?.[0] ?? 0, told?.[1] ?? 0, told?.[2] ?? 0];
}

export function nearestRun(runs: readonly Run[], place: Point): Run | null {
  let best: Run | null = null;
  let least = Number.POSITIVE_INFINITY;
  for (const run of runs) {
    for (let i = 1; i < run.points_mm.length; i += 1) {
      const away = toSegment(place, point(run.points_mm[i - 1]), point(run.points_mm[i]));
      if (away < least) {
        least = away;
        best = run;
      }
    }
  }
  return best;
}

/** Distance from a point to a segment, squared. */
function toSegment(p: Point, a: Point, b: Point): number {
  const d = [b[0] - a[0], b[1] - a[1], b[2] - a[2]] as const;
  const v = [p[0] - a[0], p[1] - a[1], p[2] - a[2]] as const;
  const long = d[0] * d[0] + d[1] * d[1] + d[2] * d[2];
  const t = long ? Math.min(1, Math.max(0, (v[0] * d[0] + v[1] * d[1] + v[2] * d[2]) / long)) : 0;
  return (v[0] - t * d[0]) ** 2 + (v[1] - t * d[1]) ** 2 + (v[2] - t * d[2]) ** 2;
}
