// What the file asks of crossbars, tabs and blocks: typed here, written into the job file.
import { useId, useState } from 'preact/hooks';
import { act } from '../state/edits';
import { job } from '../state/job';
import { blocksChange, newCrossbar, type PartsOut } from '../state/parts';
import { isTable, list, set, type Table, tables } from '../state/tables';
import { withoutPiece } from '../state/without-piece';
import { Choice } from './choice';
import { FaultsAt, Field } from './field';
import { ENDS, Form, type Item } from './form';
import { AddTab, Tab } from './parts-tabs';
import '../look/carry.css';
import '../look/shape.css';

const OFF: readonly Item[] = [
  {
    key: 'off',
    label: 'Out of the middle of the straights',
    kind: 'three',
    usual: '0, 0, 0',
    hint: 'x, y, z: to bring bars flush',
  },
];

export function PartsSetup({ told }: { told: PartsOut }) {
  const shop = job.value?.data.shop;
  const blocks = isTable(shop) ? list(shop.blocks) : [];
  return (
    <>
      <details class="setup">
        <summary>Crossbars</summary>
        {tables('crossbar').map(([name, table]) => (
          <Crossbar key={name} name={name} table={table} told={told} />
        ))}
        <AddCrossbar told={told} />
      </details>
      <details class="setup">
        <summary>Tabs</summary>
        {tables('tab').map(([name, table]) => (
          <Tab key={name} name={name} table={table} />
        ))}
        <AddTab />
      </details>
      <Field
        at={['shop', 'blocks']}
        label="Spacer blocks that you own"
        unit={job.value?.units}
        kind="text"
        value={blocks.length ? blocks.join(', ') : undefined}
        hint="sizes apart by commas; one that you have twice stands there twice"
        optional
        changes={blocksChange}
      />
    </>
  );
}

function Crossbar({ name, table, told }: { name: string; table: Table; told: PartsOut }) {
  const at = (key: string) => ['crossbar', name, key];
  const unit = job.value?.units;
  return (
    <section class="thing" aria-label={`Crossbars ${name}`}>
      <h3>{name}</h3>
      <div class="fields">
        {[0, 1].map((one) => {
          const side = list(list(table.between)[one]);
          return (
            <Choice
              key={one}
              at={[...at('between'), one]}
              label={one ? 'To' : 'From'}
              value={JSON.stringify(side)}
              options={told.sides.map((known) => [JSON.stringify([known.piece, known.number]), known.says])}
              changes={(value) => [set([...at('between'), one], JSON.parse(value))]}
              wide
            />
          );
        })}
        <Choice
          at={at('stock')}
          label="Stock"
          value={String(table.stock ?? '')}
          options={tables('stock').map(([one]) => [one, one])}
        />
        <Choice at={at('ends')} label="Ends" value={String(table.ends ?? 'butted')} options={ENDS} />
        <Field at={at('count')} label="How many" kind="whole" value={table.count} optional />
        <Field at={at('spacing')} label="From middle to middle" unit={unit} value={table.spacing} optional />
        <Field
          at={at('from')}
          label="First, from the beginning of the straight"
          unit={unit}
          value={table.from}
          optional
        />
        <Field at={at('to')} label="Last, from its end" unit={unit} value={table.to} optional />
        <Field at={at('shift')} label="Slant: far end shifted by" unit={unit} value={table.shift} usual="0" optional />
        <Form at={['crossbar', name]} value={table} items={OFF} />
      </div>
      <FaultsAt at={['crossbar', name]} />
      <button
        type="button"
        class="plain"
        onClick={() => void act(withoutPiece(job.value?.data ?? {}, name, 'crossbar'))}
      >
        Remove {name}
      </button>
    </section>
  );
}

function AddCrossbar({ told }: { told: PartsOut }) {
  const id = useId();
  const [chosen, setChosen] = useState<readonly [number, number]>([told.usual[0] ?? 0, told.usual[1] ?? 1]);
  if (told.sides.length < 2) return <p class="hint">A crossbar stands between two straights; there are none yet.</p>;
  const between = chosen.map((one) => {
    const side = told.sides[one];
    return [side?.piece ?? '', side?.number ?? 1] as const;
  });
  return (
    <div class="fields">
      {[0, 1].map((one) => (
        <div key={one} class="field wide">
          <label for={`${id}-${one}`}>{one ? 'To the straight' : 'New ones, from the straight'}</label>
          <select
            id={`${id}-${one}`}
            value={chosen[one]}
            onChange={(event) => {
              const next = Number(event.currentTarget.value);
              setChosen(one ? [chosen[0], next] : [next, chosen[1]]);
            }}
          >
            {told.sides.map((side, number) => (
              <option key={side.says} value={number}>
                {side.says}
              </option>
            ))}
          </select>
        </div>
      ))}
      <button type="button" class="plain" onClick={() => void act(newCrossbar(between))}>
        Add crossbars
      </button>
    </div>
  );
}
