// What a bender bears: the heaviest bar it is sold for, and its parts with a hole that carry a force.
import { act } from '../state/edits';
import { job } from '../state/job';
import { addRow, takeRow } from '../state/keys';
import { isTable, list, remove, set, type Table } from '../state/tables';
import { FaultsAt } from './field';
import { Form, type Item, type Options } from './form';
import { SectionFields } from './shape-stock';
import '../look/carry.css';

const CARRIES: Options = [
  ['pivot', 'the pivot'],
  ['follower', 'the follower'],
  ['hook', 'the hook'],
  ['die', 'the die'],
];
const PART: readonly Item[] = [
  { key: 'name', label: 'Called', kind: 'text', must: true },
  { key: 'carries', label: 'Its hole carries', kind: 'choice', options: CARRIES, must: true },
  { key: 'width', label: 'Width', must: true },
  { key: 'thickness', label: 'Thickness', must: true },
  { key: 'hole', label: 'Hole', must: true },
  { key: 'edge', label: 'Middle of the hole to the edge ahead of the pin', must: true },
  { key: 'side', label: 'Middle of the hole to the nearer side', usual: 'half the width' },
  { key: 'strength', label: 'Tensile strength', kind: 'number', unit: 'MPa', must: true },
  { key: 'proof_stress', label: 'Proof stress', kind: 'number', unit: 'MPa', usual: 'none: cast iron' },
];

export function BenderStrength({ name, table }: { name: string; table: Table }) {
  const at = (...keys: (string | number)[]) => ['bender', name, ...keys];
  const rated = isTable(table.rated) ? table.rated : null;
  const parts = list(table.parts).filter(isTable);
  const inch = job.value?.units === 'in';
  const part = inch
    ? {
        name: 'pivot lug',
        carries: 'pivot',
        width: 2,
        thickness: '1/2',
        hole: '3/4',
        edge: '1 1/2',
        strength: 360,
        proof_stress: 235,
      }
    : {
        name: 'pivot lug',
        carries: 'pivot',
        width: 50,
        thickness: 12,
        hole: 20,
        edge: 40,
        strength: 360,
        proof_stress: 235,
      };
  const bar = { section: 'round', diameter: inch ? '1/2' : 12, material: 'S235' };
  return (
    <details class="setup">
      <summary>What {name} bears</summary>
      <fieldset>
        <legend>Heaviest bar it is sold for</legend>
        {rated && (
          <div class="fields">
            <SectionFields at={at('rated')} table={rated} />
          </div>
        )}
        <FaultsAt at={at('rated')} />
        <button
          type="button"
          class="plain"
          onClick={() => void act([rated ? remove(at('rated')) : set(at('rated'), bar)])}
        >
          {rated ? 'It is not told' : 'Say which'}
        </button>
      </fieldset>
      {parts.map((one, k) => (
        <fieldset key={k}>
          <legend>Part {String(one.name ?? k + 1)}</legend>
          <div class="fields">
            <Form at={at('parts', k)} value={one} items={PART} />
          </div>
          <FaultsAt at={at('parts', k)} />
          <button type="button" class="plain" onClick={() => void act(takeRow(at('parts'), k))}>
            Remove part {String(one.name ?? k + 1)}
          </button>
        </fieldset>
      ))}
      <button type="button" class="plain" onClick={() => void act(() => addRow(at('parts'), part))}>
        Add a part with a hole
      </button>
    </details>
  );
}
