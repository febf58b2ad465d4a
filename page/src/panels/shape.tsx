// What the maker can change by typing: pieces, the bar they are made of, benders, and what stands round these.
import { signal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { job } from '../state/job';
import { needLibrary } from '../state/library';
import { dropped } from '../state/take-off';
import { BendersPart } from './shape-benders';
import { MountingsPart } from './shape-mountings';
import { PiecesPart } from './shape-pieces';
import { StockPart } from './shape-stock';
import '../look/shape.css';

const PARTS = {
  pieces: ['Pieces', PiecesPart],
  stock: ['Stock', StockPart],
  benders: ['Benders', BendersPart],
  mountings: ['Mountings', MountingsPart],
} as const;
type Part = keyof typeof PARTS;

const part = signal<Part>('pieces');

export function ShapePanel() {
  useEffect(needLibrary, []);
  useEffect(() => {
    if (dropped.value) part.value = 'pieces';
  }, [dropped.value]);
  if (!job.value) return null;
  const [, Shown] = PARTS[part.value];
  return (
    <div class="shape">
      <fieldset class="parts" aria-label="What to change">
        {(Object.keys(PARTS) as Part[]).map((one) => (
          <button
            key={one}
            type="button"
            class="plain"
            aria-pressed={one === part.value}
            onClick={() => {
              part.value = one;
            }}
          >
            {PARTS[one][0]}
          </button>
        ))}
      </fieldset>
      <Shown />
    </div>
  );
}
