// A value of the job file that is chosen: one of several words, or yes or no.
import { useId } from 'preact/hooks';
import type { Change } from '../api';
import { edit, takeBack, waitingAt } from '../state/edits';
import { type Place, placeOf } from '../state/place';
import { changed, useFaults } from './field';

/** One of several words. */
export function Choice(props: {
  at: Place;
  label: string;
  value: string;
  options: readonly (readonly [value: string, told: string])[];
  wide?: boolean;
  changes?: (value: string) => readonly Change[];
}) {
  const { at, label, options } = props;
  const id = useId();
  const faults = useFaults(at);
  const waiting = waitingAt(at);
  const value = waiting?.text ?? props.value;
  const known = options.some(([one]) => one === value);
  return (
    <div class={props.wide ? 'field wide' : 'field'}>
      <label for={id}>{label}</label>
      <select
        id={id}
        data-at={placeOf(at)}
        value={value}
        aria-invalid={faults.length > 0 || waiting?.refused === true}
        onKeyDown={(event) => event.key === 'Escape' && takeBack(at)}
        onChange={(event) => {
          const next = event.currentTarget.value;
          if (next === props.value) takeBack(at);
          else void edit(at, next, props.changes?.(next) ?? changed(at, next, true));
        }}
      >
        {!known && <option value={value}>{value}</option>}
        {options.map(([one, told]) => (
          <option key={one} value={one}>
            {told}
          </option>
        ))}
      </select>
      {faults.map((fault) => (
        <span class="wrong" key={fault.says}>
          wanted {fault.wanted}. {fault.do}
        </span>
      ))}
    </div>
  );
}

/** Yes or no. */
export function Tick(props: {
  at: Place;
  label: string;
  value: boolean;
  hint?: string;
  changes?: (value: boolean) => readonly Change[];
}) {
  const { at, label, hint } = props;
  const id = useId();
  const faults = useFaults(at);
  const waiting = waitingAt(at);
  return (
    <div class="field tick">
      <label for={id}>
        <input
          id={id}
          data-at={placeOf(at)}
          type="checkbox"
          checked={waiting ? waiting.text === 'true' : props.value}
          aria-invalid={faults.length > 0 || waiting?.refused === true}
          onKeyDown={(event) => event.key === 'Escape' && takeBack(at)}
          onChange={(event) => {
            const next = event.currentTarget.checked;
            void edit(at, String(next), props.changes?.(next) ?? changed(at, next, true));
          }}
        />
        {label}
      </label>
      {hint && <span class="hint">{hint}</span>}
      {faults.map((fault) => (
        <span class="wrong" key={fault.says}>
          wanted {fault.wanted}. {fault.do}
        </span>
      ))}
    </div>
  );
}
