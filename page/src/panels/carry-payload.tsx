// A payload to try: the server answers for each weight, the job keeps its own until it is written there.
import { useId } from 'preact/hooks';
import * as carry from '../state/carry';
import { set } from '../state/tables';

export function CarryPayload({ told }: { told: carry.CarryOut }) {
  const id = useId();
  const payload = told.payload;
  if (!payload || (!told.gives.length && carry.tried.value === null)) return null;
  const now = carry.tried.value ?? payload.mass_kg;
  const other = Math.abs(now - payload.mass_kg) > 1e-9;
  const step = payload.most_kg > 40 ? 1 : 0.5;
  return (
    <section class="payload" aria-label="Payload">
      <label for={id}>
        {payload.name}: try <b class="number">{now} kg</b>
        {other && <span class="dim"> (the job says {payload.mass_kg} kg)</span>}
      </label>
      <div class="row">
        <input
          id={id}
          class="grow"
          type="range"
          min={step}
          max={Math.max(payload.most_kg, now)}
          step={step}
          value={now}
          aria-valuetext={`${now} kg`}
          onInput={(event) => carry.tryMass(Number(event.currentTarget.value))}
        />
        <button type="button" class="plain" disabled={!other} onClick={() => carry.tryMass(null)}>
          As in the job
        </button>
        <button
          type="button"
          class="plain"
          disabled={!other}
          onClick={() => {
            void carry.take([set(['payload', 'mass'], now)]).then((took) => {
              if (took) carry.tryMass(null);
            });
          }}
        >
          Write it into the job
        </button>
      </div>
    </section>
  );
}
