// A mass or a force of the job file: in the job's unit, or with another one written behind it.
import type { Change } from '../api';
import { job } from '../state/job';
import type { Place } from '../state/place';
import { changed, Field } from './field';

const PLAIN = { mass: 'kg', force: 'N' } as const;

interface Props {
  of: keyof typeof PLAIN;
  at: Place;
  label: string;
  value: unknown;
  usual?: string;
  optional?: boolean;
  changes?: (value: string | number | undefined) => readonly Change[];
}

export function AmountField({ of, value, changes, ...props }: Props) {
  const unit = job.value?.[of].name ?? PLAIN[of];
  const there = value !== undefined;
  return (
    <Field
      {...props}
      kind="number"
      unit={unit}
      value={shownAs(value, unit, PLAIN[of])}
      changes={(typed) => {
        const next = writtenAs(typed, unit, PLAIN[of]);
        return changes?.(next) ?? changed(props.at, next, there);
      }}
    />
  );
}

/** What stands in the file, as it is shown under this unit: a bare number there is one of the plain unit. */
export function shownAs(value: unknown, unit: string, plain: string): unknown {
  if (typeof value === 'number') return unit === plain ? value : `${value} ${plain}`;
  return typeof value === 'string' && value.endsWith(` ${unit}`) ? value.slice(0, -unit.length - 1) : value;
}

/** What was typed under this unit, as it goes into the file. */
export function writtenAs(
  typed: string | number | undefined,
  unit: string,
  plain: string,
): string | number | undefined {
  return typeof typed === 'number' && unit !== plain ? `${typed} ${unit}` : typed;
}
