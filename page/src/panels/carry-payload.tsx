// A payload to try: the server answers for each weight, the job keeps its own until it is written there.
import { useId } from 'preact/hooks';
import * as carry from '../state/carry';
import { job } from '../state/job';
import { set } from '../state/tables';
import { writtenAs } from './amount';
import { Press } from './press';

const rounded = (mass: number): number => Number(mass.toFixed(2));

export function CarryPayload({ told }: { told: carry.CarryOut }) {
  const id = useId();
  const payload = told.payload;
  if (!payload || (!told.gives.length && carry.tried.value === null)) return null;
  const unit = job.value?.mass ?? { name: 'kg', size: 1 };
  const kg = carry.tried.value ?? payload.mass_kg;
  const other = Math.abs(kg - payload.mass_kg) > 1e-9;
  const most = Math.max(payload.most_kg, kg) / unit.size;
  const step = most > 40 ? 1 : 0.5;
  const now = rounded(kg / unit.size);
  return (
    <section class="payload" aria-label="Payload">
      <label for={id}>
        {payload.name}: try{' '}
        <b class="number">
          {now} {unit.name}
        </b>
        {other && (
          <span class="dim">
            {' '}
            (the job says {rounded(payload.mass_kg / unit.size)} {unit.name})
          </span>
        )}
      </label>
      <div class="row">
        <input
          id={id}
          class="grow"
          type="range"
          min={step}
          max={Math.ceil(most)}
          step={step}
          value={now}
          aria-valuetext={`${now} ${unit.name}`}
          onInput={(event) => carry.tryMass(Number(event.currentTarget.value) * unit.size)}
        />
        <Press class="plain" not={!other} onPress={() => carry.tryMass(null)}>
          As in the job
        </Press>
        <Press
          class="plain"
          not={!other}
          onPress={() => {
            void carry.take([set(['payload', 'mass'], writtenAs(now, unit.name, 'kg'))]).then((took) => {
              if (took) carry.tryMass(null);
            });
          }}
        >
          Write it into the job
        </Press>
      </div>
    </section>
  );
}
