// What the file asks of crossbars, tabs and blocks: typed here, written into the job file.
import { useId, useState } from 'preact/hooks';
import { act } from '../state/edits';
import { job } from '../state/job';
import { blocksChange, newCrossbar, newTab, type PartsOut } from '../state/parts';
import { isTable, list, remove, set, type Table, tables } from '../state/tables';
import { withoutPiece } from '../state/without-piece';
import { PlaceFields } from './carry-place';
import { Choice } from './choice';
import { FaultsAt, Field } from './field';
import '../look/carry.css';
import '../look/shape.css';

const ENDS: readonly (readonly [string, string])[] = [
  ['butted', 'butted: sawn flat'],
  ['coped', 'coped: shaped to the round'],
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

function Tab({ name, table }: { name: string; table: Table }) {
  const at = (key: string) => ['tab', name, key];
  const unit = job.value?.units;
  const first = list(table.at);
  const several = Array.isArray(first[0]);
  return (
    <section class="thing" aria-label={`Tabs ${name}`}>
      <h3>{name}</h3>
      <div class="fields">
        {!several && first.length === 3 && <PlaceFields at={at('at')} label="Middle of its hole" value={first} />}
        {several && <p class="hint">Places: {first.map((one) => `[${list(one).join(', ')}]`).join(', ')}</p>}
        {table.thread === undefined ? (
          <Field at={at('hole')} label="Hole" kind="text" value={table.hole} hint='a size, or the bolt: "M6"' />
        ) : (
          <Field at={at('thread')} label="Thread" kind="text" value={table.thread} hint="M6, or 1/4-20" />
        )}
        {table.thickness !== undefined && (
          <Field at={at('thickness')} label="Thickness" unit={unit} value={table.thickness} />
        )}
        <Field at={at('width')} label="Width" unit={unit} value={table.width} usual="as the hole wants" optional />
        <Field at={at('end')} label="Hole to outer end" unit={unit} value={table.end} usual="as usual" optional />
      </div>
      <FaultsAt at={['tab', name]} />
      <p class="row">
        <button type="button" class="plain" onClick={() => void act(turned(name, table))}>
          {table.thread === undefined ? 'Cut a thread instead' : 'Drill it through instead'}
        </button>
        <button type="button" class="plain" onClick={() => void act([remove(['tab', name])])}>
          Remove {name}
        </button>
      </p>
    </section>
  );
}

/** From a hole to a thread of the same bolt, and back. */
function turned(name: string, table: Table) {
  const [from, to] = table.thread === undefined ? ['hole', 'thread'] : ['thread', 'hole'];
  const bolt = typeof table[from] === 'string' ? table[from] : 'M6';
  const taken = table[from] === undefined ? [] : [remove(['tab', name, from])];
  return [...taken, set(['tab', name, to], bolt)];
}

function AddTab() {
  const pieces = tables('piece');
  const first = pieces[0];
  if (!first) return null;
  const points = list(first[1].points);
  const [a, b] = [list(points[0]), list(points[1])];
  const far = job.value?.units === 'in' ? 1 : 30;
  const middle = [0, 1, 2].map((k) => (Number(a[k] ?? 0) + Number(b[k] ?? 0)) / 2);
  const hole = [middle[0], middle[1], (middle[2] ?? 0) - far];
  const across = Math.abs(Number(b[0] ?? 1) - Number(a[0] ?? 0)) >= Math.abs(Number(b[1] ?? 0) - Number(a[1] ?? 0));
  return (
    <button
      type="button"
      class="plain"
      onClick={() =>
        void act(newTab(first[0], Number.isFinite(hole[0]) ? hole : [0, 0, -far], across ? [0, 1, 0] : [1, 0, 0]))
      }
    >
      Add a tab
    </button>
  );
}
