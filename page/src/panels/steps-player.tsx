// Playing the bending: run, stop, a step on or back, and a slider along the whole of it.
import { useEffect } from 'preact/hooks';
import * as steps from '../state/steps';
import { Press } from './press';

const KEY_MOVE = 0.25; // seconds that an arrow key moves along

export function Player() {
  const running = steps.playing.value;
  useEffect(() => {
    if (!running) return undefined;
    let last = performance.now();
    let asked = requestAnimationFrame(function go(time) {
      steps.moveOn(Math.min(0.1, (time - last) / 1000));
      last = time;
      asked = requestAnimationFrame(go);
    });
    return () => cancelAnimationFrame(asked);
  }, [running]);
  useEffect(
    () => () => {
      steps.playing.value = false;
    },
    [],
  );
  const shown = steps.motion.value;
  if (!shown?.steps.length) return null;
  const step = steps.number.value;
  return (
    <fieldset class="player" aria-label="Play the bending">
      <div class="player-buttons">
        <Press class="plain" not={step === 0} onPress={() => steps.toStep(step - 1)}>
          <span aria-hidden="true">◂</span> Step back
        </Press>
        <button type="button" class="play" onClick={steps.togglePlay}>
          <span aria-hidden="true">{running ? '❚❚' : '▶'}</span> {running ? 'Pause' : 'Play'}
        </button>
        <Press class="plain" not={step >= shown.steps.length - 1} onPress={() => steps.toStep(step + 1)}>
          Step on <span aria-hidden="true">▸</span>
        </Press>
      </div>
      <div class="scrub">
        <Strip />
        <Slider />
      </div>
    </fieldset>
  );
}

function Slider() {
  return (
    <input
      type="range"
      aria-label="Along the whole bending"
      min={0}
      max={steps.line.value.total}
      step={0.01}
      value={steps.now.value}
      aria-valuetext={told()}
      onInput={(event) => {
        steps.playing.value = false;
        steps.now.value = Number(event.currentTarget.value);
      }}
      onKeyDown={(event) => {
        const by = ({ ArrowLeft: -1, ArrowDown: -1, ArrowRight: 1, ArrowUp: 1 } as Record<string, number>)[event.key];
        if (by === undefined && event.key !== 'PageUp' && event.key !== 'PageDown') return;
        event.preventDefault();
        steps.playing.value = false;
        if (by !== undefined) steps.moveOn(by * KEY_MOVE);
        else steps.toStep(steps.number.value + (event.key === 'PageUp' ? 1 : -1));
      }}
    />
  );
}

function told(): string {
  const step = steps.step.value;
  const key = steps.key.value;
  return step && key ? `${step.title}, ${key.when}, ${key.angle}` : '';
}

/** How close it gets all along, in the colours of hot steel; the rows below say it in numbers. */
function Strip() {
  const shown = steps.motion.value;
  const { times, total } = steps.line.value;
  if (!shown || !total) return null;
  return (
    <div class="strip" aria-hidden="true">
      {shown.steps.map((step, index) => {
        const from = times[index]?.[0] ?? 0;
        const to = times[index + 1]?.[0] ?? total;
        return (
          <span key={index} class={index === steps.number.value ? 'is' : ''} style={{ flexGrow: to - from }}>
            <i>{shown.order === 'blocked' ? step.bend : index + 1}</i>
            <b class={`heat-${step.closest?.heat ?? 'none'}`}>
              {step.closest && (
                <u style={{ left: `${(100 * ((times[index]?.[step.closest.key] ?? from) - from)) / (to - from)}%` }} />
              )}
            </b>
          </span>
        );
      })}
    </div>
  );
}
