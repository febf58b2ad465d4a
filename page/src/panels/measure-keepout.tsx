// A keep-out: what it is, how large, how it swings, how much room it wants.
import { act } from '../state/edits';
import { job } from '../state/job';
import { isTable, list, remove, set, type Table } from '../state/tables';
import { PlaceFields } from './carry-place';
import { Choice } from './choice';
import { FaultsAt, Field } from './field';

const SHAPES: readonly (readonly [string, string])[] = [
  ['box', 'box'],
  ['cylinder', 'cylinder: a wheel'],
  ['capsule', 'rounded cylinder: a lamp, a hand'],
];

export function KeepOutFields({ name, table }: { name: string; table: Table }) {
  const at = (...keys: (string | number)[]) => ['keepout', name, ...keys];
  const unit = job.value?.units;
  const swing = isTable(table.swing) ? table.swing : null;
  return (
    <section class="thing" aria-label={`Keep-out ${name}`}>
      <h3>{name}</h3>
      <div class="fields">
        {table.shape !== undefined && (
          <Choice
            at={at('shape')}
            label="Shape"
            value={String(table.shape)}
            options={SHAPES}
            changes={(value) => [set(at(), reshaped(table, value))]}
          />
        )}
        {table.shape === 'box'
          ? (['x', 'y', 'z'] as const).map((axis) =>
              [0, 1].map((end) => (
                <Field
                  key={`${axis}${end}`}
                  at={at(axis, end)}
                  label={`${axis} ${end ? 'to' : 'from'}`}
                  unit={unit}
                  value={list(table[axis])[end]}
                />
              )),
            )
          : table.shape !== undefined && (
              <>
                <PlaceFields at={at('from')} label={`One end of the axis of ${name}`} value={table.from} />
                <PlaceFields at={at('to')} label={`The other end of the axis of ${name}`} value={table.to} />
                <Field at={at('radius')} label="Radius" unit={unit} value={table.radius} />
              </>
            )}
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

/** A hinge along y at the lower edge of a box, or at one end of an axis. */
function hinge(table: Table): Table {
  const low = (axis: string): unknown => list(table[axis])[0] ?? 0;
  const [x, y, z] = table.shape === 'box' ? [low('x'), low('y'), low('z')] : list(table.from);
  const number = (value: unknown): number => (typeof value === 'number' ? value : 0);
  const from = [number(x), number(y), number(z)];
  return { axis: [from, [from[0], (from[1] ?? 0) - 1, from[2]]], from: 0, to: 90 };
}

/** The same keep-out in another shape, about as large and in the same place. */
export function reshaped(table: Table, shape: string): Table {
  const { shape: was, x, y, z, from, to, radius, ...rest } = table as Record<string, unknown>;
  if (shape === was) return table;
  if (shape !== 'box' && was !== 'box') return { shape, from, to, radius, ...rest };
  const number = (value: unknown): number => (typeof value === 'number' ? value : 0);
  if (shape === 'box') {
    const [a, b] = [list(from).map(number), list(to).map(number)];
    const wide = number(radius) || 50;
    const range = (axis: number): number[] => [
      Math.min(a[axis] ?? 0, b[axis] ?? 0) - wide,
      Math.max(a[axis] ?? 0, b[axis] ?? 0) + wide,
    ];
    return { shape, x: range(0), y: range(1), z: range(2), ...rest };
  }
  const spans = [x, y, z].map((one) => list(one).map(number));
  const middle = spans.map(([low = 0, high = 0]) => (low + high) / 2);
  const [, [left = 0, right = 100] = []] = spans;
  const [xs, , zs] = spans.map(([low = 0, high = 0]) => (high - low) / 2);
  return {
    shape,
    from: [middle[0], left, middle[2]],
    to: [middle[0], right, middle[2]],
    radius: Math.max(1, Math.round(Math.max(xs ?? 1, zs ?? 1) * 10) / 10),
    ...rest,
  };
}
