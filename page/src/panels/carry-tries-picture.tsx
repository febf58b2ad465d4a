// Every try as a dot: how heavy the frame is, what it carries. What nothing beats is ringed.
import type { TriesOut, TryOut } from '../state/carry';
import { job } from '../state/job';
import { axis } from './axis';

const WIDTH = 460;
const HEIGHT = 240;
const LEFT = 44;
const FOOT = 34;
const HEAD = 24;

export interface Window {
  mass: number;
  carries: number;
}

/** How far the picture reaches: all that carries the payload with a frame up to thrice as heavy as the lightest. */
export function windowOf(tries: readonly TryOut[], wanted: number): Window {
  const enough = tries.filter((one) => one.enough || one.now);
  const lightest = Math.min(...enough.map((one) => one.mass_kg), Number.POSITIVE_INFINITY);
  const near = enough.filter((one) => one.now || one.mass_kg <= 3 * lightest);
  return {
    mass: 1.05 * Math.max(...near.map((one) => one.mass_kg), 0.1),
    carries: 1.1 * Math.max(...near.map((one) => Math.min(one.carries_kg, 10 * wanted)), wanted, 0.1),
  };
}

interface Props {
  found: TriesOut;
  picked: string | null;
  pick: (says: string) => void;
}

export function TriesPicture({ found, picked, pick }: Props) {
  const unit = job.value?.mass ?? { name: 'kg', size: 1 };
  // From here on masses are in the unit of the job.
  const tries = found.tries.map((one) => ({
    ...one,
    mass_kg: one.mass_kg / unit.size,
    carries_kg: one.carries_kg / unit.size,
  }));
  const wanted = found.wanted_kg / unit.size;
  const far = windowOf(tries, wanted);
  const across = axis([far.mass], LEFT, WIDTH - 8, 5);
  const up = axis([far.carries], HEIGHT - FOOT, HEAD, 4);
  const seen = tries.filter((one) => one.mass_kg <= across.to && one.carries_kg <= up.to);
  const now = seen.find((one) => one.now);
  const chosen = seen.find((one) => one.says === picked) ?? now;
  return (
    <figure class="tries-picture">
      <svg viewBox={`0 0 ${WIDTH} ${HEIGHT}`} role="img" aria-label="What every try weighs and carries">
        {up.ticks.map((at) => (
          <g key={`y${at}`}>
            <line class="grid" x1={LEFT} x2={WIDTH - 8} y1={up.place(at)} y2={up.place(at)} />
            <text x={LEFT - 6} y={up.place(at) + 4} text-anchor="end">
              {at}
            </text>
          </g>
        ))}
        {across.ticks.map((at) => (
          <text key={`x${at}`} x={across.place(at)} y={HEIGHT - FOOT + 18} text-anchor="middle">
            {at}
          </text>
        ))}
        <line class="wanted" x1={LEFT} x2={WIDTH - 8} y1={up.place(wanted)} y2={up.place(wanted)} />
        <text class="wanted-word" x={WIDTH - 10} y={up.place(wanted) - 5} text-anchor="end">
          wanted: {Number(wanted.toPrecision(4))} {unit.name}
        </text>
        {seen.map((one) => (
          // biome-ignore lint/a11y/noStaticElementInteractions: the same is picked by keys in the table below
          <circle
            key={one.says}
            class={`try ${one.bends === 'no' ? 'no' : ''} ${one.best ? 'best' : ''} ${one.now ? 'now' : ''} ${one === chosen ? 'is' : ''}`}
            cx={across.place(one.mass_kg)}
            cy={up.place(one.carries_kg)}
            r={one === chosen ? 7 : one.best ? 5 : 3.5}
            onClick={() => pick(one.says)}
          >
            <title>{`${one.says}: ${one.mass}, carries ${one.carries}`}</title>
          </circle>
        ))}
        <text x={WIDTH - 8} y={HEIGHT - 3} text-anchor="end">
          the frame weighs, {unit.name}
        </text>
        <text x={2} y={12}>
          carries, {unit.name}
        </text>
      </svg>
      <figcaption>
        {chosen && (
          <>
            <b>{chosen.says}</b>
            {chosen.now ? ' (now)' : ''}: {chosen.mass}, carries {chosen.carries}. {chosen.about.join(' ')}
          </>
        )}
      </figcaption>
    </figure>
  );
}
