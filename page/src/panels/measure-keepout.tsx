// A keep-out: what it is, how large, how it swings, how much room it wants.
import { act } from '../state/edits';
import { job } from '../state/job';
import { addRow, takeRow } from '../state/keys';
import { freeName, isTable, list, remove, set, type Table } from '../state/tables';
import { BodyShape } from './body-shape';
import { PlaceFields } from './carry-place';
import { FaultsAt, Field } from './field';

export function KeepOutFields({ name, table }: { name: string; table: Table }) {
  const at = (...keys: (string | number)[]) => ['keepout', name, ...keys];
  const unit = job.value?.units;
  const swing = isTable(table.swing) ? table.swing : null;
  return (
    <section class="thing" aria-label={`Keep-out ${name}`}>
      <h3>{name}</h3>
      <div class="fields">
        {table.shape !== undefined && <BodyShape at={at()} name={name} table={table} />}
        <Field at={at('clearance')} label="Clearance wanted" unit={unit} value={table.clearance} usual="0" optional />
        {swing && (
          <>
            {[0, 1].map((end) => (
              <PlaceFields
                key={end}
                at={at('swing', 'axis', end)}
                label={`${name} swings about a line ${end ? 'to' : 'from'}`}
                value={list(swing.axis)[end]}
              />
            ))}
            <Field
              at={at('swing', 'from')}
              label="Swings from"
              unit="°"
              kind="angle"
              value={swing.from}
              usual="0"
              optional
            />
            <Field at={at('swing', 'to')} label="Swings to" unit="°" kind="angle" value={swing.to} />
          </>
        )}
      </div>
      <Bodies at={at('bodies')} value={table.bodies} alone={table.shape === undefined} name={name} />
      <FaultsAt at={at()} />
      <p class="row">
        <button
          type="button"
          class="plain"
          onClick={() => void act([swing ? remove(at('swing')) : set(at('swing'), hinge(table))])}
        >
          {swing ? `${name} stands still` : `${name} swings`}
        </button>
        <button type="button" class="plain" onClick={() => void act([remove(at())])}>
          Remove {name}
        </button>
      </p>
    </section>
  );
}

/** Several bodies that are one keep-out: a grip and its lever. */
function Bodies(props: { at: (string | number)[]; value: unknown; alone: boolean; name: string }) {
  const { at, value, alone, name } = props;
  const bodies = list(value).filter(isTable);
  const [low, high] = job.value?.units === 'in' ? [0, 4] : [0, 100];
  const names = bodies.map((one) => String(one.name ?? ''));
  const range = [low, high];
  const add = (): void => {
    const body = { name: freeName('body', names), shape: 'box', x: range, y: [...range], z: [...range] };
    void act(() => addRow(at, body));
  };
  return (
    <>
      {bodies.map((body, k) => (
        <fieldset key={k}>
          <legend>
            {name}: {names[k]}
          </legend>
          <div class="fields">
            <Field at={[...at, k, 'name']} label="What it is" kind="text" value={body.name} />
            <BodyShape at={[...at, k]} name={names[k] ?? ''} table={body} />
          </div>
          <FaultsAt at={[...at, k]} />
          <button
            type="button"
            class="plain"
            disabled={alone && bodies.length === 1}
            onClick={() => void act(takeRow(at, k))}
          >
            Take {names[k]} away
          </button>
        </fieldset>
      ))}
      <button type="button" class="plain" onClick={add}>
        Add a body to {name}
      </button>
    </>
  );
}

/** A hinge along y at the lower edge of a box, or at one end of an axis. */
function hinge(table: Table): Table {
  const low = (axis: string): unknown => list(table[axis])[0] ?? 0;
  const [x, y, z] = table.shape === 'box' ? [low('x'), low('y'), low('z')] : list(table.from);
  const number = (value: unknown): number => (typeof value === 'number' ? value : 0);
  const from = [number(x), number(y), number(z)];
  return { axis: [from, [from[0], (from[1] ?? 0) - 1, from[2]]], from: 0, to: 90 };
}
