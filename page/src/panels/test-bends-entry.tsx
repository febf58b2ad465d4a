// Entering a test bend: two angles, and what the tape says. All that is wrong is told at once, under its field.
import { useId, useState } from 'preact/hooks';
import type { Fault } from '../api';
import { type Draft, draftKey, enter, jobName, type Known, nextDraft, readDraft, typed } from '../state/test-bends';
import { usualLength } from '../state/typed';
import { Press } from './press';

interface Asked {
  name: string;
  label: string;
  hint?: string;
  /** What it is if left empty, mm. */
  emptyMm?: number;
  kind?: 'angle' | 'length' | 'text' | 'date';
}

const ANGLES: readonly Asked[] = [
  { name: 'pulled', label: 'Pulled to', hint: 'while you hold the lever; straight is 0°', kind: 'angle' },
  { name: 'left', label: 'Left', hint: 'when it is let go', kind: 'angle' },
];
const LENGTHS: readonly Asked[] = [
  { name: 'bar', label: 'Bar', hint: 'the scrap before bending', kind: 'length' },
  { name: 'mark', label: 'Mark', hint: 'from the held end', kind: 'length' },
  { name: 'held_leg', label: 'Held leg', kind: 'length' },
  { name: 'free_leg', label: 'Free leg', kind: 'length' },
  { name: 'start', label: 'Start', hint: 'how far behind the mark the bend is seen to begin', kind: 'length' },
];
const MORE: readonly Asked[] = [
  { name: 'batch', label: 'Batch', hint: 'what tells this delivery of bar from others', kind: 'text' },
  { name: 'made_on', label: 'Made on', kind: 'date' },
  { name: 'gauge', label: 'Angle finder out by', hint: 'one standard deviation; 0.5° if left empty', kind: 'angle' },
  { name: 'tape', label: 'Tape out by', hint: 'one standard deviation', emptyMm: 0.5, kind: 'length' },
  { name: 'note', label: 'Note', kind: 'text' },
];
const UNDER: Readonly<Record<string, string>> = { legs: 'free_leg' };
const FIELDS = new Set([...ANGLES, ...LENGTHS, ...MORE].map((one) => one.name));

export function TestBendEntry({ pair, today, unit }: { pair: Known; today: string; unit: 'mm' | 'in' }) {
  const key = draftKey(jobName(), pair);
  const [draft, setDraft] = useState<Draft>(() => readDraft(key));
  const [faults, setFaults] = useState<readonly Fault[]>([]);
  const [sending, setSending] = useState(false);
  const own = useId();
  const [open] = useState(() => Object.keys(draft.given).length > 0 || pair.next !== null); // later the maker decides
  const middle = Boolean(draft.given.to_middle);
  const send = async (event: Event): Promise<void> => {
    event.preventDefault();
    if (sending) return;
    const form = event.currentTarget as HTMLFormElement;
    setSending(true);
    const wrong = await enter(jobName(), pair, draft);
    setSending(false);
    setFaults(wrong);
    if (wrong.length === 0) setDraft(nextDraft(key, draft));
    else requestAnimationFrame(() => form.querySelector<HTMLElement>('[aria-invalid="true"]')?.focus());
  };
  const field = (asked: Asked) => (
    <Field
      key={asked.name}
      asked={asked}
      id={`${own}-${asked.name}`}
      unit={unit}
      value={draft.given[asked.name] ?? (asked.kind === 'date' ? today : '')}
      faults={faults.filter((fault) => placeOf(fault) === asked.name)}
      onType={(value) => setDraft(typed(key, draft, asked.name, value))}
    />
  );
  const other = faults.filter((fault) => !FIELDS.has(placeOf(fault)));
  return (
    <details class="entry" open={open}>
      <summary>Enter a test bend</summary>
      <form noValidate onSubmit={(event) => void send(event)}>
        {other.length > 0 && (
          <ul class="wrong" role="alert">
            {other.map((fault) => (
              <li key={fault.says}>{fault.says}</li>
            ))}
          </ul>
        )}
        <fieldset class="fields">
          <legend>Two angles make a test bend</legend>
          {ANGLES.map(field)}
        </fieldset>
        <fieldset class="fields">
          <legend>With a tape, and your marks move by what you measured</legend>
          <img
            class="drawn"
            src={`/api/test-bend-picture/${middle ? 'middle' : 'outside'}`}
            width="536"
            height="452"
            alt={`Before bending: bar is the whole scrap, mark is from the held end to your mark. After: held leg and free leg run from each end to where their ${middle ? 'middles' : 'outsides'} would meet.`}
          />
          {LENGTHS.map(field)}
          <label class="tick">
            <input
              type="checkbox"
              checked={middle}
              onChange={(event) => setDraft(typed(key, draft, 'to_middle', event.currentTarget.checked ? 'yes' : ''))}
            />
            Legs were measured to where their middles meet
          </label>
        </fieldset>
        <details class="more" open={faults.some((fault) => MORE.some((one) => one.name === placeOf(fault)))}>
          <summary>Batch, day, gauge, note</summary>
          <div class="fields">{MORE.map(field)}</div>
        </details>
        <Press type="submit" not={sending}>
          {sending ? 'Keeping …' : 'Keep this test bend'}
        </Press>
      </form>
    </details>
  );
}

interface FieldProps {
  asked: Asked;
  id: string;
  unit: 'mm' | 'in';
  value: string;
  faults: readonly Fault[];
  onType: (value: string) => void;
}

function Field({ asked, id, unit, value, faults, onType }: FieldProps) {
  const sign = asked.kind === 'angle' ? '°' : asked.kind === 'length' ? unit : '';
  const empty = asked.emptyMm === undefined ? '' : `; ${usualLength(asked.emptyMm, unit)} if left empty`;
  const told = [asked.hint ? `${id}-hint` : '', faults.length ? `${id}-wrong` : ''].filter(Boolean).join(' ');
  return (
    <div class="field">
      <label for={id}>
        {asked.label}
        {sign && <span class="unit">, {sign}</span>}
      </label>
      <input
        id={id}
        {...(asked.kind === 'date' ? { type: 'date' as const } : { type: 'text' as const })}
        inputMode={asked.kind === 'angle' || (asked.kind === 'length' && unit === 'mm') ? 'decimal' : undefined}
        autocomplete="off"
        value={value}
        aria-invalid={faults.length > 0}
        aria-describedby={told || undefined}
        onInput={(event) => onType(event.currentTarget.value)}
      />
      {asked.hint && (
        <p class="hint" id={`${id}-hint`}>
          {asked.hint}
          {empty}
        </p>
      )}
      {faults.length > 0 && (
        <p class="wrong" id={`${id}-wrong`}>
          {faults.map(inField).join(' ')}
        </p>
      )}
    </div>
  );
}

function placeOf(fault: Fault): string {
  const key = fault.key ?? '';
  return UNDER[key] ?? key;
}

function inField({ found, wanted, do: todo, says }: Fault): string {
  if (!found || !wanted) return says;
  return `Found ${found}; wanted ${wanted}.${todo ? ` ${todo}` : ''}`;
}
