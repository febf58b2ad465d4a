// A body in space: its shape, and the sizes that this shape has.
import { job } from '../state/job';
import type { Place } from '../state/place';
import { list, set, type Table } from '../state/tables';
import { PlaceFields } from './carry-place';
import { Choice } from './choice';
import { Field } from './field';

const SHAPES: readonly (readonly [string, string])[] = [
  ['box', 'box'],
  ['cylinder', 'cylinder: a wheel'],
  ['capsule', 'rounded cylinder: a lamp, a hand'],
];

export function BodyShape({ at, name, table }: { at: Place; name: string; table: Table }) {
  const unit = job.value?.units;
  return (
    <>
      <Choice
        at={[...at, 'shape']}
        label="Shape"
        value={String(table.shape)}
        options={SHAPES}
        changes={(value) => [set(at, reshaped(table, value))]}
      />
      {table.shape === 'box' ? (
        (['x', 'y', 'z'] as const).map((axis) =>
          [0, 1].map((end) => (
            <Field
              key={`${axis}${end}`}
              at={[...at, axis, end]}
              label={`${axis} ${end ? 'to' : 'from'}`}
              unit={unit}
              value={list(table[axis])[end]}
            />
          )),
        )
      ) : (
        <>
          <PlaceFields at={[...at, 'from']} label={`One end of the axis of ${name}`} value={table.from} />
          <PlaceFields at={[...at, 'to']} label={`The other end of the axis of ${name}`} value={table.to} />
          <Field at={[...at, 'radius']} label="Radius" unit={unit} value={table.radius} />
        </>
      )}
    </>
  );
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
