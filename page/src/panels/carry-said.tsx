// What the job says of its joints, table by table: how they are made, bolts, welds.
import type { Change } from '../api';
import type * as carry from '../state/carry';
import { act } from '../state/edits';
import { job } from '../state/job';
import { freeName, list, remove, set, type Table, tables } from '../state/tables';
import { BoltFields } from './carry-bolt';
import { Choice } from './choice';
import { FaultsAt, Field } from './field';
import { Form, type Item } from './form';

export const MADE = {
  welded: 'welded',
  bolted: 'bolted',
  pinned: 'pinned',
  none: 'not joined',
} as const;

const NEAR: Item = { key: 'near', label: 'Only where they touch near', kind: 'three', usual: 'everywhere' };
const AXIS: Item = { key: 'axis', label: 'Its bolt points along', kind: 'three', usual: 'from bar to bar' };

export function CarrySaid({ told }: { told: carry.CarryOut }) {
  const said = tables('joint');
  const pieces = tables('piece').map(([name]) => name);
  return (
    <details class="setup">
      <summary>Joints as the job says: bolts, welds</summary>
      {said.map(([name, table]) => (
        <Said key={name} name={name} table={table} told={told} />
      ))}
      {pieces.length > 1 && (
        <p class="row">
          <button
            type="button"
            class="plain"
            onClick={() =>
              void act(
                newJoint(
                  pieces,
                  said.map(([one]) => one),
                ),
              )
            }
          >
            Add a joint
          </button>
        </p>
      )}
    </details>
  );
}

function Said({ name, table, told }: { name: string; table: Table; told: carry.CarryOut }) {
  const at = ['joint', name];
  const made = String(table.made ?? 'welded');
  const [one = '', other = ''] = list(table.pieces).map(String);
  const names = [...new Set([...tables('piece').map(([piece]) => piece), ...told.copies])];
  const options = names.map((piece) => [piece, piece] as const);
  return (
    <fieldset>
      <legend>
        Joint {name}: {one} and {other}
      </legend>
      <div class="fields">
        <Choice at={[...at, 'pieces', 0]} label="Joins" value={one} options={options} />
        <Choice at={[...at, 'pieces', 1]} label="to" value={other} options={options} />
        <Choice
          at={[...at, 'made']}
          label="Made"
          value={made}
          options={Object.entries(MADE)}
          changes={(wanted) => madeChanges(at, table, wanted)}
        />
        {(made === 'bolted' || made === 'pinned') && <BoltFields at={at} bolt={table.bolt} told={told} />}
        {made === 'welded' && (
          <Field
            at={[...at, 'throat']}
            label="Throat of the weld"
            unit={job.value?.units}
            value={table.throat}
            usual="0.7 of the thinner metal"
            optional
          />
        )}
        {made !== 'none' && (
          <Field
            at={[...at, 'gap']}
            label="Widest gap that it bridges"
            unit={job.value?.units}
            value={table.gap}
            usual="as usual"
            optional
          />
        )}
        <Form at={at} value={table} items={made === 'bolted' ? [NEAR, AXIS] : [NEAR]} />
      </div>
      <FaultsAt at={at} />
      <button type="button" class="plain" onClick={() => void act([remove(at)])}>
        Remove joint {name}
      </button>
    </fieldset>
  );
}

/** A joint made another way: what makes no sense there any more goes. */
export function madeChanges(at: readonly string[], table: Table, made: string): readonly Change[] {
  const senseless = { welded: ['axis', 'bolt'], bolted: ['throat'], pinned: ['throat', 'axis'] }[made] ?? [
    'throat',
    'axis',
    'bolt',
  ];
  return [
    set([...at, 'made'], made),
    ...senseless.filter((key) => table[key] !== undefined).map((key) => remove([...at, key])),
  ];
}

function newJoint(pieces: readonly string[], taken: readonly string[]): readonly Change[] {
  return [set(['joint', freeName('joint', taken)], { pieces: pieces.slice(0, 2), made: 'bolted' })];
}
