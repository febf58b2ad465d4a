// Load cases of the maker's own, besides those of the use.
import type { Change } from '../api';
import { act } from '../state/edits';
import { addRow, standsAt } from '../state/keys';
import { freeName, isTable, list, remove, type Table } from '../state/tables';
import { Field } from './field';

const CASES = ['load', 'cases'] as const;

const TIMES = [
  ['down', 'Pressed down by', '1'],
  ['forward', 'Thrown forward by', '0'],
  ['left', 'Thrown to the left by', '0'],
] as const;

export function CarryCases({ load }: { load: Table | null }) {
  const cases = list(load?.cases).filter(isTable);
  return (
    <fieldset>
      <legend>Load cases of your own</legend>
      {cases.length === 0 && (
        <p class="dim">None. Its use brings the usual ones; add what you have measured or what a standard asks for.</p>
      )}
      {cases.map((one, number) => (
        <Case key={number} one={one} number={number} alone={cases.length === 1} />
      ))}
      <button type="button" class="plain" onClick={() => void act(newCase)}>
        Add a load case
      </button>
    </fieldset>
  );
}

function Case({ one, number, alone }: { one: Table; number: number; alone: boolean }) {
  const at = [...CASES, number];
  const name = String(one.name ?? number + 1);
  return (
    <fieldset>
      <legend>Load case {name}</legend>
      <div class="fields">
        <Field at={[...at, 'name']} label="Called" value={one.name} kind="text" />
        {TIMES.map(([key, label, usual]) => (
          <Field
            key={key}
            at={[...at, key]}
            label={label}
            unit="times its weight"
            value={one[key]}
            kind="number"
            usual={usual}
            optional
          />
        ))}
        <Field at={[...at, 'source']} label="Where that is from" value={one.source} kind="text" optional />
      </div>
      <button type="button" class="plain" onClick={() => void act([remove(alone ? [...CASES] : at)])}>
        Remove load case {name}
      </button>
    </fieldset>
  );
}

/** One more load case, to be corrected: twice its weight pressing down. */
export function newCase(): readonly Change[] {
  const names = list(standsAt(CASES))
    .filter(isTable)
    .map((one) => String(one.name ?? ''));
  return addRow([...CASES], { name: freeName('own case', names), down: 2 });
}
