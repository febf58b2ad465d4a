// The steps as on the shop sheet; the one that is shown is opened up.
import { useEffect, useRef } from 'preact/hooks';
import type { StepSeen } from '../api';
import * as steps from '../state/steps';
import '../look/steps-rows.css';

const HEAT = { straw: 'far', brown: 'near', purple: 'close', blue: 'at the limit', hit: 'hits' } as const;

export function StepRows() {
  const shown = steps.motion.value;
  if (!shown) return null;
  const step = steps.number.value;
  return (
    <ol class="step-rows" aria-label="Steps">
      {shown.steps.map((one, index) => (
        <StepRow key={`${shown.order} ${index}`} step={one} number={index} is={index === step} />
      ))}
    </ol>
  );
}

function StepRow({ step, number, is }: { step: StepSeen; number: number; is: boolean }) {
  const row = useRef<HTMLLIElement>(null);
  const seen = useRef(false);
  useEffect(() => {
    if (is && seen.current) row.current?.scrollIntoView({ block: 'nearest' });
    seen.current = true; // what is said above the steps is read first
  }, [is]);
  return (
    <li ref={row} class={is ? 'step-row is' : 'step-row'}>
      <button
        type="button"
        class="step-pick"
        aria-current={is ? 'step' : undefined}
        onClick={() => steps.toStep(number)}
      >
        <span class="step-number">{step.blocked ? step.bend : number + 1}</span>
        <span class="step-words">
          <strong>
            Bend {step.bend}, {step.hold}
          </strong>
          {step.turn && <span class="dim">{step.turn}</span>}
        </span>
        {step.mark && (
          <span class="step-figure">
            <span class="dim">mark</span> <b class="number">{step.mark}</b>
          </span>
        )}
        {step.pull && (
          <span class="step-figure">
            <span class="dim">pull to</span> <b class="number">{step.pull}</b>
          </span>
        )}
      </button>
      <Nearness step={step} number={number} />
      {is && <More step={step} />}
    </li>
  );
}

function Nearness({ step, number }: { step: StepSeen; number: number }) {
  const found = step.closest;
  if (step.blocked) {
    return (
      <p class="nearness">
        <span class="heat hit">in the way</span>
        <span>{step.blocked}</span>
        {found && <Show number={number} />}
      </p>
    );
  }
  if (!found) return <p class="nearness dim">nothing is known to come near</p>;
  return (
    <p class="nearness">
      <span class={`heat ${found.heat}`}>
        {HEAT[found.heat]} <b class="number">{found.gap}</b>
      </span>
      <span>{found.says}</span>
      <Show number={number} />
    </p>
  );
}

function Show({ number }: { number: number }) {
  return (
    <button
      type="button"
      class="plain show"
      aria-label={`Show the closest moment of step ${number + 1}`}
      onClick={() => steps.toClosest(number)}
    >
      Show
    </button>
  );
}

function More({ step }: { step: StepSeen }) {
  const facts: (readonly [string, string])[] = [
    ['Measure', step.from_last],
    ['So that', step.line],
    ['Pull may be', step.between && `${step.between}, nine times in ten`],
    ['Then', step.leaves],
    ['On', step.mounting ?? ''],
  ];
  return (
    <>
      <dl class="step-more">
        {facts
          .filter(([, words]) => words)
          .map(([name, words]) => (
            <div key={name}>
              <dt>{name}</dt>
              <dd>{words}</dd>
            </div>
          ))}
      </dl>
      {step.hits.length > 0 && (
        <ul class="hits" aria-label="What is hit">
          {step.hits.map((hit) => (
            <li key={hit.body}>{hit.says}</li>
          ))}
        </ul>
      )}
    </>
  );
}
