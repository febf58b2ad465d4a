// What the file asks: points, stays, keep-outs and openings, typed here and written into the job file.
import { act } from '../state/edits';
import { job } from '../state/job';
import { addRow, takeRow } from '../state/keys';
import {
  type MeasureOut,
  measured,
  newKeepOut,
  newOpening,
  newPoint,
  pointNames,
  renamed,
  without,
} from '../state/measure';
import { isTable, list, remove, set, type Table, tables } from '../state/tables';
import { PlaceFields } from './carry-place';
import { Choice, Tick } from './choice';
import { FaultsAt, Field } from './field';
import { Form, type Item } from './form';
import { KeepOutFields } from './measure-keepout';
import { AddStay, Stay } from './measure-stays';

const WHOLE: readonly Item[] = [
  { key: 'good', label: 'A point is wanted sure to', usualMm: 2 },
  { key: 'ground', label: 'Height of the ground, where known', usual: 'by the readings' },
];

export function MeasureSetup({ told }: { told: MeasureOut }) {
  const points = list(measured().points).filter(isTable);
  return (
    <>
      <details class="setup" open={points.length === 0}>
        <summary>Points to be measured</summary>
        <p class="hint">
          Sketch each to a hand’s breadth, in the coordinates of the frame: that tells left from right and near from
          far.
        </p>
        {points.map((point, number) => (
          <Point key={number} point={point} number={number} />
        ))}
        <button type="button" class="plain" onClick={() => void act(newPoint)}>
          Add a point
        </button>
        <div class="fields">
          <Form at={['measured']} value={measured()} items={WHOLE} />
        </div>
        <Pairs />
      </details>
      <details class="setup">
        <summary>Stays</summary>
        {tables('stay').map(([name, table]) => (
          <Stay key={name} name={name} table={table} told={told} />
        ))}
        <AddStay />
      </details>
      <details class="setup">
        <summary>Keep-outs</summary>
        {tables('keepout').map(([name, table]) => (
          <KeepOutFields key={name} name={name} table={table} />
        ))}
        <button type="button" class="plain" onClick={() => void act(newKeepOut)}>
          Add a keep-out
        </button>
      </details>
      <details class="setup">
        <summary>Doors and stands</summary>
        {tables('opening').map(([name, table]) => (
          <Opening key={name} name={name} table={table} />
        ))}
        <button type="button" class="plain" onClick={() => void act(newOpening())}>
          Add a door
        </button>
      </details>
    </>
  );
}

function Point({ point, number }: { point: Table; number: number }) {
  const at = ['measured', 'points', number] as const;
  const given = point.at !== undefined;
  const key = given ? 'at' : 'near';
  const name = String(point.name ?? `point ${number + 1}`);
  return (
    <section class="thing" aria-label={`Point ${name}`}>
      <div class="fields">
        <Field
          at={[...at, 'name']}
          label="Name"
          kind="text"
          value={point.name}
          changes={(value) => (typeof value === 'string' && value ? renamed(number, value) : [])}
        />
        <PlaceFields
          at={[...at, key]}
          label={given ? `${name} is exactly at` : `${name} is about at`}
          value={point[key] ?? [0, 0, 0]}
        />
        <Tick
          at={[...at, 'at']}
          label="It is exactly there, and not measured"
          value={given}
          changes={(now) => {
            const { at: there, near, ...rest } = point as Record<string, unknown>;
            const place = there ?? near ?? [0, 0, 0];
            return [set([...at], { ...rest, [now ? 'at' : 'near']: place })];
          }}
        />
      </div>
      <FaultsAt at={[...at]} />
      <button type="button" class="plain" onClick={() => void act(without(number))}>
        Remove {name}
      </button>
    </section>
  );
}

/** Points that are compared left against right where their names do not say it. */
function Pairs() {
  const pairs = list(measured().pairs).map(list);
  const names = pointNames();
  const path = ['measured', 'pairs'];
  return (
    <fieldset>
      <legend>Left and right of one another</legend>
      {!pairs.length && (
        <p class="hint">Points named left and right are compared by themselves; say here which else.</p>
      )}
      {pairs.map((pair, k) => (
        <div key={k} class="fields">
          {[0, 1].map((side) => (
            <Choice
              key={side}
              at={[...path, k, side]}
              label={`${side ? 'Right' : 'Left'} one of pair ${k + 1}`}
              value={String(pair[side] ?? '')}
              options={names.map((one) => [one, one])}
            />
          ))}
          <FaultsAt at={[...path, k]} />
          <p>
            <button type="button" class="plain" onClick={() => void act(takeRow(path, k))}>
              Remove pair {k + 1}
            </button>
          </p>
        </div>
      ))}
      {names.length > 1 && (
        <button type="button" class="plain" onClick={() => void act(() => addRow(path, names.slice(-2)))}>
          Add a pair
        </button>
      )}
    </fieldset>
  );
}

function Opening({ name, table }: { name: string; table: Table }) {
  const at = (key: string) => ['opening', name, key];
  const unit = job.value?.units;
  return (
    <section class="thing" aria-label={`Opening ${name}`}>
      <h3>{name}</h3>
      <div class="fields">
        <Field at={at('width')} label="Clear width" unit={unit} value={table.width} />
        <Field at={at('height')} label="Clear height" unit={unit} value={table.height} optional />
        <Field at={at('clearance')} label="Room all round" unit={unit} value={table.clearance} usual="0" optional />
        <Tick at={at('any_way')} label="It may be turned any way" value={table.any_way === true} />
      </div>
      <FaultsAt at={['opening', name]} />
      <button type="button" class="plain" onClick={() => void act([remove(['opening', name])])}>
        Remove {name}
      </button>
    </section>
  );
}
