// A template or a pattern of a small part, small on the screen; at 1:1 it is among the papers.
import type { CardOut } from '../state/parts';

const MARGIN = 4; // mm round the drawing
const MOST = 260; // px

export function PartCard({ card }: { card: CardOut }) {
  const points = [...card.outline, ...card.dashed];
  const [xs, ys] = [points.map(([x = 0]) => x), points.map(([, y = 0]) => y)];
  const left = Math.min(...xs) - MARGIN;
  const top = -Math.max(...ys) - MARGIN;
  const wide = Math.max(...xs) - Math.min(...xs) + 2 * MARGIN;
  const high = Math.max(...ys) - Math.min(...ys) + 2 * MARGIN;
  const scale = Math.min(MOST / wide, 3);
  const line = (of: readonly number[][]): string =>
    of.map(([x = 0, y = 0]) => `${x.toFixed(2)},${(-y).toFixed(2)}`).join(' ');
  return (
    <svg
      class="part-card"
      role="img"
      aria-label={card.label}
      viewBox={`${left} ${top} ${wide} ${high}`}
      width={Math.round(wide * scale)}
      height={Math.round(high * scale)}
    >
      <title>{card.label}</title>
      <polygon points={line(card.outline)} />
      {card.folds.map((fold) => (
        <polyline key={line(fold)} class="fold" points={line(fold)} />
      ))}
      {card.dashed.length > 0 && <polyline class="inner" points={line(card.dashed)} />}
      {card.holes_mm.map((size) => (
        <circle key={size} cx={0} cy={0} r={size / 2} />
      ))}
    </svg>
  );
}
