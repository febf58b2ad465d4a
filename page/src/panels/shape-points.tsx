// The corner points of a piece as a table: one row a point, to be typed, moved, added and taken out.
import { Fragment } from 'preact';
import { useState } from 'preact/hooks';
import type { Change } from '../api';
import { choose, chosen } from '../state/chosen';
import { act } from '../state/edits';
import { job } from '../state/job';
import { cornerAt, insertPoint, isTable, list, movePoint, removePoint, setRadius, type Table } from '../state/tables';
import { FaultsAt, FaultsRow, Field } from './field';
import { NewPoint } from './new-point';
import { RowMore, RowTools } from './row-tools';

const AXES = ['x', 'y', 'z'] as const;

export function PointRows({ name, table }: { name: string; table: Table }) {
  const path = ['piece', name];
  const points = list(table.points);
  const corners = { path, table };
  const closed = table.closed === true;
  const bends = job.value?.readouts.find((one) => one.piece === name)?.points ?? [];
  const usual = usualRadius(table);
  const run = chosen.value?.piece === name ? chosen.value.run : null;
  const picked = run?.kind === 'bend' ? (bends[run.number - 1] ?? 0) - 1 : -1;
  const pick = (point: number): void => {
    const bend = bends.indexOf(point + 1);
    choose(name, bend < 0 ? null : { kind: 'bend', number: bend + 1 });
  };
  const [tools, setTools] = useState<number | null>(null);
  const change = (changes: readonly Change[], then: number | null) =>
    void act(changes).then((took) => took && setTools(then));
  const [adding, setAdding] = useState<number | null>(null);
  const radii = Array.isArray(table.radius) ? table.radius : null;
  return (
    <div class="rows-scroll">
      <table class="points-table">
        <caption>
          Corner points, {job.value?.units}
          <span class="dim"> · along the middle of the bar, the corners sharp</span>
        </caption>
        <thead>
          <tr>
            <th scope="col">point</th>
            {AXES.map((axis) => (
              <th key={axis} scope="col">
                {axis}
              </th>
            ))}
            <th scope="col">radius</th>
            <th scope="col">
              <span class="unseen">change the rows</span>
            </th>
          </tr>
        </thead>
        <tbody>
          {points.map((point, index) => {
            const corner = cornerAt(index, points.length, closed);
            return (
              <Fragment key={index}>
                <tr class={index === picked ? 'picked' : ''}>
                  <th scope="row" class="number">
                    {index + 1}
                  </th>
                  {AXES.map((axis, k) => (
                    <td key={axis}>
                      <Field
                        bare
                        at={[...path, 'points', index, k]}
                        label={`Point ${index + 1}, ${axis}`}
                        value={list(point)[k]}
                        onFocus={() => pick(index)}
                      />
                    </td>
                  ))}
                  <td>
                    {corner !== null && (
                      <Field
                        bare
                        at={[...path, 'radius', corner]}
                        label={`Radius at point ${index + 1}`}
                        value={radii ? radii[corner] : table.radius}
                        usual={usual === undefined ? '' : String(usual)}
                        optional
                        changes={(value) => setRadius(corners, corner, value, usual)}
                        onFocus={() => pick(index)}
                      />
                    )}
                  </td>
                  <td>
                    <RowMore
                      what={`point ${index + 1}`}
                      open={tools === index}
                      turn={() => setTools(tools === index ? null : index)}
                    />
                  </td>
                </tr>
                <FaultsRow
                  columns={6}
                  at={[...path, 'points', index]}
                  fields={[
                    ...AXES.map((axis, k) => [axis, [...path, 'points', index, k]] as const),
                    ...(corner === null ? [] : [['radius', [...path, 'radius', corner]] as const]),
                  ]}
                />
                {tools === index && (
                  <RowTools
                    what={`point ${index + 1}`}
                    columns={6}
                    first={index === 0}
                    last={index === points.length - 1}
                    add={() => setAdding(index + 1)}
                    up={() => change(movePoint(corners, index, -1), index - 1)}
                    down={() => change(movePoint(corners, index, 1), index + 1)}
                    out={points.length > 2 ? () => change(removePoint(corners, index), null) : undefined}
                  />
                )}
                {adding === index + 1 && (
                  <NewPoint
                    key={`new ${index}`}
                    like={list(point)}
                    put={(made) => insertPoint(corners, index + 1, made)}
                    done={() => setAdding(null)}
                  />
                )}
              </Fragment>
            );
          })}
        </tbody>
      </table>
      <FaultsAt at={[...path, 'points']} />
      <FaultsAt at={[...path, 'radius']} />
    </div>
  );
}

/** The radius of the piece's bender, as it is written. */
export function usualRadius(table: Table): unknown {
  const benders = job.value?.data.bender;
  const own = isTable(benders) ? benders[String(table.bender)] : undefined;
  return isTable(own) ? own.radius : undefined;
}
