// The bolt of a joint or a fixing: size and class, how many, and what it sits in.
import type { Change } from '../api';
import type * as carry from '../state/carry';
import { job } from '../state/job';
import { isTable, remove, set } from '../state/tables';
import { Choice, Tick } from './choice';
import { Field } from './field';

interface Props {
  /** Of the joint or the fixing. */
  at: readonly string[];
  bolt: unknown;
  told: carry.CarryOut;
}

export function BoltFields({ at, bolt: value, told }: Props) {
  const bolt = isTable(value) ? value : null;
  const own = [...at, 'bolt'];
  const unit = job.value?.units;
  const size = bolt === null ? '' : typeof bolt.size === 'number' ? `M${bolt.size}` : String(bolt.size ?? '');
  return (
    <>
      <Choice
        at={[...own, 'size']}
        label="Bolt"
        value={size}
        options={[['', 'not said'], ...told.bolt_sizes.map((one) => [one, one] as const)]}
        changes={(wanted) => boltChanges(own, bolt !== null, wanted)}
      />
      {bolt && (
        <>
          <Choice
            at={[...own, 'grade']}
            label="Class"
            value={String(bolt.grade ?? told.bolt_classes[0] ?? '')}
            options={told.bolt_classes.map((one) => [one, one])}
          />
          <Field at={[...own, 'count']} label="How many" value={bolt.count} kind="whole" usual="1" optional />
          <Field
            at={[...own, 'thickness']}
            label="Metal it goes through"
            unit={unit}
            value={bolt.thickness}
            usual="not said"
            optional
          />
          <Field at={[...own, 'end']} label="Hole to the end" unit={unit} value={bolt.end} usual="ample" optional />
          <Field at={[...own, 'side']} label="Hole to the side" unit={unit} value={bolt.side} usual="ample" optional />
          <Field at={[...own, 'hole']} label="Its hole" value={bolt.hole} usual="as usual; 0: none" optional />
          <Tick at={[...own, 'tapped']} label="The thread is cut into the metal, no nut" value={bolt.tapped === true} />
        </>
      )}
    </>
  );
}

/** What a choice of size changes: a table of its own for the bolt where there is none, none where it is not said. */
export function boltChanges(own: readonly string[], there: boolean, size: string): readonly Change[] {
  if (size === '') return there ? [remove(own)] : [];
  return [there ? set([...own, 'size'], size) : set(own, { size })];
}
