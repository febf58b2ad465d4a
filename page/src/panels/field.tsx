// A value of the job file, to be typed. It is sent with Enter or on leaving; Escape brings back what stands in the file.
import { useEffect, useId, useRef, useState } from 'preact/hooks';
import type { Change } from '../api';
import {
  edit,
  type Place,
  placeOf,
  refusedAt,
  showsFaults,
  stepped,
  takeBack,
  typedValue,
  waitingAt,
} from '../state/edits';

export type Kind = 'length' | 'angle' | 'whole' | 'number' | 'text';

interface FieldProps {
  at: Place;
  label: string;
  /** The letter of a size in its drawing. */
  letter?: string | null | undefined;
  value: unknown;
  kind?: Kind;
  unit?: string | undefined;
  hint?: string | undefined;
  /** What is meant where nothing is written. */
  usual?: string | undefined;
  /** Leaving it empty takes the key out of the file. */
  optional?: boolean;
  /** In a table the head of the column says what it is. */
  bare?: boolean;
  /** What changes with a new value, where that is more than the value itself. */
  changes?: (value: string | number | undefined) => readonly Change[];
  onFocus?: () => void;
}

export function Field(props: FieldProps) {
  const { at, label, value, kind = 'length', unit, hint, usual, optional, bare } = props;
  const id = useId();
  const told = value === undefined || value === null ? '' : String(value);
  const waiting = waitingAt(at);
  const [typed, setTyped] = useState<string | null>(null);
  const own = useRef(at);
  own.current = at;
  const text = typed ?? waiting?.text ?? told;
  const faults = useFaults(at);
  const send = (entered: string): void => {
    if (entered === (waiting?.text ?? told)) return;
    if (entered === told) {
      takeBack(at);
      return;
    }
    const next =
      entered.trim() === '' ? (optional ? undefined : '') : kind === 'text' ? entered.trim() : typedValue(entered);
    void edit(at, entered, props.changes?.(next) ?? changed(at, next, value !== undefined));
  };
  const leave = (): void => {
    if (typed !== null) send(typed);
    setTyped(null);
  };
  const keys = (event: KeyboardEvent): void => {
    const input = event.currentTarget as HTMLInputElement;
    if (event.key === 'Enter') {
      leave();
      input.select();
    } else if (event.key === 'Escape') {
      setTyped(null);
      takeBack(at);
      input.value = told;
    } else if ((event.key === 'ArrowUp' || event.key === 'ArrowDown') && kind !== 'text') {
      const next = stepped(input.value, (event.key === 'ArrowUp' ? 1 : -1) * (event.shiftKey ? 10 : 1));
      if (next === undefined) return;
      event.preventDefault();
      setTyped(null);
      send(next);
    } else return;
    event.stopPropagation();
  };
  const wrongId = bare ? wrongIn(at) : `${id}-wrong`;
  const describedBy = [hint && `${id}-hint`, faults.length > 0 && wrongId].filter(Boolean).join(' ');
  const input = (
    <input
      id={id}
      class={kind === 'text' ? '' : 'number'}
      value={text}
      placeholder={usual}
      autocomplete="off"
      spellcheck={false}
      inputMode={kind === 'whole' ? 'numeric' : 'text'}
      aria-label={bare ? label : undefined}
      aria-invalid={faults.length > 0 || waiting?.refused === true}
      aria-describedby={describedBy || undefined}
      onInput={(event) => setTyped(event.currentTarget.value)}
      onBlur={leave}
      onKeyDown={keys}
      onFocus={props.onFocus}
    />
  );
  const wrong = faults.length > 0 && (
    <span class="wrong" id={wrongId}>
      {faults.map((fault) => (
        <span key={fault.says}>{[`wanted ${fault.wanted}.`, fault.do].filter(Boolean).join(' ')}</span>
      ))}
    </span>
  );
  if (bare) return input; // a row of its own under it says what is wrong: see FaultsRow
  return (
    <div class="field">
      <label for={id}>
        {props.letter && <b class="letter">{props.letter} </b>}
        {label}
        {unit && <span class="dim">, {unit}</span>}
      </label>
      {input}
      {hint && (
        <span class="hint" id={`${id}-hint`}>
          {hint}
        </span>
      )}
      {wrong}
    </div>
  );
}

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
        value={value}
        aria-invalid={faults.length > 0 || waiting?.refused === true}
        onKeyDown={(event) => event.key === 'Escape' && takeBack(at)}
        onChange={(event) => {
          const next = event.currentTarget.value;
          void edit(at, next, props.changes?.(next) ?? changed(at, next, true));
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

/** A row of a table that says what is wrong with the fields of the row above it, and with that as a whole. */
export function FaultsRow({
  columns,
  at,
  fields,
}: {
  columns: number;
  at: Place;
  fields: readonly (readonly [string, Place])[];
}) {
  const whole = useFaults(at);
  const told = fields.map(([name, place]) => [name, place, refusedAt(place)] as const);
  if (!whole.length && told.every(([, , faults]) => !faults.length)) return null;
  return (
    <tr>
      <td colSpan={columns}>
        {whole.map((fault) => (
          <span class="wrong" key={fault.says}>
            {fault.do || `Wanted ${fault.wanted}.`}
          </span>
        ))}
        {told.map(
          ([name, place, faults]) =>
            faults.length > 0 && (
              <span class="wrong" key={name} id={wrongIn(place)}>
                {name}: {faults.map((fault) => `wanted ${fault.wanted}. ${fault.do ?? ''}`).join(' ')}
              </span>
            ),
        )}
      </td>
    </tr>
  );
}

function wrongIn(at: Place): string {
  return `wrong-${placeOf(at).replace(/[^A-Za-z0-9]/g, '-')}`;
}

/** What is wrong with a place that has no field of its own: a row, a whole table. */
export function FaultsAt({ at }: { at: Place }) {
  const faults = useFaults(at);
  if (!faults.length) return null;
  return (
    <p class="wrong" role="alert">
      {faults.map((fault) => (
        <span key={fault.says}>
          Found {fault.found}; wanted {fault.wanted}. {fault.do}
        </span>
      ))}
    </p>
  );
}

function useFaults(at: Place) {
  const place = at.join('\u0000');
  useEffect(() => showsFaults(at), [place]);
  return refusedAt(at);
}

function changed(at: Place, value: unknown, there: boolean): readonly Change[] {
  if (value !== undefined) return [{ path: [...at], value }];
  return there ? [{ path: [...at], how: 'remove' }] : [];
}
