// Ends of a piece that are made by themselves: sawn at an angle, or pressed flat with a hole.
import type { Change } from '../api';
import { job } from '../state/job';
import { keyChange } from '../state/keys';
import type { Place } from '../state/place';
import { isTable, type Table } from '../state/tables';
import { Choice } from './choice';
import { FaultsAt } from './field';
import { Form, type Item } from './form';

/** Where round the bar something is: both for ends and for holes. */
export const ROUND: Item = {
  key: 'round',
  label: 'Round the bar',
  kind: 'angle',
  usual: '0',
  hint: 'from the inside of the first bend; above 0: clockwise, looking from end A to B',
};
const SAWN: readonly Item[] = [
  { key: 'cut', label: 'Off a square cut by', kind: 'angle', must: true, hint: 'up to 80' },
  { ...ROUND, label: 'Longest point, round the bar' },
];
const PRESSED: readonly Item[] = [
  { key: 'flattened', label: 'Pressed flat for', must: true },
  { key: 'hole', label: 'Hole in it', usual: 'none', hint: 'a size, or the bolt that goes through: M6' },
  { key: 'end', label: 'Hole to the end', usual: '2 holes' },
  { ...ROUND, label: 'Its face, round the bar' },
];

/** @param tube it is round tube: that alone is pressed flat. */
export function PieceEnds({ name, table, tube }: { name: string; table: Table; tube: boolean }) {
  return (
    <>
      {(['a', 'b'] as const).map((end) => (
        <End key={end} at={['piece', name, `end_${end}`]} end={end} value={table[`end_${end}`]} tube={tube} />
      ))}
    </>
  );
}

function End({ at, end, value, tube }: { at: Place; end: string; value: unknown; tube: boolean }) {
  const made = !isTable(value) ? '' : value.flattened !== undefined ? 'flattened' : 'cut';
  const inch = job.value?.units === 'in';
  const changes = (next: string): readonly Change[] =>
    keyChange(at, next === 'cut' ? { cut: 45 } : next ? { flattened: inch ? 1.5 : 40 } : undefined);
  return (
    <fieldset aria-label={`End ${end.toUpperCase()}`} style={{ display: 'contents' }}>
      <Choice
        at={[...at, 'made']}
        label={`End ${end.toUpperCase()} by itself`}
        value={made}
        options={[
          ['', 'square, or as it meets others'],
          ['cut', 'sawn at an angle'],
          ...(tube || made === 'flattened' ? [['flattened', 'pressed flat'] as const] : []),
        ]}
        changes={changes}
      />
      {made && <Form at={at} value={value} items={made === 'cut' ? SAWN : PRESSED} />}
      <FaultsAt at={at} />
    </fieldset>
  );
}
