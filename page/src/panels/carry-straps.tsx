// Straps over the payload: where each is hooked, where it pulls to, how hard.
import type { Change } from '../api';
import { act } from '../state/edits';
import { addRow } from '../state/keys';
import { isTable, list, remove, type Table } from '../state/tables';
import { AmountField } from './amount';
import { PlaceFields } from './carry-place';
import { Choice } from './choice';

const STRAPS = ['payload', 'straps'] as const;

export function CarryStraps({ payload, copies }: { payload: Table; copies: readonly string[] }) {
  const straps = list(payload.straps).filter(isTable);
  return (
    <fieldset>
      <legend>Straps</legend>
      {straps.length === 0 && <p class="dim">None: the payload lies there by its weight alone.</p>}
      {straps.map((strap, number) => (
        <Strap key={number} strap={strap} number={number} copies={copies} alone={straps.length === 1} />
      ))}
      <button type="button" class="plain" onClick={() => void act(() => newStrap(payload, copies))}>
        Add a strap
      </button>
    </fieldset>
  );
}

function Strap({
  strap,
  number,
  copies,
  alone,
}: {
  strap: Table;
  number: number;
  copies: readonly string[];
  alone: boolean;
}) {
  const at = [...STRAPS, number];
  const name = `strap ${number + 1}`;
  return (
    <fieldset>
      <legend>Strap {number + 1}</legend>
      <div class="fields">
        <Choice
          at={[...at, 'piece']}
          label="Hooked to"
          value={String(strap.piece ?? '')}
          options={copies.map((one) => [one, one])}
        />
        <AmountField of="force" at={[...at, 'tension']} label="Pulled to" value={strap.tension} />
        <PlaceFields at={[...at, 'at']} label={`Where ${name} is hooked`} value={strap.at} />
        <PlaceFields at={[...at, 'towards']} label={`Where ${name} pulls to`} value={strap.towards} />
      </div>
      <button type="button" class="plain" onClick={() => void act([remove(alone ? [...STRAPS] : at)])}>
        Remove {name}
      </button>
    </fieldset>
  );
}

/** One more strap: from under the middle of the payload up to it, to be put where it is. */
export function newStrap(payload: Table, copies: readonly string[]): readonly Change[] {
  const [x = 0, y = 0, z = 0] = list(payload.centre);
  const low = z === 0 ? -1 : 0;
  const strap = { piece: copies[0] ?? '', at: [x, y, low], towards: [x, y, z], tension: 100 };
  return addRow([...STRAPS], strap);
}
