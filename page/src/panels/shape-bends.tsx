// The bend table of a piece: straight, bend, straight, bend, straight.
import { Fragment } from 'preact';
import { useState } from 'preact/hooks';
import type { Change } from '../api';
import { choose, chosen } from '../state/chosen';
import { act } from '../state/edits';
import { job } from '../state/job';
import { insertBend, list, moveBend, removeBend, set, type Table } from '../state/tables';
import { FaultsAt, FaultsRow, Field } from './field';
import { RowMore, RowTools } from './row-tools';

const BEND = ['radius', 'angle', 'rotation'] as const;

export function BendRows({ name, table }: { name: string; table: Table }) {
  const path = ['piece', name];
  const straights = list(table.straights);
  const bends = list(table.bends);
  const run = chosen.value?.piece === name ? chosen.value.run : null;
  const [tools, setTools] = useState<number | null>(null);
  const change = (changes: readonly Change[], then: number | null = tools) =>
    void act(changes).then((took) => took && setTools(then));
  const add = (index: number): void => {
    if (bends.length) change(insertBend(path, table, index));
    else
      change([
        set([...path, 'straights'], [straights[0], straights[0]]),
        set([...path, 'bends'], [[first(table), 90, 0]]),
      ]);
  };
  const straight = (index: number) => (
    <Field
      bare
      at={[...path, 'straights', index]}
      label={index < bends.length ? `Straight before bend ${index + 1}` : 'Last straight'}
      value={straights[index]}
      onFocus={() => choose(name, { kind: 'straight', number: index })}
    />
  );
  return (
    <div class="rows-scroll">
      <table class="points-table">
        <caption>
          Bend table, {job.value?.units} and degrees
          <span class="dim"> · from end A; rotation: how far the plane of the bend is turned from the one before</span>
        </caption>
        <thead>
          <tr>
            <th scope="col">bend</th>
            <th scope="col">straight before</th>
            {BEND.map((one) => (
              <th key={one} scope="col">
                {one}
              </th>
            ))}
            <th scope="col">
              <span class="unseen">change the rows</span>
            </th>
          </tr>
        </thead>
        <tbody>
          {bends.map((bend, index) => (
            <Fragment key={index}>
              <tr class={run?.kind === 'bend' && run.number === index + 1 ? 'picked' : ''}>
                <th scope="row" class="number">
                  {index + 1}
                </th>
                <td>{straight(index)}</td>
                {BEND.map((one, k) => (
                  <td key={one}>
                    <Field
                      bare
                      at={[...path, 'bends', index, k]}
                      label={`Bend ${index + 1}, ${one}`}
                      value={list(bend)[k]}
                      kind={k ? 'angle' : 'length'}
                      onFocus={() => choose(name, { kind: 'bend', number: index + 1 })}
                    />
                  </td>
                ))}
                <td>
                  <RowMore
                    what={`bend ${index + 1}`}
                    open={tools === index}
                    turn={() => setTools(tools === index ? null : index)}
                  />
                </td>
              </tr>
              <FaultsRow
                columns={6}
                at={[...path, 'bends', index]}
                fields={[
                  ['straight before', [...path, 'straights', index]],
                  ...BEND.map((one, k) => [one, [...path, 'bends', index, k]] as const),
                ]}
              />
              {tools === index && (
                <RowTools
                  what={`bend ${index + 1}`}
                  columns={6}
                  first={index === 0}
                  last={index === bends.length - 1}
                  add={() => add(index + 1)}
                  up={() => change(moveBend(path, index, -1), index - 1)}
                  down={() => change(moveBend(path, index, 1), index + 1)}
                  out={() => change(removeBend(path, index), null)}
                />
              )}
            </Fragment>
          ))}
          <tr>
            <th scope="row">end B</th>
            <td>{straight(bends.length)}</td>
            <td colSpan={3} />
            <td>
              <button type="button" class="plain" onClick={() => add(bends.length)}>
                Add a bend
              </button>
            </td>
          </tr>
          <FaultsRow columns={6} at={[...path, 'straights', bends.length]} fields={[]} />
        </tbody>
      </table>
      <FaultsAt at={[...path, 'straights']} />
      <FaultsAt at={[...path, 'bends']} />
    </div>
  );
}

/** The radius of the piece's bender as it is written: what a first bend is made on. */
function first(table: Table): unknown {
  const benders = job.value?.data.bender as Record<string, Table> | undefined;
  return benders?.[String(table.bender)]?.radius ?? '';
}
