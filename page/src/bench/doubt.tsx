// A reading that does not go with the rest: is it right, was another meant, or is it measured again?
import { signal } from '@preact/signals';
import type { BenchOut, Card, DoubtOut } from '../api';
import { looked, settle, strike, waiting } from './bar';

/** Readings that the maker left for later, by their entries. */
const later = signal<readonly string[]>([]);

/** The reading to ask about; null while an entry waits, or a step is looked at. */
export function inDoubt(now: BenchOut): DoubtOut | null {
  if (waiting.entries.value.length || looked.value !== null) return null;
  return now.doubts.find((doubt) => !later.value.includes(doubt.entry_id)) ?? null;
}

export function DoubtScreen({
  now,
  doubt,
  measure,
}: {
  now: BenchOut;
  doubt: DoubtOut;
  measure: (card: Card) => void;
}) {
  const card = doubt.kind === 'size' ? undefined : now.cards.find((one) => one.bend === doubt.bend);
  return (
    <section class="bench-question" aria-label="Is that right?">
      <h2>{doubt.meant ? `Did you mean ${doubt.meant} or ${doubt.value}?` : `Is ${doubt.value} right?`}</h2>
      <p>{doubt.says} It is left out until you say.</p>
      <div class="bench-answers">
        {doubt.meant && (
          <button type="button" class="bench-key go" onClick={() => settle(doubt, doubt.meant_value)}>
            {doubt.meant}
          </button>
        )}
        <button type="button" class={`bench-key go${doubt.meant ? ' plain' : ''}`} onClick={() => settle(doubt, null)}>
          {doubt.value} is right
        </button>
        {card ? (
          <button type="button" class="bench-key plain" onClick={() => measure(card)}>
            Measure again
          </button>
        ) : (
          <button type="button" class="bench-key plain" onClick={() => strike(doubt.entry_id)}>
            Strike it out
          </button>
        )}
        <button
          type="button"
          class="bench-key plain"
          onClick={() => {
            later.value = [...later.value, doubt.entry_id];
          }}
        >
          Later
        </button>
      </div>
    </section>
  );
}
