// A bracket in the flat, drawn as the server has it: outline, bends, holes; end A at the left.
import type { Flat } from '../state/weld-finish';
import { sentence } from './sentence';

const MARGIN = 4;

export function FlatCard({ flat }: { flat: Flat }) {
  const half = flat.width_mm / 2;
  const box = `${-MARGIN} ${-half - MARGIN} ${flat.length_mm + 2 * MARGIN} ${flat.width_mm + 2 * MARGIN}`;
  const across = (x: number) => ({ x1: x, x2: x, y1: -half, y2: half });
  return (
    <section class="flat" aria-label={`Flat of ${flat.name}`}>
      <h4>{flat.name}</h4>
      <p>{sentence(flat.facts)}</p>
      <svg viewBox={box} role="img" aria-label={`${flat.name} in the flat, end A at the left`}>
        <rect class="outline" x={0} y={-half} width={flat.length_mm} height={flat.width_mm} />
        {flat.trim_mm > 0 && (
          <>
            <line class="trim" {...across(flat.trim_mm)} />
            <line class="trim" {...across(flat.length_mm - flat.trim_mm)} />
          </>
        )}
        {flat.bends_mm.map((bend) => (
          <g key={bend[0]}>
            <rect class="bend" x={bend[0]} y={-half} width={(bend[2] ?? 0) - (bend[0] ?? 0)} height={flat.width_mm} />
            <line class="middle" {...across(bend[1] ?? 0)} />
          </g>
        ))}
        {flat.holes.map((hole) => (
          <g key={hole.number}>
            <polygon
              class={hole.after ? 'hole after' : 'hole'}
              points={hole.outline.map(([x = 0, y = 0]) => `${x},${-y}`).join(' ')}
            />
            <text x={Math.max(...hole.outline.map(([x = 0]) => x)) + 1.5} y={3 - middleOf(hole.outline)}>
              {hole.number}
            </text>
          </g>
        ))}
      </svg>
      {flat.holes.length > 0 && (
        <ul class="counted">
          {flat.holes.map((hole) => (
            <li key={hole.number}>
              <b>{hole.number}</b>: {hole.says.join('; ')}
            </li>
          ))}
        </ul>
      )}
      {flat.steps.length > 0 && (
        <ol>
          {flat.steps.map((step) => (
            <li key={step}>{step}</li>
          ))}
        </ol>
      )}
    </section>
  );
}

/** Half way between the lowest and the highest of these points. */
function middleOf(points: readonly (readonly number[])[]): number {
  const ys = points.map((point) => point[1] ?? 0);
  return (Math.min(...ys) + Math.max(...ys)) / 2;
}
