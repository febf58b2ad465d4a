// What is said of the whole job: its name, and what counts as good.
import { job } from '../state/job';
import { FaultsAt } from './field';
import { Form, type Item } from './form';
import '../look/carry.css';

const FRACTION: Item = {
  key: 'fraction',
  label: 'Finest division of your tape, 1 in over',
  kind: 'whole',
  usual: '16',
};
const GOOD: readonly Item[] = [
  { key: 'gap', label: 'Gap between closed ends', usualMm: 2 },
  { key: 'offset', label: 'Closed ends beside one another', usualMm: 2 },
  { key: 'twist', label: 'Closed ends at an angle', kind: 'angle', usual: '2' },
  { key: 'position', label: 'Corners and ends from where they are drawn', usualMm: 3 },
];

export function WholeJob() {
  const data = job.value?.data ?? {};
  const inch = job.value?.units === 'in';
  return (
    <details class="setup">
      <summary>The whole job: its name, what counts as good</summary>
      <div class="fields">
        <Form at={[]} value={data} items={[{ key: 'name', label: 'Called', kind: 'text' }]} />
        {inch && <Form at={[]} value={data} items={[FRACTION]} />}
      </div>
      <p class="hint">
        Its lengths are in {inch ? 'inches' : 'mm'}. Changing that changes no number in the file: do it under File.
      </p>
      <fieldset>
        <legend>Good is a piece that is out by no more than</legend>
        <div class="fields">
          <Form at={['tolerance']} value={data.tolerance} items={GOOD} />
        </div>
      </fieldset>
      <FaultsAt at={['tolerance']} />
    </details>
  );
}
