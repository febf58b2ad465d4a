// A table of the job file as a form: each key with its words and its kind. Every section builds its forms of these.
import { useId } from 'preact/hooks';
import { act } from '../state/edits';
import { job } from '../state/job';
import { addRow, keyChange, takeRow, valuesOf } from '../state/keys';
import { type Place, placeOf } from '../state/place';
import { list, set } from '../state/tables';
import { usualLength } from '../state/typed';
import { PlaceFields } from './carry-place';
import { Choice, Tick } from './choice';
import { FaultsAt, Field, type Kind } from './field';

/** How the ends of a bar are made that stands on others. */
export const ENDS: readonly (readonly [string, string])[] = [
  ['butted', 'butted (flat)'],
  ['coped', 'coped (shaped to fit)'],
];

export type Options = readonly (readonly [value: string, told: string])[];

/** A key: what it is called, and what is meant where it is left out. */
export interface Item {
  key: string | number;
  label: string;
  /** A kind of field; three numbers, or several, in one field; one of several words; yes or no. */
  kind?: Kind | 'three' | 'list' | 'choice' | 'tick';
  unit?: string;
  hint?: string;
  usual?: string;
  /** The same as a length, mm: shown in the units of the job. */
  usualMm?: number;
  options?: Options;
  /** It cannot be left out. */
  must?: boolean;
  wide?: boolean;
}

/** The keys of one table, as fields. ``value`` is the table as it stands; an empty one where it is not there yet. */
export function Form({ at, value, items }: { at: Place; value: unknown; items: readonly Item[] }) {
  const table = typeof value === 'object' && value !== null ? (value as Record<string, unknown>) : {};
  return (
    <>
      {items.map((item) => (
        <Key key={item.key} at={[...at, item.key]} item={item} value={table[String(item.key)]} />
      ))}
    </>
  );
}

function Key({ at, item, value }: { at: Place; item: Item; value: unknown }) {
  const { label, kind = 'length', hint, usualMm } = item;
  const usual = usualMm === undefined ? item.usual : usualLength(usualMm, job.value?.units ?? 'mm');
  if (kind === 'choice')
    return (
      <Choice
        at={at}
        label={label}
        value={String(value ?? '')}
        options={[...(item.must ? [] : [['', usual ?? 'not said'] as const]), ...(item.options ?? [])]}
        wide={item.wide ?? false}
        changes={(next) => keyChange(at, next || undefined)}
      />
    );
  if (kind === 'tick') {
    const on = usual === 'yes';
    return (
      <Tick
        at={at}
        label={label}
        value={typeof value === 'boolean' ? value : on}
        {...(hint ? { hint } : {})}
        changes={(next) => keyChange(at, next === on ? undefined : next)}
      />
    );
  }
  if (kind === 'three' || kind === 'list')
    return <Several at={at} item={item} value={value} parts={kind === 'three' ? 3 : 0} />;
  return (
    <Field
      at={at}
      label={label}
      kind={kind}
      unit={item.unit ?? (kind === 'length' ? job.value?.units : kind === 'angle' ? '°' : undefined)}
      value={value}
      hint={hint}
      usual={usual}
      optional={!item.must}
      changes={(next) => keyChange(at, next)}
    />
  );
}

/** Several values in one field; what is wrong with one of them is said there too. */
function Several({ at, item, value, parts }: { at: Place; item: Item; value: unknown; parts: number }) {
  const count = Math.max(parts, list(value).length);
  return (
    <div class="several">
      <Field
        at={at}
        label={item.label}
        kind="text"
        unit={item.unit}
        value={list(value).length ? list(value).join(', ') : undefined}
        hint={item.hint}
        usual={item.usual}
        optional={!item.must}
        changes={(next) => keyChange(at, next === undefined ? undefined : valuesOf(String(next)))}
      />
      {Array.from({ length: count }, (_, k) => (
        <FaultsAt key={k} at={[...at, k]} />
      ))}
    </div>
  );
}

/** A list of places, each to be typed; one that stands alone may be written without its outer brackets. */
export function Places(props: { at: Place; label: string; value: unknown; add: string; start: readonly unknown[] }) {
  const { at, label, value } = props;
  const rows = list(value);
  const single = rows.length > 0 && !Array.isArray(rows[0]);
  const places = single ? [rows] : rows.map(list);
  const named = (k: number): string => (places.length > 1 ? `${label} ${k + 1}` : label);
  const add = (): void => {
    const last = places.at(-1);
    void act(() => (single && last ? [set(at, [[...last], [...last]])] : addRow(at, [...(last ?? props.start)])));
  };
  return (
    <div class="field wide places">
      {places.map((place, k) => (
        <div key={k} class="place-row">
          <PlaceFields at={single ? at : [...at, k]} label={named(k)} value={place} />
          {places.length > 1 && (
            <button
              type="button"
              class="plain"
              aria-label={`Take out: ${named(k)}`}
              onClick={() => void act(takeRow(at, k))}
            >
              Take out
            </button>
          )}
        </div>
      ))}
      {!single && <FaultsAt at={at} />}
      <button type="button" class="plain" onClick={add}>
        {props.add}
      </button>
    </div>
  );
}

/** Names out of those there are, each with a box to tick; one alone may stand without brackets. */
export function Names(props: { at: Place; label: string; value: unknown; names: readonly string[]; none?: string }) {
  const { at, label, names } = props;
  const id = useId();
  const chosen = typeof props.value === 'string' ? [props.value] : list(props.value).map(String);
  const all = [...names, ...chosen.filter((one) => !names.includes(one))];
  return (
    <fieldset class="field wide bears" aria-describedby={all.length ? undefined : `${id}-none`}>
      <legend>{label}</legend>
      {!all.length && (
        <span class="hint" id={`${id}-none`}>
          {props.none ?? 'There are none.'}
        </span>
      )}
      {all.map((name) => (
        <label key={name} class="tick">
          <input
            type="checkbox"
            data-at={placeOf(at)}
            checked={chosen.includes(name)}
            onChange={(event) => {
              const left = chosen.filter((one) => one !== name);
              const now = event.currentTarget.checked ? [...left, name] : left;
              void act(keyChange(at, now.length ? now : undefined));
            }}
          />
          {name}
        </label>
      ))}
      <FaultsAt at={at} />
    </fieldset>
  );
}

/** The plane that the other hand is made in: an axis that it is square to, and where. */
export function MirrorIn({ at, value }: { at: Place; value: unknown }) {
  const plane = typeof value === 'object' && value !== null ? (value as Record<string, unknown>) : null;
  return (
    <>
      <Choice
        at={[...at, 'axis']}
        label="Other hand stands mirrored"
        value={String(plane?.axis ?? '')}
        options={[
          ['', 'nowhere: not said'],
          ['x', 'front to back (x)'],
          ['y', 'left to right (y)'],
          ['z', 'top to bottom (z)'],
        ]}
        changes={(axis) => keyChange(at, axis ? { axis, at: plane?.at ?? 0 } : undefined)}
      />
      {plane && <Field at={[...at, 'at']} label="Mirrored at" unit={job.value?.units} value={plane.at} />}
    </>
  );
}
