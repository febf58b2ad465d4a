// The bars: section with the sizes it needs, material, length and price as they are bought.
import { useEffect, useId } from 'preact/hooks';
import type { Change, Library } from '../api';
import { act, edit, waitingAt } from '../state/edits';
import { job } from '../state/job';
import { groups, library, needLibrary } from '../state/library';
import { type Place, placeOf } from '../state/place';
import { freeName, remove, set, type Table, tables } from '../state/tables';
import { Choice } from './choice';
import { FaultsAt, Field } from './field';
import { Metals } from './shape-materials';

const SECTIONS: Readonly<Record<string, string>> = {
  round: 'round bar',
  tube: 'round tube',
  square: 'square bar',
  'square-tube': 'square tube',
  flat: 'flat bar',
};
const SIZES: Readonly<Record<string, string>> = {
  diameter: 'Diameter',
  width: 'Width',
  height: 'Height',
  wall: 'Wall',
  corner_radius: 'Corner radius, outside',
};

export function StockPart() {
  const all = tables('stock');
  const add = (): void => {
    const free = freeName(
      'bar',
      all.map(([name]) => name),
    );
    const diameter = job.value?.units === 'in' ? '1/2' : 12;
    const made = { section: 'round', diameter, material: all[0]?.[1].material ?? 'S235' };
    void act([set(['stock', free], made)]);
  };
  return (
    <>
      {all.map(([name, table]) => (
        <Bar key={name} name={name} table={table} />
      ))}
      {!all.length && <p>This job describes no bar of its own; its pieces may be made of what your workshop has.</p>}
      <p>
        <button type="button" class="plain" onClick={add}>
          Add a bar
        </button>
      </p>
      <Metals />
    </>
  );
}

function Bar({ name, table }: { name: string; table: Table }) {
  const unit = job.value?.units;
  const at = (key: string) => ['stock', name, key];
  const needed = new Set(
    ['piece', 'crossbar', 'stay', 'tab']
      .flatMap((sort) => tables(sort))
      .filter(([, one]) => one.stock === name)
      .map(([one]) => one),
  );
  return (
    <section class="thing" aria-label={`Stock ${name}`}>
      <h3>{name}</h3>
      <div class="fields">
        <SectionFields at={['stock', name]} table={table} />
        <Field at={at('bar_length')} label="Length as bought" unit={unit} value={table.bar_length} optional />
        <Field at={at('price')} label="Price of a bar" kind="number" value={table.price} optional />
      </div>
      <FaultsAt at={['stock', name]} />
      <p class="row">
        <button
          type="button"
          class="plain"
          disabled={needed.size > 0}
          onClick={() => void act([remove(['stock', name])])}
        >
          Remove {name}
        </button>
        {needed.size > 0 && (
          <span class="hint">
            {[...needed].join(', ')} {needed.size === 1 ? 'is' : 'are'} made of it.
          </span>
        )}
      </p>
    </section>
  );
}

/** A section with the sizes that it needs, and its material: of a stock, or of the bar a bender is rated for. */
export function SectionFields({ at: path, table }: { at: Place; table: Table }) {
  const found = library.value;
  const unit = job.value?.units;
  const at = (key: string) => [...path, key];
  const section = waitingAt(at('section'))?.text ?? String(table.section ?? '');
  const kind = found?.sections.find((one) => one.kind === section);
  return (
    <>
      <Choice
        at={at('section')}
        label="Section"
        value={section}
        options={(found?.sections ?? []).map((one) => [one.kind, SECTIONS[one.kind] ?? one.kind])}
        changes={(value) => toSection(found, at, table, value)}
      />
      {[...(kind?.sizes ?? []), ...(kind?.more ?? [])].map((size) => (
        <Field
          key={size}
          at={at(size)}
          label={section === 'flat' && size === 'height' ? 'Thickness' : (SIZES[size] ?? size)}
          unit={unit}
          value={table[size]}
          optional={kind?.more.includes(size) ?? false}
        />
      ))}
      <Material at={at('material')} value={String(table.material ?? '')} />
    </>
  );
}

/** Another section: the sizes that it has no use for go, the others stay. */
function toSection(found: Library | null, at: (key: string) => Place, table: Table, value: string): readonly Change[] {
  const kind = found?.sections.find((one) => one.kind === value);
  const kept = new Set([...(kind?.sizes ?? []), ...(kind?.more ?? [])]);
  const gone = Object.keys(SIZES).filter((size) => table[size] !== undefined && !kept.has(size));
  return [set(at('section'), value), ...gone.map((size) => remove(at(size)))];
}

export function Material({ at, value }: { at: Place; value: string }) {
  const id = useId();
  useEffect(needLibrary, []);
  const own = tables('material').map(([name]) => name);
  const known = library.value?.materials.some((one) => one.name === value) || own.includes(value);
  const says = library.value?.materials.find((one) => one.name === value)?.says;
  return (
    <div class="field">
      <label for={id}>Material</label>
      <select
        id={id}
        data-at={placeOf(at)}
        value={value}
        title={says}
        onChange={(event) => void edit(at, event.currentTarget.value, [set(at, event.currentTarget.value)])}
      >
        {!known && <option value={value}>{value}</option>}
        {own.length > 0 && (
          <optgroup label="described in this job">
            {own.map((name) => (
              <option key={name}>{name}</option>
            ))}
          </optgroup>
        )}
        <Materials />
      </select>
      <FaultsAt at={at} />
    </div>
  );
}

/** The library's materials, to stand in a select. */
export function Materials() {
  return (
    <>
      {(library.value ? groups(library.value) : []).map(([group, names]) => (
        <optgroup key={group} label={group.replaceAll('_', ' ')}>
          {names.map((name) => (
            <option key={name}>{name}</option>
          ))}
        </optgroup>
      ))}
    </>
  );
}
