// Metals that the job describes itself: their numbers, each with where it is from.
import { act } from '../state/edits';
import { keyChange } from '../state/keys';
import { freeName, isTable, remove, set, type Table, tables } from '../state/tables';
import { FaultsAt, Field } from './field';
import { Form, type Item, type Options } from './form';
import '../look/carry.css';

const GROUPS: Options = ['aluminium', 'steel', 'stainless', 'copper', 'brass', 'titanium'].map((one) => [one, one]);
const SURE: Options = ['standard seen', 'datasheet seen', 'from memory', 'common practice'].map((one) => [one, one]);
const KIND: readonly Item[] = [
  { key: 'group', label: 'Metal', kind: 'choice', options: GROUPS, usual: 'another' },
  { key: 'source', label: 'Where its numbers are from', kind: 'text', usual: 'your own figures' },
  { key: 'sure', label: 'How sure', kind: 'choice', options: SURE, usual: 'your own' },
  {
    key: 'bound',
    label: 'Its strengths are',
    kind: 'choice',
    options: [
      ['typical', 'usual ones'],
      ['maximum', 'the most it has'],
    ],
    usual: 'the least it has',
  },
];
const NUMBERS: readonly (readonly [key: string, label: string, unit: string, must: boolean])[] = [
  ['elastic_modulus', 'Elastic modulus', 'MPa', true],
  ['proof_stress', 'Proof stress (0.2 % stays)', 'MPa', true],
  ['proof_stress_maximum', 'Proof stress, at most', 'MPa', false],
  ['tensile_strength', 'Tensile strength', 'MPa', true],
  ['elongation', 'Elongation', '%', true],
  ['density', 'Density', 'kg/m³', true],
  ['poisson', 'Poisson’s ratio', '', false],
  ['welded_proof_stress', 'Proof stress beside a weld', 'MPa', false],
  ['welded_strength', 'Strength beside a weld', 'MPa', false],
];
const WORDS: readonly Item[] = [
  { key: 'description', label: 'What it is', kind: 'text' },
  { key: 'temper', label: 'Temper', kind: 'text' },
  { key: 'form', label: 'Bought as', kind: 'text' },
  { key: 'bend_note', label: 'To know when bending it', kind: 'text' },
  { key: 'weld_note', label: 'To know when welding it', kind: 'text' },
];

export function Metals() {
  const own = tables('material');
  const add = (): void => {
    const free = freeName(
      'own metal',
      own.map(([name]) => name),
    );
    const numbers = {
      elastic_modulus: 210000,
      proof_stress: 235,
      tensile_strength: 360,
      elongation: 20,
      density: 7850,
    };
    void act([set(['material', free], { group: 'steel', ...numbers })]);
  };
  return (
    <details class="setup">
      <summary>Metals of this job, by their certificate</summary>
      <p class="hint">The library has the usual ones. Describe one here where you know better, or where it has none.</p>
      {own.map(([name, table]) => (
        <Metal key={name} name={name} table={table} />
      ))}
      <button type="button" class="plain" onClick={add}>
        Add a metal
      </button>
    </details>
  );
}

function Metal({ name, table }: { name: string; table: Table }) {
  const at = ['material', name];
  const users = tables('stock').filter(([, one]) => String(one.material).toLowerCase() === name.toLowerCase());
  return (
    <section class="thing" aria-label={`Metal ${name}`}>
      <h3>{name}</h3>
      <div class="fields">
        <Form at={at} value={table} items={KIND} />
        {NUMBERS.map(([key, label, unit, must]) => (
          <Figure key={key} at={[...at, key]} label={label} unit={unit} must={must} value={table[key]} />
        ))}
        <Form at={at} value={table} items={WORDS} />
      </div>
      <FaultsAt at={at} />
      <p class="row">
        <button type="button" class="plain" disabled={users.length > 0} onClick={() => void act([remove(at)])}>
          Remove {name}
        </button>
        {users.length > 0 && <span class="hint">{users.map(([one]) => one).join(', ')} of it in this job.</span>}
      </p>
    </section>
  );
}

/** A number, which may bring a source of its own. */
function Figure(props: { at: string[]; label: string; unit: string; must: boolean; value: unknown }) {
  const { at, label, unit, must, value } = props;
  const told = isTable(value) ? value : null;
  const path = told ? [...at, 'value'] : at;
  return (
    <Field
      at={path}
      label={label}
      kind="number"
      unit={unit || undefined}
      value={told ? told.value : value}
      hint={told?.source === undefined ? undefined : `from: ${told.source}`}
      optional={!must}
      changes={(next) => keyChange(next === undefined ? at : path, next)}
    />
  );
}
