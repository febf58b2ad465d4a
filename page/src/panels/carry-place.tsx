// A place in space: three fields in a row.
import { job } from '../state/job';
import { list } from '../state/tables';
import { FaultsAt, Field } from './field';

const AXES = ['x', 'y', 'z'] as const;

export function PlaceFields({ at, label, value }: { at: readonly (string | number)[]; label: string; value: unknown }) {
  const unit = job.value?.units;
  return (
    <div class="field wide">
      <span class="place-label">
        {label}
        <span class="dim">, {unit}</span>
      </span>
      <div class="place">
        {AXES.map((axis, k) => (
          <span key={axis} class="place-axis">
            <span aria-hidden="true">{axis}</span>
            <Field at={[...at, k]} bare label={`${label}, ${axis}`} value={list(value)[k]} />
          </span>
        ))}
      </div>
      <FaultsAt at={at} />
    </div>
  );
}
