// One step to a screen: which end, which mark, how to turn the bar, how far to pull.
import type { BenchOut, Card } from '../api';
import { looked, made, next, shown } from './bar';
import { EndView } from './end-view';

export function StepScreen({ now, measure }: { now: BenchOut; measure: (card: Card) => void }) {
  const card = now.cards[shown.value];
  if (!card) return null;
  return (
    <>
      <section class="bench-step" aria-label={`Step ${card.step} of ${now.bends}: bend ${card.bend}`}>
        <Hold card={card} />
        <p class="bench-line bench-mark-line">
          <b class={`bench-big${card.mark.length > 6 ? ' long' : ''}`}>{card.mark}</b>
          <span class="bench-beside">
            <span>
              {card.unit} {card.mark_from}
            </span>
            {card.mark_also && <span class="dim">{card.mark_also}</span>}
            {card.moved && <span class="bench-moved">{card.moved}</span>}
          </span>
        </p>
        <div class="bench-turn">
          <EndView view={card.end_view} says={`From the held end: ${card.turn}, ${card.line}.`} />
          <p class="bench-turn-words">
            <b>{card.swap ? 'Then roll it until the' : card.turn}</b>
            <span>{card.line}</span>
            {card.leg && <span class="bench-leg">{card.leg}</span>}
          </p>
        </div>
        <p class="bench-line bench-pull-line">
          <span class="bench-verb">{card.verb}</span>
          <b class="bench-big">{card.pull}</b>
          <span class="bench-beside">
            <span>{card.leaves}</span>
            {card.between && <span class="dim">9 of 10: {card.between}</span>}
          </span>
        </p>
        {card.watch && (
          <p class="bench-watch">
            <b>{card.watch}</b>
          </p>
        )}
        {card.packing && <p class="bench-small bench-packing">{card.packing}</p>}
        <p class="bench-small bench-caution">{card.caution}</p>
      </section>
      <Go now={now} card={card} measure={measure} />
    </>
  );
}

function Hold({ card }: { card: Card }) {
  return (
    <p class="bench-hold">
      {card.mount && <span class="mount">{card.mount}</span>}
      {card.swap && <span class="swap">Swap the ends</span>}
      <span>
        {card.hold.slice(0, -1)}
        <b class="end">{card.held}</b>
      </span>
    </p>
  );
}

/** What the large key does: the step that is next is measured; another one leads back to it. */
function Go({ now, card, measure }: { now: BenchOut; card: Card; measure: (card: Card) => void }) {
  const done = made.value.get(card.bend);
  const upNext = now.cards[next.value];
  const back = upNext && upNext !== card && (
    <button type="button" class="bench-key go" onClick={() => (looked.value = null)}>
      To step {upNext.step}
    </button>
  );
  if (done) {
    return (
      <div class="bench-go">
        <button type="button" class="bench-key plain go" onClick={() => measure(card)}>
          Was {done.angle}. Measure again
        </button>
        {back}
      </div>
    );
  }
  if (card === upNext) {
    return (
      <div class="bench-go">
        <button type="button" class="bench-key go" onClick={() => measure(card)}>
          Bent. What did you get?
        </button>
      </div>
    );
  }
  return (
    <div class="bench-go">
      <button type="button" class="bench-key plain go" onClick={() => measure(card)}>
        I bent this one first
      </button>
      {back}
    </div>
  );
}
