// What is carried, what holds the frame, what it is used for: typed here, written into the job file.
import type * as carry from '../state/carry';
import { act } from '../state/edits';
import { job } from '../state/job';
import { freeName, isTable, list, remove, set, type Table, tables } from '../state/tables';
import { Choice } from './choice';
import { FaultsAt, Field } from './field';
import '../look/shape.css';
import { BoltFields } from './carry-bolt';
import { CarryCases } from './carry-cases';
import { PlaceFields } from './carry-place';
import { CarryStraps } from './carry-straps';

const HELD: readonly (readonly [string, string])[] = [
  ['pinned', 'pinned: it may turn'],
  ['fixed', 'fixed: it may not turn'],
];

export function CarrySetup({ told }: { told: carry.CarryOut }) {
  const data = job.value?.data ?? {};
  const load: Table = isTable(data.load) ? data.load : {};
  const payload = isTable(data.payload) ? data.payload : null;
  return (
    <>
      <details class="setup">
        <summary>Use and load cases</summary>
        <Use load={load} there={isTable(data.load)} uses={told.uses} />
        <CarryCases load={isTable(data.load) ? data.load : null} />
      </details>
      {payload && (
        <details class="setup">
          <summary>Payload and straps</summary>
          <Payload table={payload} />
          <CarryStraps payload={payload} copies={told.copies} />
        </details>
      )}
      <details class="setup">
        <summary>Fixings</summary>
        {tables('fixing').map(([name, table]) => (
          <Fixing key={name} name={name} table={table} told={told} />
        ))}
        <button type="button" class="plain" onClick={addFixing(told.copies)}>
          Add a fixing
        </button>
      </details>
    </>
  );
}

function addFixing(copies: readonly string[]): () => void {
  return () => {
    const taken = tables('fixing').map(([name]) => name);
    const added = { piece: copies[0] ?? '', at: [0, 0, 0], held: 'pinned' };
    void act([set(['fixing', freeName('fixing', taken)], added)]);
  };
}

function Use({ load, there, uses }: { load: Table; there: boolean; uses: readonly string[] }) {
  const into = (key: string, value: unknown) =>
    value === undefined || value === ''
      ? load[key] === undefined
        ? []
        : [remove(['load', key])]
      : there
        ? [set(['load', key], value)]
        : [set(['load'], { [key]: value })];
  return (
    <div class="fields">
      <Choice
        at={['load', 'use']}
        label="Used as or on"
        value={String(load.use ?? '')}
        options={[['', 'not said'], ...uses.map((one) => [one, one] as const)]}
        changes={(value) => into('use', value)}
      />
      <Field
        at={['load', 'safety']}
        label="Safety"
        value={load.safety}
        kind="number"
        usual="1.5"
        optional
        changes={(value) => into('safety', value)}
      />
      <Field
        at={['load', 'leaning']}
        label="A person leans on it with"
        unit="N"
        value={load.leaning}
        kind="number"
        usual="as usual in its use"
        optional
        changes={(value) => into('leaning', value)}
      />
    </div>
  );
}

function Payload({ table }: { table: Table }) {
  const pieces = tables('piece').map(([name]) => name);
  const on = list(table.on).map(String);
  return (
    <fieldset>
      <legend>Payload</legend>
      <div class="fields">
        <Field at={['payload', 'name']} label="Called" value={table.name} kind="text" usual="payload" optional />
        <Field at={['payload', 'mass']} label="Mass" unit="kg" value={table.mass} kind="number" />
        <PlaceFields at={['payload', 'centre']} label="Its middle" value={table.centre} />
      </div>
      <fieldset class="bears" aria-label="Pieces that bear it">
        {pieces.map((name) => (
          <label key={name} class="tick">
            <input
              type="checkbox"
              checked={on.some((one) => one === name || one.startsWith(`${name} `))}
              onChange={(event) => {
                const left = on.filter((one) => one !== name && !one.startsWith(`${name} `));
                const now = event.currentTarget.checked ? [...left, name] : left;
                void act([now.length ? set(['payload', 'on'], now) : remove(['payload', 'on'])]);
              }}
            />
            lies on {name}
          </label>
        ))}
      </fieldset>
      <FaultsAt at={['payload']} />
    </fieldset>
  );
}

function Fixing({ name, table, told }: { name: string; table: Table; told: carry.CarryOut }) {
  const held = typeof table.held === 'string' ? table.held : table.held === undefined ? 'pinned' : 'springs';
  const options = held === 'springs' ? [...HELD, ['springs', 'on springs'] as const] : HELD;
  return (
    <fieldset>
      <legend>Fixing {name}</legend>
      <div class="fields">
        <Choice
          at={['fixing', name, 'piece']}
          label="Holds"
          value={String(table.piece ?? '')}
          options={told.copies.map((one) => [one, one])}
        />
        <Choice
          at={['fixing', name, 'held']}
          label="Held"
          value={held}
          options={options}
          changes={(value) => (value === 'springs' ? [] : [set(['fixing', name, 'held'], value)])}
        />
        <PlaceFields at={['fixing', name, 'at']} label={`Where ${name} holds`} value={table.at} />
        <BoltFields at={['fixing', name]} bolt={table.bolt} told={told} />
      </div>
      <button type="button" class="plain" onClick={() => void act([remove(['fixing', name])])}>
        Remove fixing {name}
      </button>
    </fieldset>
  );
}
