// Readings as they were taken: typed here, written into the job file, each with how it goes with the others.
import { useState } from 'preact/hooks';
import { act } from '../state/edits';
import { job } from '../state/job';
import { type KindOut, type MeasureOut, measured, newReading, ofKind, pointNames } from '../state/measure';
import { isTable, list, remove, set, type Table } from '../state/tables';
import { Choice, Tick } from './choice';
import { FaultsAt, Field } from './field';
import '../look/carry.css';
import '../look/shape.css';

const NUMBERS: Readonly<Record<string, string>> = { reads: 'Reads', along: 'Along the string', off: 'Off the string' };

export function MeasureReadings({ told }: { told: MeasureOut }) {
  const readings = list(measured().readings).filter(isTable);
  const [kind, setKind] = useState('distance');
  const chosen = told.kinds.find((one) => one.kind === kind) ?? told.kinds[0];
  const enough = chosen !== undefined && pointNames().length >= chosen.points;
  return (
    <section aria-label="Readings">
      <h3>Readings</h3>
      {readings.map((reading, number) => (
        <Reading key={number} reading={reading} number={number} told={told} alone={readings.length === 1} />
      ))}
      {told.spread && <p class="dim">{told.spread}.</p>}
      <div class="add-reading">
        <div class="field wide">
          <label for="new-reading">A new reading</label>
          <select id="new-reading" value={kind} onChange={(event) => setKind(event.currentTarget.value)}>
            {told.kinds.map((one) => (
              <option key={one.kind} value={one.kind}>
                {one.says}
              </option>
            ))}
          </select>
        </div>
        <button
          type="button"
          class="plain"
          disabled={!enough}
          onClick={() => chosen && void act(() => newReading(chosen))}
        >
          Add the reading
        </button>
      </div>
      {!enough && chosen && (
        <p class="hint">
          It takes {chosen.points} {chosen.points > 1 ? 'points' : 'point'}; there{' '}
          {pointNames().length === 1 ? 'is' : 'are'} {pointNames().length || 'none'}.
        </p>
      )}
    </section>
  );
}

function Reading(props: { reading: Table; number: number; told: MeasureOut; alone: boolean }) {
  const { reading, number, told } = props;
  const at = ['measured', 'readings', number] as const;
  const unit = job.value?.units;
  const kind: KindOut | undefined = told.kinds.find((one) => one.kind === reading.kind);
  const said = told.readings.filter((one) => one.entry === number + 1);
  const title = said[0]?.says ?? `reading ${number + 1}`;
  const odd = said.some((one) => one.odd);
  const points = pointNames();
  return (
    <details class={odd ? 'reading odd' : 'reading'} open={odd}>
      <summary>
        <span class="number">{number + 1}</span> {title.charAt(0).toUpperCase() + title.slice(1)}{' '}
        <b class="number">{said.map((one) => one.read).join(', ')}</b>
        {odd && <span class="sure hit">disagrees</span>}
        {reading.leave_out === true && <span class="dim">left out</span>}
      </summary>
      {said.map((one) => (
        <p key={one.says} class="dim">
          {one.checked}.
        </p>
      ))}
      <div class="fields">
        <Choice
          at={[...at, 'kind']}
          label="Kind"
          value={String(reading.kind ?? '')}
          options={told.kinds.map((one) => [one.kind, one.says])}
          changes={(value) => {
            const next = told.kinds.find((one) => one.kind === value);
            return next ? [set([...at], ofKind(reading, next))] : [];
          }}
          wide
        />
        {(typeof reading.of === 'string' ? [reading.of] : list(reading.of)).map((name, place) => (
          <Choice
            key={place}
            at={typeof reading.of === 'string' ? [...at, 'of'] : [...at, 'of', place]}
            label={pointLabel(kind, place)}
            value={String(name)}
            options={points.map((one) => [one, one])}
          />
        ))}
        {(kind?.numbers ?? []).map((key) => (
          <Field
            key={key}
            at={[...at, key]}
            label={NUMBERS[key] ?? key}
            unit={unit}
            value={reading[key]}
            optional={key !== 'reads'}
          />
        ))}
        <Field
          at={[...at, 'accuracy']}
          label="Sure to"
          unit={unit}
          value={reading.accuracy}
          hint="two of three readings are nearer than this"
          optional
        />
        <Tick at={[...at, 'leave_out']} label="Leave it out" value={reading.leave_out === true} />
      </div>
      <FaultsAt at={[...at]} />
      <button
        type="button"
        class="plain"
        onClick={() => void act([remove(props.alone ? ['measured', 'readings'] : [...at])])}
      >
        Remove reading {number + 1}
      </button>
    </details>
  );
}

function pointLabel(kind: KindOut | undefined, place: number): string {
  if (kind?.kind === 'string') return ['One end of the string', 'Its other end', 'To the point'][place] ?? 'Point';
  if (kind?.points === 1) return 'Of';
  return place ? 'To' : 'From';
}
