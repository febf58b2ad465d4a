// How the piece will come out, in one line; and what to set by hand before the next bend.
import { signal } from '@preact/signals';
import { useEffect, useState } from 'preact/hooks';
import '../look/bench-outlook.css';
import '../look/bench-sizes.css';
import { type BenchOut, type Card, client, type GhostOut, got } from '../api';
import { Picture } from '../views/picture';
import { looked, made, waiting } from './bar';
import { useTurns } from './turns';

/** The entry after which the maker went on without setting anything by hand. */
const passedOver = signal('');

/** Whether bends are to be set by hand first; not while an entry waits: then nobody knows. */
export function isToSet(now: BenchOut): boolean {
  if (!now.outlook?.sets.length || waiting.entries.value.length) return false;
  return looked.value === null && passedOver.value !== now.last_entry;
}

/** One line, after the first entry; what waits is not in it, so that it is not shown then. */
export function OutlookLine({ now }: { now: BenchOut }) {
  if (!now.outlook || !made.value.size || waiting.entries.value.length) return null;
  return (
    <p class={`bench-outlook${now.advice === 'carry on' && !now.outlook.sets.length ? '' : ' heed'}`} role="status">
      <b>{now.outlook.head}</b> <span>{now.outlook.says}</span>
      {now.outlook.off.map((line) => (
        <span key={line} class="bench-off">
          <br />
          {line}
        </span>
      ))}
    </p>
  );
}

interface ToSet {
  now: BenchOut;
  measure: (card: Card) => void;
  sizes: () => void;
}

const FEW = 6; // to be read at two metres without scrolling

export function SetScreen({ now, measure, sizes }: ToSet) {
  const all = now.outlook?.sets ?? [];
  const { shown: sets, go, goes, more } = useTurns(all, FEW);
  const bends = [...new Set(sets.map((set) => set.bend))];
  const cards = bends.map((bend) => now.cards.find((card) => card.bend === bend));
  return (
    <section class="bench-question bench-set" aria-label="Set by hand">
      <h2>{goes > 1 ? `Set by hand first: ${go + 1} of ${goes}` : 'Set by hand first'}</h2>
      <div class="bench-set-told">
        <ul class={`bench-sets${sets.length > 3 ? ' many' : ''}`}>
          {sets.map((set) => (
            <li key={set.says}>
              {set.says} by <b>{set.by}</b>
            </li>
          ))}
        </ul>
        <ul class="bench-set-cautions">
          {now.outlook?.cautions.map((caution) => (
            <li key={caution}>{caution}</li>
          ))}
        </ul>
      </div>
      <div class="bench-answers">
        <div class={`bench-set-keys${bends.length > 4 ? ' many' : ''}`}>
          {cards.map(
            (card) =>
              card && (
                <button key={card.bend} type="button" class="bench-key go" onClick={() => measure(card)}>
                  {bends.length > 2 ? `Bend ${card.bend}` : `Set. Measure bend ${card.bend}`}
                </button>
              ),
          )}
        </div>
        <div class="bench-set-keys">
          {more}
          {now.measures.some((one) => one.tells) && (
            <button type="button" class="bench-key plain" onClick={sizes}>
              Measure more first
            </button>
          )}
          <button type="button" class="bench-key plain" onClick={() => (passedOver.value = now.last_entry ?? '')}>
            Go on without
          </button>
        </div>
      </div>
    </section>
  );
}

/** The bar as it is believed to be, over the piece as it is drawn. */
export function GhostScreen({ now, close }: { now: BenchOut; close: () => void }) {
  const [ghost, setGhost] = useState<GhostOut | null>(null);
  const [says, setSays] = useState('Reading …');
  useEffect(() => {
    const query = { piece: now.piece, hand: now.hand, number: now.number };
    got(client.GET('/api/bench/{name}/ghost', { params: { path: { name: now.name }, query } }))
      .then((found) => {
        setGhost(found);
        setSays(found?.says ?? 'Nothing is known of this bar yet.');
      })
      .catch(() => setSays('The computer does not answer yet.'));
  }, [now.last_entry]);
  return (
    <section class="bench-question bench-ghost" aria-label="Over the drawing">
      {ghost && <Picture drawn={ghost.picture} label="The bar in a full line over the piece as drawn, dashed" />}
      <p>{says}</p>
      <p class="bench-small dim">Full: the bar as it was measured. Dashed: as drawn, laid where it fits best.</p>
      <div class="bench-answers">
        <button type="button" class="bench-key go" onClick={close}>
          Back
        </button>
      </div>
    </section>
  );
}
