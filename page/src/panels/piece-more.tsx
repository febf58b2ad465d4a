// Where a piece stands in the frame, its other hand, how its ends are made, how far it may be out.
import { job } from '../state/job';
import { keyChange } from '../state/keys';
import { list, type Table, tables } from '../state/tables';
import { Choice } from './choice';
import { FaultsAt } from './field';
import { ENDS, Form, type Item, MirrorIn, Places } from './form';
import { PieceEnds } from './piece-ends';
import { PieceHoles } from './piece-holes';

const STANDS: readonly Item[] = [
  { key: 'start', label: 'End A stands at', kind: 'three', hint: 'x, y, z; 0, 0, 0 if left empty' },
  { key: 'along', label: 'The bar leaves it along', kind: 'three', hint: 'a direction, such as 0, 0, 1' },
  { key: 'towards', label: 'The first bend turns towards', kind: 'three', hint: 'a direction' },
];
const GOOD: readonly Item[] = [
  { key: 'position', label: 'Corners and ends out by', usual: 'as the job says' },
  { key: 'gap', label: 'Gap where it is closed', usual: 'as the job says' },
  { key: 'offset', label: 'Ends beside one another', usual: 'as the job says' },
  { key: 'twist', label: 'Ends at an angle', kind: 'angle', usual: 'as the job says' },
];

export function PieceMore({ name, table }: { name: string; table: Table }) {
  const at = (key: string) => ['piece', name, key];
  const stock = tables('stock').find(([one]) => one === table.stock)?.[1];
  const cornered = /^(flat|square)/.test(String(stock?.section));
  const bare = !table.points;
  const straight = list(table.points).length === 2 || list(table.straights).length === 1;
  return (
    <>
      <PieceHoles name={name} table={table} section={String(stock?.section)} />
      <details class="setup">
        <summary>Where it stands, its ends, how good</summary>
        <div class="fields">
          {bare && <Form at={['piece', name]} value={table} items={STANDS} />}
          {cornered && (
            <Choice
              at={at('way')}
              label="Bent"
              value={String(table.way ?? 'easy')}
              options={[
                ['easy', 'the easy way, across its thickness'],
                ['hard', 'the hard way, on edge'],
              ]}
              changes={(way) => keyChange(at('way'), way)}
            />
          )}
          {(straight || table.ends !== undefined) && (
            <Choice
              at={at('ends')}
              label="Ends on other bars"
              value={String(table.ends ?? '')}
              options={[['', 'as they are drawn'], ...ENDS]}
              changes={(ends) => keyChange(at('ends'), ends || undefined)}
            />
          )}
          {(table.closed !== true || table.end_a !== undefined || table.end_b !== undefined) && (
            <PieceEnds name={name} table={table} tube={stock?.section === 'tube'} />
          )}
          {table.mirror === true && (
            <>
              <Choice
                at={at('hand')}
                label="The drawn one is the"
                value={String(table.hand ?? 'left')}
                options={[
                  ['left', 'left one'],
                  ['right', 'right one'],
                ]}
                changes={(hand) => keyChange(at('hand'), hand)}
              />
              <MirrorIn at={at('mirror_in')} value={table.mirror_in} />
            </>
          )}
          <Places
            at={at('at')}
            label="Shifted from where it is drawn"
            value={table.at}
            add={list(table.at).length ? 'Add a copy’s place' : 'Say where its copies stand'}
            start={[0, 0, 0]}
          />
        </div>
        <fieldset>
          <legend>How far it may be out, {job.value?.units}</legend>
          <div class="fields">
            <Form
              at={at('tolerance')}
              value={table.tolerance}
              items={table.closed === true ? GOOD : GOOD.slice(0, 1)}
            />
          </div>
        </fieldset>
        <FaultsAt at={at('tolerance')} />
      </details>
    </>
  );
}
