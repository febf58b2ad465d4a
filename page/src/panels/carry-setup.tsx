// What is carried, what holds the frame, what it is used for: typed here, written into the job file.
import type { Change } from '../api';
import type * as carry from '../state/carry';
import { act } from '../state/edits';
import { job } from '../state/job';
import { keyChange } from '../state/keys';
import { freeName, isTable, list, remove, set, type Table, tables } from '../state/tables';
import { AmountField } from './amount';
import { Choice } from './choice';
import { FaultsAt, Field } from './field';
import { Form, type Item, Places } from './form';
import '../look/shape.css';
import { BoltFields } from './carry-bolt';
import { CarryCases } from './carry-cases';
import { PlaceFields } from './carry-place';
import { CarryStraps } from './carry-straps';

const HELD: readonly (readonly [string, string])[] = [
  ['pinned', 'pinned: it may turn'],
  ['fixed', 'fixed: it may not turn'],
  ['springs', 'on springs'],
];
/** Held along all three directions, free to turn: what is soft is typed in. */
const STIFF = [10000, 10000, 10000, 0, 0, 0];
const ALONG: Item = { key: 'along', label: 'Its bolt points along', kind: 'three', usual: '1, 0, 0' };
const SPRINGS: Item = {
  key: 'held',
  label: 'Stiffnesses',
  kind: 'list',
  hint: 'N/mm along, then N mm/rad about three directions; inf holds, 0 is free',
  must: true,
  wide: true,
};

const words = (...all: string[]) => all.map((one) => [one, one] as const);
const MORE: readonly Item[] = [
  {
    key: 'road',
    label: 'Goes over',
    kind: 'choice',
    options: words('smooth road', 'rough road', 'track with stones'),
    usual: 'not said',
    hint: 'for how long welds last',
  },
  { key: 'km', label: 'Should last', kind: 'number', unit: 'km', usual: '0' },
  { key: 'welding', label: 'Welded by', kind: 'choice', options: words('TIG', 'MIG') },
  { key: 'filler', label: 'Filler for aluminium', kind: 'choice', options: words('5356', '4043'), usual: '5356' },
  { key: 'up', label: 'Up is', kind: 'three', usual: '0, 0, 1' },
  { key: 'forward', label: 'Forward is', kind: 'three', usual: '1, 0, 0' },
];

export function CarrySetup({ told }: { told: carry.CarryOut }) {
  const data = job.value?.data ?? {};
  const load: Table = isTable(data.load) ? data.load : {};
  const payload = isTable(data.payload) ? data.payload : null;
  return (
    <>
      <details class="setup">
        <summary>Use and load cases</summary>
        <Use load={load} uses={told.uses} />
        <CarryCases load={isTable(data.load) ? data.load : null} />
      </details>
      <details class="setup">
        <summary>Payload and straps</summary>
        {payload ? (
          <>
            <Payload table={payload} />
            <CarryStraps payload={payload} copies={told.copies} />
            <button type="button" class="plain" onClick={() => void act([remove(['payload'])])}>
              It carries nothing
            </button>
          </>
        ) : (
          <button type="button" class="plain" onClick={() => void act(newPayload())}>
            Say what it carries
          </button>
        )}
      </details>
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

/** Ten kilograms on the first piece, to be corrected. */
export function newPayload(): readonly Change[] {
  const [first] = tables('piece');
  const points = list(first?.[1].points).map((one) => list(one).map(Number));
  const middle = (axis: number): number => {
    const all = points.map((one) => one[axis] ?? 0).filter(Number.isFinite);
    return all.length ? Math.round((Math.min(...all) + Math.max(...all)) / 2) : 0;
  };
  const over = job.value?.units === 'in' ? 4 : 100;
  const centre = [middle(0), middle(1), middle(2) + over];
  return [set(['payload'], { mass: 10, centre, ...(first ? { on: [first[0]] } : {}) })];
}

function Use({ load, uses }: { load: Table; uses: readonly string[] }) {
  const into = (key: string, value: unknown) => keyChange(['load', key], value === '' ? undefined : value);
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
      <AmountField
        at={['load', 'leaning']}
        label="A person leans on it with"
        of="force"
        value={load.leaning}
        usual="as usual"
        optional
        changes={(value) => into('leaning', value)}
      />
      <Form at={['load']} value={load} items={MORE} />
    </div>
  );
}

function Payload({ table }: { table: Table }) {
  const pieces = ['piece', 'crossbar', 'stay'].flatMap((kind) => tables(kind).map(([name]) => name));
  const on = list(table.on).map(String);
  return (
    <fieldset>
      <legend>Payload</legend>
      <div class="fields">
        <Field at={['payload', 'name']} label="Called" value={table.name} kind="text" usual="payload" optional />
        <AmountField of="mass" at={['payload', 'mass']} label="Mass" value={table.mass} />
        <PlaceFields at={['payload', 'centre']} label="Its middle" value={table.centre} />
      </div>
      <fieldset class="bears" aria-label="Pieces that bear it">
        {pieces.map((name) => (
          <label key={name} class="tick">
            <input
              type="checkbox"
              data-at="payload.on"
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
      <div class="fields">
        <Form
          at={['payload']}
          value={table}
          items={[
            {
              key: 'size',
              label: 'Fills a block of',
              unit: job.value?.units ?? 'mm',
              kind: 'three',
              usual: 'not said',
              hint: 'x, y, z: how it swings',
            },
          ]}
        />
        <Places
          at={['payload', 'at']}
          label="Bears at"
          value={table.at}
          add={list(table.at).length ? 'Add a place where it bears' : 'Say where it bears, instead of pieces'}
          start={list(table.centre)}
        />
      </div>
      <FaultsAt at={['payload']} />
    </fieldset>
  );
}

function Fixing({ name, table, told }: { name: string; table: Table; told: carry.CarryOut }) {
  const held = typeof table.held === 'string' ? table.held : table.held === undefined ? 'pinned' : 'springs';
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
          options={HELD}
          changes={(value) => [set(['fixing', name, 'held'], value === 'springs' ? STIFF : value)]}
        />
        <PlaceFields at={['fixing', name, 'at']} label={`Where ${name} holds`} value={table.at} />
        <Form at={['fixing', name]} value={table} items={held === 'springs' ? [SPRINGS, ALONG] : [ALONG]} />
        <BoltFields at={['fixing', name]} bolt={table.bolt} told={told} />
      </div>
      <button type="button" class="plain" onClick={() => void act([remove(['fixing', name])])}>
        Remove fixing {name}
      </button>
    </fieldset>
  );
}
