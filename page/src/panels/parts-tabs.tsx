// Tabs: where they stand, what they are cut from, their hole or thread.
import { act } from '../state/edits';
import { GRADES } from '../state/holes';
import { job } from '../state/job';
import { keyChange } from '../state/keys';
import { newTab } from '../state/parts';
import { list, remove, type Table, tables } from '../state/tables';
import { cutFrom, OWN_SIZES, placed, turned } from '../state/tabs';
import { Choice } from './choice';
import { FaultsAt, Field } from './field';
import { Form, type Item, Names, Places } from './form';
import { Material } from './shape-stock';

const LIES: readonly Item[] = [
  { key: 'off', label: 'Hole, off that place by', kind: 'three', usual: '0, 0, 0', hint: 'x, y, z' },
  { key: 'axis', label: 'The bolt points along', kind: 'three', usual: 'as its fixing says', hint: 'such as 0, 1, 0' },
  { key: 'runs', label: 'From the bar it runs along', kind: 'three', usual: 'square off the bar' },
];
const SIZES: readonly Item[] = [
  { key: 'width', label: 'Width', usual: 'as the hole wants' },
  { key: 'end', label: 'Hole to outer end', usual: 'as usual' },
];
const MADE: readonly Item[] = [
  { key: 'rounded', label: 'Its outer end is round', kind: 'tick', usual: 'yes' },
  { key: 'welded', label: 'It is welded on', kind: 'tick', usual: 'yes' },
];

export function Tab({ name, table }: { name: string; table: Table }) {
  const at = (key: string) => ['tab', name, key];
  const unit = job.value?.units;
  const fixings = tables('fixing').map(([one]) => one);
  const atFixings = table.fixing !== undefined;
  const flats = tables('stock').filter(([, one]) => one.section === 'flat' || one.section === 'square');
  const own = table.stock === undefined;
  return (
    <section class="thing" aria-label={`Tabs ${name}`}>
      <h3>{name}</h3>
      <div class="fields">
        <Choice
          at={at('piece')}
          label="Stands on"
          value={String(table.piece ?? '')}
          options={[
            ...(atFixings ? [['', 'the piece of its fixing'] as const] : []),
            ...tables('piece').map(([one]) => [one, one] as const),
          ]}
          changes={(next) => keyChange(at('piece'), next || undefined)}
        />
        <Choice
          at={at('placed')}
          label="Its hole is"
          value={atFixings ? 'fixing' : 'at'}
          options={[
            ['at', 'at a place of the frame'],
            ...(fixings.length || atFixings ? [['fixing', 'at a fixing'] as const] : []),
          ]}
          changes={(next) => placed(name, table, next)}
        />
        {atFixings ? (
          <Names at={at('fixing')} label="Fixings" value={table.fixing} names={fixings} />
        ) : (
          <Places at={at('at')} label="Middle of its hole" value={table.at} add="Add a place" start={[0, 0, 0]} />
        )}
        <Form at={['tab', name]} value={table} items={LIES} />
        <Choice
          at={at('stock')}
          label="Cut from"
          value={String(table.stock ?? OWN_SIZES)}
          options={[[OWN_SIZES, 'other flat bar, by its sizes'], ...flats.map(([one]) => [one, one] as const)]}
          changes={(next) => cutFrom(name, table, next)}
        />
        {own && <Field at={at('thickness')} label="Thickness" unit={unit} value={table.thickness} />}
        {own && <Material at={at('material')} value={String(table.material ?? '')} />}
        {table.thread === undefined ? (
          <Field
            at={at('hole')}
            label="Hole"
            value={table.hole}
            usual={atFixings ? 'as its fixing says' : undefined}
            hint='a size, or the bolt: "M6"'
            optional={atFixings}
          />
        ) : (
          <Field at={at('thread')} label="Thread" kind="text" value={table.thread} hint="M6, or 1/4-20" />
        )}
        <Choice
          at={at('grade')}
          label="Class of the bolt"
          value={String(table.grade ?? '8.8')}
          options={GRADES}
          changes={(next) => keyChange(at('grade'), next)}
        />
        <Form at={['tab', name]} value={table} items={SIZES} />
        <Form at={['tab', name]} value={table} items={MADE} />
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

export function AddTab() {
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
