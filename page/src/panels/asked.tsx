// A field of a form that is sent as a whole, with what is wrong under it.
import { useId } from 'preact/hooks';
import type { Fault } from '../api';

interface AskedProps {
  label: string;
  value: string;
  usual?: string;
  hint?: string;
  unit?: string;
  faults: readonly Fault[];
  onType: (text: string) => void;
}

export function Asked({ label, value, usual, hint, unit, faults, onType }: AskedProps) {
  const id = useId();
  return (
    <div class="field">
      <label for={id}>
        {label}
        {unit && <span class="dim">, {unit}</span>}
      </label>
      <input
        id={id}
        value={value}
        placeholder={usual}
        autocomplete="off"
        spellcheck={false}
        aria-invalid={faults.length > 0}
        aria-describedby={hint || faults.length ? `${id}-more` : undefined}
        onInput={(event) => onType(event.currentTarget.value)}
      />
      <span id={`${id}-more`}>
        {hint && <span class="hint">{hint}</span>}
        {faults.map((fault) => (
          <span class="wrong" key={fault.says}>
            {fault.line ? `Line ${fault.line}: ` : ''}
            {fault.wanted ? `wanted ${fault.wanted}. ${fault.do ?? ''}` : fault.says}
          </span>
        ))}
      </span>
    </div>
  );
}
