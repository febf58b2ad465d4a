// A value of the job file, to be typed. It is sent with Enter or on leaving; Escape brings back what stands in the file.
import { useEffect, useId, useRef, useState } from 'preact/hooks';
import type { Change } from '../api';
import { begin, edit, leave, refusedAt, takeBack, waitingAt } from '../state/edits';
import { redo, undo } from '../state/job';
import { keyChange } from '../state/keys';
import { type Place, placeOf } from '../state/place';
import { showsFaults } from '../state/shown';
import { stepped, typedValue } from '../state/typed';

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
    const changes = props.changes?.(next) ?? changed(at, next, value !== undefined);
    if (changes.length) void edit(at, entered, changes);
    else takeBack(at);
  };
  const done = (): void => {
    if (typed !== null) send(typed);
    leave(at);
    setTyped(null);
  };
  const keys = (event: KeyboardEvent): void => {
    const input = event.currentTarget as HTMLInputElement;
    const steps = event.ctrlKey || event.metaKey ? event.key.toLowerCase() : '';
    if (typed === null && (steps === 'z' || steps === 'y')) {
      event.preventDefault(); // the browser would bring back text that was sent long ago
      void (steps === 'y' || event.shiftKey ? redo() : undo());
    } else if (event.key === 'Enter') {
      done();
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
      data-at={placeOf(at)}
      class={kind === 'text' ? '' : 'number'}
      value={text}
      placeholder={usual}
      autocomplete="off"
      spellcheck={false}
      inputMode={kind === 'whole' ? 'numeric' : 'text'}
      aria-label={bare ? label : undefined}
      aria-invalid={faults.length > 0 || waiting?.refused === true}
      aria-describedby={describedBy || undefined}
      onInput={(event) => {
        if (typed === null) begin(at);
        setTyped(event.currentTarget.value);
      }}
      onBlur={done}
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

export function useFaults(at: Place) {
  const place = at.join('\u0000');
  useEffect(() => showsFaults(at), [place]);
  return refusedAt(at);
}

/** The change of a value, or of a key that is left empty and goes. */
export function changed(at: Place, value: unknown, there: boolean): readonly Change[] {
  return value !== undefined || there ? keyChange(at, value) : [];
}
