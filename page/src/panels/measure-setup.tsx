// What the file asks: points, stays, keep-outs and openings, typed here and written into the job file.
import { useState } from 'preact/hooks';
import { act } from '../state/edits';
import { job } from '../state/job';
import {
  type MeasureOut,
  measured,
  newKeepOut,
  newOpening,
  newPoint,
  newStay,
  pointNames,
  renamed,
  without,
} from '../state/measure';
import { isTable, list, remove, set, type Table, tables } from '../state/tables';
import { withoutPiece } from '../state/without-piece';
import { PlaceFields } from './carry-place';
import { Choice, Tick } from './choice';
import { FaultsAt, Field } from './field';
import { KeepOutFields } from './measure-keepout';

const ENDS: readonly (readonly [string, string])[] = [
  ['butted', 'welded on'],
  ['flattened', 'pressed flat, with a hole'],
  ['drilled', 'drilled through'],
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
        <button type="button" class="plain" onClick={() => void act(newPoint())}>
          Add a point
        </button>
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
        <button type="button" class="plain" onClick={() => void act(newKeepOut())}>
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

function Stay({ name, table, told }: { name: string; table: Table; told: MeasureOut }) {
  const at = (...keys: (string | number)[]) => ['stay', name, ...keys];
  const ends = list(table.ends).length === 2 ? list(table.ends).map(String) : ['butted', 'butted'];
  const names = told.points.map((point) => point.name);
  return (
    <section class="thing" aria-label={`Stay ${name}, as asked for`}>
      <h3>{name}</h3>
      <div class="fields">
        <Choice
          at={at('stock')}
          label="Stock"
          value={String(table.stock ?? '')}
          options={tables('stock').map(([one]) => [one, one])}
        />
        <Choice
          at={at('piece')}
          label="Starts at"
          value={String(table.piece ?? '')}
          options={tables('piece').map(([one]) => [one, one])}
        />
        {Array.isArray(table.from) && <PlaceFields at={at('from')} label={`Where ${name} starts`} value={table.from} />}
        {Array.isArray(table.to) ? (
          <PlaceFields at={at('to')} label={`Where ${name} ends`} value={table.to} />
        ) : (
          <Choice at={at('to')} label="To" value={String(table.to ?? '')} options={names.map((one) => [one, one])} />
        )}
        {[0, 1].map((end) => (
          <Choice
            key={end}
            at={at('ends', end)}
            label={`End ${end ? 'B' : 'A'}`}
            value={ends[end] ?? 'butted'}
            options={ENDS}
            changes={(value) => {
              const next = ends.map((one, k) => (k === end ? value : one));
              const hole = next.some((one) => one !== 'butted') && table.hole === undefined;
              return [set(at('ends'), next), ...(hole ? [set(at('hole'), 'M6')] : [])];
            }}
          />
        ))}
        <Field at={at('hole')} label="Hole, or its bolt" kind="text" value={table.hole} optional />
        <Field
          at={at('end')}
          label="Hole to the end"
          unit={job.value?.units}
          value={table.end}
          usual="2 holes"
          optional
        />
        <Field
          at={at('clearance')}
          label="Clear of the frame"
          unit={job.value?.units}
          value={table.clearance}
          optional
        />
      </div>
      <FaultsAt at={at()} />
      <button type="button" class="plain" onClick={() => void act(withoutPiece(job.value?.data ?? {}, name, 'stay'))}>
        Remove {name}
      </button>
    </section>
  );
}

function AddStay() {
  const names = pointNames();
  const [chosen, setChosen] = useState('');
  if (!names.length) return <p class="hint">A stay goes to a measured point; there is none yet.</p>;
  const point = names.includes(chosen) ? chosen : (names[0] ?? '');
  return (
    <div class="add-reading">
      <div class="field">
        <label for="new-stay">A new stay to</label>
        <select id="new-stay" value={point} onChange={(event) => setChosen(event.currentTarget.value)}>
          {names.map((one) => (
            <option key={one}>{one}</option>
          ))}
        </select>
      </div>
      <button type="button" class="plain" onClick={() => void act(newStay(point))}>
        Add the stay
      </button>
    </div>
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
