// The work at the bender: which piece, played through, step by step, and what to do where it cannot be done.
import { effect } from '@preact/signals';
import { useEffect, useRef, useState } from 'preact/hooks';
import { choose } from '../state/chosen';
import { job } from '../state/job';
import * as steps from '../state/steps';
import { Press } from './press';
import { Player } from './steps-player';
import { StepRows } from './steps-rows';
import '../look/steps.css';

const ORDERS: Record<steps.Order, string> = { plan: 'As planned', drawn: 'As drawn', blocked: 'What is in the way' };

export function StepsPanel() {
  useEffect(() => {
    let seen = '';
    return effect(() => {
      const sum = `${job.value?.name} ${job.value?.sum}`;
      if (sum === seen) return;
      seen = sum;
      steps.followJob();
    });
  }, []);
  const hands = steps.handsOf(job.value);
  const shown = steps.motion.value;
  const summary = useRef<HTMLParagraphElement>(null);
  if (!job.value) return null;
  if (!hands.length) return <p>No piece of this job is bent.</p>;
  return (
    <div class="work">
      <div class="work-head">
        <label>
          Piece
          <select
            value={steps.hand.value ? hands.findIndex(same(steps.hand.value)) : 0}
            onChange={(event) => {
              const hand = hands[Number(event.currentTarget.value)] ?? null;
              if (hand) choose(hand.piece, null, hand.asDrawn);
              void steps.showWork(hand);
            }}
          >
            {hands.map((hand, index) => (
              <option key={hand.name} value={index}>
                {hand.name}
              </option>
            ))}
          </select>
        </label>
        {shown && shown.orders.length > 1 && (
          <fieldset class="orders">
            <legend>Order of the bends</legend>
            {shown.orders.map((order) => (
              <label key={order} class={order === shown.order ? 'is' : ''}>
                <input
                  type="radio"
                  name="order"
                  checked={order === shown.order}
                  onChange={() => void steps.showWork(steps.hand.value, order)}
                />
                {ORDERS[order]}
              </label>
            ))}
          </fieldset>
        )}
      </div>
      {steps.trouble.value && (
        <p class="trouble" role="alert">
          {steps.trouble.value}
        </p>
      )}
      {!shown && !steps.trouble.value && <p role="status">Working out every step …</p>}
      {shown && (
        <>
          <p ref={summary} tabIndex={-1} class={shown.order === 'plan' ? 'summary' : 'summary warned'}>
            {shown.summary}
          </p>
          <Remedies onTried={() => summary.current?.focus()} />
          <Player />
          <StepRows />
          <p class="caution">
            Keep fingers and hair out of the way of bar and lever, and wear eye protection. What is shown is only as
            good as the sizes given: try a doubtful step with a bent wire first.
          </p>
        </>
      )}
    </div>
  );
}

function same(hand: steps.Hand): (other: steps.Hand) => boolean {
  return (other) => other.piece === hand.piece && other.asDrawn === hand.asDrawn;
}

/** What would give an order where there is none. The one that is tried goes, with its button: one reads on above. */
function Remedies({ onTried }: { onTried: () => void }) {
  const [busy, setBusy] = useState(false);
  const shown = steps.motion.value;
  if (!shown?.remedies.length) return null;
  return (
    <section class="remedies" aria-label="What would help">
      <h2>Any one of these gives an order</h2>
      <ul>
        {shown.remedies.map((remedy) => (
          <li key={remedy.says}>
            <span>{remedy.says}</span>
            {remedy.number !== null && (
              <Press
                not={busy}
                aria-label={`Try it: ${remedy.says}`}
                onPress={() => {
                  setBusy(true);
                  void steps.tryRemedy(remedy.number ?? 0).then((took) => {
                    setBusy(false);
                    if (took) onTried();
                  });
                }}
              >
                Try it
              </Press>
            )}
          </li>
        ))}
      </ul>
      <p class="dim">Trying changes the job file; Undo brings it back.</p>
    </section>
  );
}
