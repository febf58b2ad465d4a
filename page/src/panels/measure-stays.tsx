// Stays as the file asks for them: from where to where, their ends, how they may be bent.
import { useState } from 'preact/hooks';
import { act } from '../state/edits';
import { job } from '../state/job';
import { keyChange } from '../state/keys';
import { type MeasureOut, newStay, pointNames } from '../state/measure';
import { list, set, type Table, tables } from '../state/tables';
import { inUnits } from '../state/typed';
import { withoutPiece } from '../state/without-piece';
import { PlaceFields } from './carry-place';
import { Choice } from './choice';
import { FaultsAt, Field } from './field';
import { Form, type Item, MirrorIn } from './form';

const ENDS: readonly (readonly [string, string])[] = [
  ['butted', 'welded on'],
  ['flattened', 'pressed flat, with a hole'],
  ['drilled', 'drilled through'],
];
const A_PLACE = '';
const MORE: readonly Item[] = [
  { key: 'end', label: 'Hole to the end', usual: '2 holes' },
  { key: 'clearance', label: 'Clear of the frame', usualMm: 3 },
  { key: 'radius', label: 'Radius, where it must bend', usual: 'that of its bender' },
  { key: 'sure', label: 'Its slot reaches in', kind: 'number', usual: '0.95', hint: 'of 1: 0.95 is 19 cases of 20' },
];

export function Stay({ name, table, told }: { name: string; table: Table; told: MeasureOut }) {
  const at = (...keys: (string | number)[]) => ['stay', name, ...keys];
  const ends = list(table.ends).length === 2 ? list(table.ends).map(String) : ['butted', 'butted'];
  const named = (sort: string) => tables(sort).map(([one]) => [one, one] as const);
  return (
    <section class="thing" aria-label={`Stay ${name}, as asked for`}>
      <h3>{name}</h3>
      <div class="fields">
        <Choice at={at('stock')} label="Stock" value={String(table.stock ?? '')} options={named('stock')} />
        <Choice
          at={at('piece')}
          label="Starts at"
          value={String(table.piece ?? '')}
          options={[['', 'no piece: at a measured point'], ...named('piece')]}
          changes={(next) => keyChange(at('piece'), next || undefined)}
        />
        <Where at={at('from')} value={table.from} told={told} label="From" says={`Where ${name} starts`} />
        <Where at={at('to')} value={table.to} told={told} label="To" says={`Where ${name} ends`} />
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
        <Field at={at('hole')} label="Hole, or its bolt" value={table.hole} optional />
        <Form at={at()} value={table} items={MORE} />
        <Choice
          at={at('bender')}
          label="Bent on"
          value={String(table.bender ?? '')}
          options={[['', 'the only bender of the job'], ...named('bender')]}
          changes={(next) => keyChange(at('bender'), next || undefined)}
        />
        <Axes at={at('axes')} value={table.axes} />
        <MirrorIn at={at('mirror_in')} value={table.mirror_in} />
      </div>
      <FaultsAt at={at()} />
      <button type="button" class="plain" onClick={() => void act(withoutPiece(job.value?.data ?? {}, name, 'stay'))}>
        Remove {name}
      </button>
    </section>
  );
}

/** A measured point by its name, or a place. */
function Where(props: { at: (string | number)[]; value: unknown; told: MeasureOut; label: string; says: string }) {
  const { at, value, told, label, says } = props;
  const isPlace = Array.isArray(value);
  const start = (): unknown[] => {
    const mm = told.points.find((one) => one.name === value)?.at_mm ?? [0, 0, 0];
    return mm.map((one) => inUnits(one, job.value?.units));
  };
  return (
    <>
      <Choice
        at={[...at, 'point']}
        label={label}
        value={isPlace ? A_PLACE : String(value ?? '')}
        options={[[A_PLACE, 'a place of the frame'], ...pointNames().map((one) => [one, one] as const)]}
        changes={(next) => [set(at, next === A_PLACE ? start() : next)]}
      />
      {isPlace ? <PlaceFields at={at} label={says} value={value} /> : <FaultsAt at={at} />}
    </>
  );
}

/** The directions of both bolts, where the flats are to lie to them: both or none. */
function Axes({ at, value }: { at: (string | number)[]; value: unknown }) {
  const axes = list(value);
  if (!axes.length)
    return (
      <p>
        <button
          type="button"
          class="plain"
          onClick={() =>
            void act(
              keyChange(at, [
                [0, 1, 0],
                [0, 1, 0],
              ]),
            )
          }
        >
          Say how its bolts point
        </button>
      </p>
    );
  return (
    <>
      {[0, 1].map((end) => (
        <Form
          key={end}
          at={at}
          value={axes}
          items={[{ key: end, label: `Bolt of end ${end ? 'B' : 'A'} points along`, kind: 'three', must: true }]}
        />
      ))}
      <p>
        <button type="button" class="plain" onClick={() => void act(keyChange(at, undefined))}>
          Its bolts may point anywhere
        </button>
      </p>
    </>
  );
}

export function AddStay() {
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
