// A drawing from the server, inked in the colours of the theme.
import type { Picture as Drawn } from '../api';

const DASHES = { full: undefined, dash: '3 1.5', chain: '6 1.5 1 1.5', dot: '0.5 1.5' } as const;
const ANCHORS = { left: 'start', centre: 'middle', right: 'end' } as const;
const RISE = { top: 0.72, middle: 0.36, bottom: 0 } as const; // of the type's height
const POINT = 25.4 / 72; // mm

export function Picture({ drawn, label, class: name = '' }: { drawn: Drawn; label: string; class?: string }) {
  return (
    <svg class={`picture ${name}`} viewBox={`0 0 ${drawn.width} ${drawn.height}`} role="img" aria-label={label}>
      {drawn.strokes.map((stroke, index) => (
        <path
          key={index}
          d={stroke.d}
          class={`ink-${stroke.weight ? stroke.ink : 'none'} fill-${stroke.fill}`}
          stroke-width={stroke.weight}
          stroke-linecap={stroke.cap}
          stroke-linejoin="round"
          stroke-dasharray={DASHES[stroke.dash]}
        />
      ))}
      {drawn.labels.map((label, index) => {
        const size = label.size * POINT;
        return (
          <text
            key={index}
            x={label.x}
            y={label.y}
            dy={size * RISE[label.down]}
            font-size={size}
            font-weight={label.bold ? 700 : 400}
            text-anchor={ANCHORS[label.across]}
            transform={label.angle ? `rotate(${label.angle} ${label.x} ${label.y})` : undefined}
          >
            {label.text}
          </text>
        );
      })}
    </svg>
  );
}
