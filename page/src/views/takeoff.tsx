// Take-off: a file is dropped, everything in it is shown, and what is chosen becomes a job or goes into the open one.
import { signal } from '@preact/signals';
import { useEffect, useId, useState } from 'preact/hooks';
import { client, type Fault, got, Refused } from '../api';
import { Asked } from '../panels/asked';
import { Materials } from '../panels/shape-stock';
import { go } from '../state/address';
import { faults, job, sent } from '../state/job';
import { library, needLibrary } from '../state/library';
import {
  dropped,
  material,
  named,
  picked,
  placed,
  sending,
  stopTaking,
  takeOff,
  takeOffAgain,
  taking,
  wrong,
} from '../state/take-off';
import { OneSolid } from './solid';
import '../look/take-off.css';

const TAKES = '.step,.stp,.p21,.dxf,.csv,.txt';
const units = signal<'mm' | 'in'>('mm');
const radius = signal('');

/** ``into``: what is chosen goes into the open job. */
export function TakeOffView({ into, onDone }: { into?: boolean; onDone: () => void }) {
  const id = useId();
  const taken = into && job.value ? job.value.units : units.value;
  useEffect(needLibrary, []);
  useEffect(() => {
    const file = dropped.value;
    if (!file) return;
    dropped.value = null;
    void takeOff(file, taken, radius.value);
  }, [dropped.value]);
  useEffect(() => stopTaking, []);
  const found = taking.value;
  const reading = sending.value !== null || found?.state === 'reading';
  return (
    <section class="take-off" aria-label="Take-off">
      <h2>Take pieces off a model</h2>
      {library.value && !library.value.cad && (
        <p class="hint">
          STEP files need the CAD kernel, <code>bentwork[cad]</code>, which is not installed: the README says how. Then
          start Bentwork again. DXF and CSV files can be read without it.
        </p>
      )}
      <div class="drop">
        <label for={`${id}-file`} class="button">
          Choose a file
        </label>
        <input
          id={`${id}-file`}
          type="file"
          class="unseen"
          accept={TAKES}
          onChange={(event) => {
            const file = event.currentTarget.files?.[0];
            if (file) void takeOff(file, taken, radius.value);
            event.currentTarget.value = '';
          }}
        />
        <span>or drop it on the page: a STEP model, a DXF drawing, or corner points as CSV (x, y, z, radius).</span>
      </div>
      <div class="fields">
        {!into && (
          <div class="field">
            <label for={`${id}-units`}>Units of drawings and tables, and of the job</label>
            <select
              id={`${id}-units`}
              value={units.value}
              onChange={(event) => {
                units.value = event.currentTarget.value === 'in' ? 'in' : 'mm';
                takeOffAgain(units.value, radius.value);
              }}
            >
              <option value="mm">millimetres</option>
              <option value="in">inches</option>
            </select>
          </div>
        )}
        <Asked
          label="Radius of sharp corners"
          unit={taken}
          value={radius.value}
          usual="as drawn"
          hint="in drawings and tables that show none"
          faults={wrong.value.filter((fault) => fault.key === 'radius')}
          onType={(text) => {
            radius.value = text;
            takeOffAgain(taken, text);
          }}
        />
      </div>
      {reading && <Progress />}
      <Wrong faults={wrong.value.filter((fault) => fault.key !== 'radius')} />
      {found?.state === 'done' && <Found into={into ?? false} units={taken} onDone={onDone} />}
      <p>
        <button type="button" class="plain" onClick={onDone}>
          {reading ? 'Stop' : 'Close'}
        </button>
      </p>
    </section>
  );
}

function Progress() {
  const found = taking.value;
  const gone = sending.value;
  const share = gone ?? found?.share ?? null;
  const told =
    gone !== null
      ? 'sending'
      : found?.stage === 'solids'
        ? `solid ${found.done} of ${found.total}`
        : found?.stage === 'building'
          ? 'building its shapes'
          : 'opening';
  return (
    <p class="row" role="status">
      <progress max={1} {...(share === null ? {} : { value: share })} aria-label="How much is read" />
      <span>
        {found?.file} {told}
        {share !== null && `, ${Math.round(share * 100)} %`}
      </span>
    </p>
  );
}

function Wrong({ faults: told }: { faults: readonly Fault[] }) {
  if (!told.length) return null;
  return (
    <ul class="refused" role="alert">
      {told.map((fault) => (
        <li key={`${fault.line} ${fault.says}`}>
          {fault.line ? `Line ${fault.line}. ` : ''}
          {fault.says}
        </li>
      ))}
    </ul>
  );
}

function Found({ into, units: taken, onDone }: { into: boolean; units: 'mm' | 'in'; onDone: () => void }) {
  const found = taking.value;
  const id = useId();
  const [told, setTold] = useState<readonly Fault[]>([]);
  if (!found) return null;
  const count = picked.value.size;
  const path = { id: found.id };
  const make = async (event: Event): Promise<void> => {
    event.preventDefault();
    const take = [...picked.value];
    try {
      if (into) {
        const took = await sent((now) =>
          got(
            client.POST('/api/takeoff/{id}/into', {
              params: { path },
              body: { take, job: now.name, sum: now.sum, material: material.value, placed: placed.value },
            }),
          ),
        );
        if (took) onDone();
        else setTold(faults.value);
      } else {
        const made = await got(
          client.POST('/api/takeoff/{id}/job', {
            params: { path },
            body: { take, name: named.value, material: material.value, units: taken, placed: placed.value },
          }),
        );
        onDone();
        go({ at: 'job', job: made.name, section: 'shape' });
      }
    } catch (error) {
      setTold(error instanceof Refused ? error.faults : [{ says: 'Bentwork does not answer. Is it still running?' }]);
    }
  };
  return (
    <form noValidate onSubmit={(event) => void make(event)}>
      <h3>
        {found.file}: {found.solids.length} {found.solids.length === 1 ? 'solid' : 'solids'}
      </h3>
      {found.notes.map((note) => (
        <p class="hint" key={note}>
          {note}
        </p>
      ))}
      <ul class="solids">
        {found.solids.map((solid) => (
          <li key={solid.index}>
            <OneSolid solid={solid} />
          </li>
        ))}
      </ul>
      <div class="fields">
        {!into && (
          <Asked
            label="Name of the job"
            value={named.value}
            faults={told.filter((fault) => fault.key === 'name')}
            onType={(text) => {
              named.value = text;
            }}
          />
        )}
        <div class="field">
          <label for={`${id}-material`}>Material: a model does not tell it</label>
          <select
            id={`${id}-material`}
            value={material.value}
            onChange={(event) => {
              material.value = event.currentTarget.value;
            }}
          >
            {!material.value && <option value="">say which</option>}
            <Materials />
          </select>
        </div>
      </div>
      {found.solids.some((one) => picked.value.has(one.index) && (one.same_as || one.mirror_of)) && (
        <label class="tick">
          <input
            type="checkbox"
            checked={placed.value}
            onChange={(event) => {
              placed.value = event.currentTarget.checked;
            }}
          />
          Equal bars that are turned are pieces of their own: each keeps its place in the frame
        </label>
      )}
      <Wrong faults={told.filter((fault) => fault.key !== 'name')} />
      {!(count && material.value) && (
        <p class="hint">{count ? 'Say what it is made of first.' : 'Tick at least one solid first.'}</p>
      )}
      <button type="submit" disabled={!count || !material.value}>
        {into ? 'Put' : 'Make a job of'} {count} {count === 1 ? 'solid' : 'solids'}
        {into && ' into this job'}
      </button>
    </form>
  );
}
