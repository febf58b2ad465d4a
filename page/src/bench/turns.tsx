// A long list goes by turns: at the bench, with dirty hands, nobody scrolls.
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';

export interface Turns<T> {
  shown: readonly T[];
  go: number;
  goes: number;
  /** Goes on to the rest; null where all is shown. */
  more: JSX.Element | null;
}

export function useTurns<T>(all: readonly T[], few: number): Turns<T> {
  const [turned, setTurned] = useState(0);
  const goes = Math.max(1, Math.ceil(all.length / few));
  const go = turned % goes;
  const left = all.length - (go + 1) * few;
  return {
    shown: all.slice(go * few, (go + 1) * few),
    go,
    goes,
    more:
      goes > 1 ? (
        <button type="button" class="bench-key plain" onClick={() => setTurned(go + 1)}>
          {left > 0 ? `${Math.min(left, few)} more` : 'The first'}
        </button>
      ) : null,
  };
}
