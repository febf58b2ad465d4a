// Holes of a piece, and slots and threads of a bracket: typed here; what is told of those in a bracket comes from its flat.
import { act } from '../state/edits';
import { GRADES, madeChanges, placedChanges } from '../state/holes';
import { job } from '../state/job';
import { addRow, keyChange, takeRow } from '../state/keys';
import { isTable, list, type Table } from '../state/tables';
import * as weldFinish from '../state/weld-finish';
import { PlaceFields } from './carry-place';
import { Choice } from './choice';
import { FaultsAt, Field } from './field';
import { Form, type Item } from './form';
import { ROUND } from './piece-ends';
import { sentence } from './sentence';
import { useWithJob } from './told-of-job';
import '../look/carry.css';

const PLACED = [
  ['along', 'along the whole bar, from end A'],
  ['side', 'along one side, from its corner point'],
  ['at', 'where a bolt goes through in the frame'],
] as const;
const SLOTS = [
  ['slot', 'a slot'],
  ['thread', 'a thread cut into the bar'],
] as const;
const INTO = [
  ['0', '0°, inside the first bend'],
  ['90', '90°, clockwise from A to B'],
  ['180', '180°, opposite'],
  ['-90', '−90°, anticlockwise'],
] as const;
const ACROSS: Item = { key: 'across', label: 'Beside the middle', usual: '0', hint: 'above 0: left, seen from end A' };

export function PieceHoles({ name, table, section }: { name: string; table: Table; section: string }) {
  useWithJob(weldFinish.ask);
  const at = ['piece', name, 'holes'];
  const holes = list(table.holes).filter(isTable);
  const flat = weldFinish.told.value?.flats.find((one) => one.name === name);
  const inch = job.value?.units === 'in';
  return (
    <details class="setup">
      <summary>Holes{holes.length > 0 && <span class="dim">, {holes.length}</span>}</summary>
      {holes.map((hole, k) => (
        <Hole
          key={k}
          at={[...at, k]}
          hole={hole}
          number={k + 1}
          sort={sortOf(section, table.way)}
          hollow={section.endsWith('tube')}
          says={flat?.holes.find((one) => one.number === k + 1)}
        />
      ))}
      <FaultsAt at={at} />
      <button
        type="button"
        class="plain"
        onClick={() => void act(() => addRow(at, { along: inch ? 1 : 25, diameter: 'M6' }))}
      >
        Add a hole
      </button>
      {holes.length > 0 && (
        <p class="caution">
          Clamp the bar to drill it, never hold it: a drill that breaks through grabs the bar and spins it.
        </p>
      )}
    </details>
  );
}

/** Holes of a bracket are laid out in its flat, others are drilled into the bar: round it, or square to one of its sides. */
type Sort = 'bracket' | 'round' | 'sided';

function sortOf(section: string, way: unknown): Sort {
  if (section === 'round' || section === 'tube') return 'round';
  return section === 'flat' && way !== 'hard' ? 'bracket' : 'sided';
}

type Says = weldFinish.Flat['holes'][number] | undefined;

function Hole(props: {
  at: (string | number)[];
  hole: Table;
  number: number;
  sort: Sort;
  hollow: boolean;
  says: Says;
}) {
  const { at, hole, number, sort, hollow, says } = props;
  const drilled = sort !== 'bracket';
  const unit = job.value?.units;
  const placed = hole.at !== undefined ? 'at' : hole.side !== undefined ? 'side' : 'along';
  const made = hole.thread !== undefined ? 'thread' : hole.slot !== undefined ? 'slot' : 'hole';
  const bolted = made === 'thread' || typeof hole.diameter === 'string';
  const list = at.slice(0, -1);
  return (
    <section class="thing" aria-label={`Hole ${number}`}>
      <h3>
        Hole {number}
        {says && <span class="dim">, {says.after ? 'drilled after bending' : 'drilled in the flat'}</span>}
      </h3>
      {says?.says.map((line) => (
        <p key={line} class="dim">
          {sentence(line)}
        </p>
      ))}
      <div class="fields">
        <Choice
          at={[...at, 'placed']}
          label="Placed"
          value={placed}
          options={PLACED.filter(([one]) => !drilled || one !== 'at' || placed === 'at')}
          changes={(next) => placedChanges(at, hole, next)}
          wide
        />
        {placed === 'at' ? (
          <PlaceFields at={[...at, 'at']} label={`The axis of hole ${number} goes through`} value={hole.at} />
        ) : (
          <>
            {placed === 'side' && <Field at={[...at, 'side']} label="Side" kind="whole" value={hole.side} />}
            <Field
              at={[...at, 'along']}
              label={placed === 'side' ? 'From its corner point' : 'From end A'}
              unit={unit}
              value={hole.along}
            />
            <Form at={at} value={hole} items={[sort === 'round' ? ROUND : ACROSS]} />
          </>
        )}
        {sort === 'sided' && (
          <Choice
            at={[...at, 'round']}
            label="Drilled into the side"
            value={sideOf(hole.round)}
            options={INTO}
            changes={(turn) => keyChange([...at, 'round'], turn === '0' ? undefined : Number(turn))}
            wide
          />
        )}
        <Choice
          at={[...at, 'made']}
          label="It is"
          value={made}
          options={[['hole', 'a round hole'], ...(drilled && made === 'hole' ? [] : SLOTS)]}
          changes={(next) => madeChanges(at, hole, next)}
        />
        {made === 'thread' ? (
          <Field at={[...at, 'thread']} label="Thread" kind="text" value={hole.thread} hint="M5, or 1/4-20" />
        ) : (
          <Field
            at={[...at, 'diameter']}
            label={made === 'slot' ? 'Width of the slot' : 'Diameter'}
            value={hole.diameter}
            hint="a size, or the bolt that goes through: M6"
          />
        )}
        {(hollow || hole.walls !== undefined) && (
          <Choice
            at={[...at, 'walls']}
            label="Through"
            value={String(hole.walls ?? 'both')}
            options={[
              ['both', 'both walls'],
              ['one', 'one wall'],
            ]}
            changes={(next) => keyChange([...at, 'walls'], next === 'both' ? undefined : next)}
          />
        )}
        {made === 'slot' && (
          <>
            <Field at={[...at, 'slot']} label="Length of the slot" unit={unit} value={hole.slot} />
            <Choice
              at={[...at, 'runs']}
              label="It runs"
              value={String(hole.runs ?? 'along')}
              options={[
                ['along', 'along the bar'],
                ['across', 'across the bar'],
              ]}
              changes={(next) => keyChange([...at, 'runs'], next)}
            />
          </>
        )}
        {bolted && (
          <Choice
            at={[...at, 'grade']}
            label="Class of the bolt"
            value={String(hole.grade ?? '8.8')}
            options={GRADES}
            changes={(next) => keyChange([...at, 'grade'], next)}
          />
        )}
      </div>
      <FaultsAt at={at} />
      <button type="button" class="plain" onClick={() => void act(takeRow(list, number - 1))}>
        Remove hole {number}
      </button>
    </section>
  );
}

/** The side that a turn round the bar looks to; as the file has it where it looks to none. */
function sideOf(round: unknown): string {
  const turn = Number(round ?? 0);
  const near = turn - 360 * Math.round(turn / 360);
  return String(near === -180 ? 180 : Number.isNaN(near) ? round : near);
}
