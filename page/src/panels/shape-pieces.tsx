// The pieces: one is chosen, here or on the stage, and everything about it can be typed.
import { useEffect, useState } from 'preact/hooks';
import type { Readout } from '../api';
import { choose, chosen } from '../state/chosen';
import { act } from '../state/edits';
import { job } from '../state/job';
import { freeName, isTable, remove, set, setClosed, type Table, tables } from '../state/tables';
import { dropped } from '../state/take-off';
import { withoutPiece } from '../state/without-piece';
import { TakeOffView } from '../views/takeoff';
import { Choice, Tick } from './choice';
import { FaultsAt, Field } from './field';
import { PieceMore } from './piece-more';
import { BendRows } from './shape-bends';
import { PointRows, usualRadius } from './shape-points';
import { WholeJob } from './shape-whole';

export function PiecesPart() {
  const now = job.value;
  const all = tables('piece');
  const [taking, setTaking] = useState(false);
  const name = all.some(([one]) => one === chosen.value?.piece) ? (chosen.value?.piece ?? '') : (all[0]?.[0] ?? '');
  const table = all.find(([one]) => one === name)?.[1];
  useEffect(() => {
    if (name && chosen.value?.piece !== name) choose(name);
  }, [name]);
  useEffect(() => {
    if (dropped.value) setTaking(true);
  }, [dropped.value]);
  if (!now) return null;
  const unit = now.units;
  const add = (made: Table, like: string): void => {
    const free = freeName(
      like,
      all.map(([one]) => one),
    );
    void act([set(['piece', free], made)]).then((took) => took && choose(free));
  };
  return (
    <>
      <fieldset class="picks" aria-label="Pieces">
        {all.map(([one]) => (
          <button key={one} type="button" class="plain pick" aria-pressed={one === name} onClick={() => choose(one)}>
            <strong>{one}</strong>
            <span class="dim">
              {now.readouts.find((readout) => readout.piece === one)?.cut_length ?? 'does not fit'}
            </span>
          </button>
        ))}
      </fieldset>
      <p class="row">
        <button type="button" class="plain" onClick={() => add(fresh(unit), 'piece')}>
          Add a piece
        </button>
        {table && (
          <button type="button" class="plain" onClick={() => add(table, name)}>
            Copy {name}
          </button>
        )}
        <button type="button" class="plain" aria-expanded={taking} onClick={() => setTaking(!taking)}>
          Take pieces from a model
        </button>
      </p>
      {taking && <TakeOffView into onDone={() => setTaking(false)} />}
      {table && <Piece key={name} name={name} table={table} />}
      <WholeJob />
    </>
  );
}

function fresh(unit: 'mm' | 'in'): Table {
  const stock = tables('stock')[0]?.[0];
  const bender = tables('bender')[0]?.[0];
  const [long, high] = unit === 'in' ? [12, 8] : [300, 200];
  const points = [
    [0, 0, 0],
    [long, 0, 0],
    [long, 0, high],
  ];
  return { ...(stock && { stock }), ...(bender && { bender }), points };
}

function Piece({ name, table }: { name: string; table: Table }) {
  const now = job.value;
  if (!now) return null;
  const at = (key: string) => ['piece', name, key];
  const unit = now.units;
  const benders: [string, string][] = tables('bender').map(([one]) => [one, one]);
  const closed = table.closed === true;
  return (
    <section aria-label={`Piece ${name}`}>
      <Told readout={now.readouts.find((one) => one.piece === name)} name={name} />
      <div class="fields">
        <Choice
          at={at('stock')}
          label="Stock"
          value={String(table.stock ?? '')}
          options={tables('stock').map(([one]) => [one, one])}
        />
        <Choice
          at={at('bender')}
          label="Bender"
          value={String(table.bender ?? '')}
          options={[['', 'none: it stays straight'], ...benders]}
          changes={(value) => (value ? [set(at('bender'), value)] : [remove(at('bender'))])}
        />
      </div>
      {Array.isArray(table.points) && <PointRows name={name} table={table} />}
      {Array.isArray(table.straights) && <BendRows name={name} table={table} />}
      {isTable(table.takeoff) && <FromModel name={name} table={table.takeoff} />}
      <FaultsAt at={['piece', name]} />
      <div class="fields">
        <Tick
          at={at('closed')}
          label="Closed"
          value={closed}
          changes={(value) => setClosed({ path: ['piece', name], table }, value, usualRadius(table))}
        />
        {closed && (
          <Field
            at={at('seam')}
            label="Seam in side"
            value={Array.isArray(table.seam) ? table.seam.join(', ') : table.seam}
            kind="whole"
            usual="auto"
            hint="a number; side 1 runs from point 1 to 2. Empty: in the longest straight"
            optional
            changes={(value) => seam(at('seam'), value, table.seam !== undefined)}
          />
        )}
        <Field at={at('count')} label="How many" value={table.count} kind="whole" usual="1" optional />
        <Tick at={at('mirror')} label="A left and a right one" value={table.mirror === true} />
        <Field
          at={at('trim')}
          label="Spare on each end"
          unit={unit}
          value={table.trim}
          usual="0"
          optional
          hint="cut off after bending"
        />
        <Field
          at={at('required_clearance')}
          label="Clearance wanted"
          unit={unit}
          value={table.required_clearance}
          usual="0"
          optional
          hint="to anything, while it is bent"
        />
      </div>
      <PieceMore name={name} table={table} />
      <p class="row">
        <button type="button" class="plain" onClick={() => void act(withoutPiece(job.value?.data ?? {}, name))}>
          Remove {name}
        </button>
      </p>
    </section>
  );
}

function seam(path: string[], value: string | number | undefined, there: boolean) {
  if (value === undefined) return there ? [remove(path)] : [];
  const parts = String(value)
    .split(/[,;\s]+/)
    .map(Number);
  return [set(path, parts.length === 2 && parts.every(Number.isFinite) ? parts : value)];
}

function Told({ readout, name }: { readout: Readout | undefined; name: string }) {
  const found = job.value?.findings.filter((finding) => finding.piece === name) ?? [];
  const of = (level: string): number => found.filter((finding) => finding.level === level).length;
  return (
    <dl class="told" aria-live="polite" aria-label={`What becomes of ${name}`}>
      <div>
        <dt>cut to</dt>
        <dd class="number">{readout?.cut_length ?? '–'}</dd>
      </div>
      <div>
        <dt>each weighs</dt>
        <dd class="number">{readout?.mass ?? '–'}</dd>
      </div>
      <div>
        <dt>bends</dt>
        <dd class="number">{readout?.bends ?? '–'}</dd>
      </div>
      {(['stop', 'watch', 'note'] as const).map((level) =>
        of(level) ? (
          <div key={level}>
            <dt class={`level ${level}`}>{level}</dt>
            <dd>
              <a href={`/job/${encodeURIComponent(job.value?.name ?? '')}/findings`}>{of(level)} to read</a>
            </dd>
          </div>
        ) : null,
      )}
    </dl>
  );
}

function FromModel({ name, table }: { name: string; table: Table }) {
  const at = (key: string) => ['piece', name, 'takeoff', key];
  return (
    <fieldset>
      <legend>Taken from a model</legend>
      <div class="fields">
        <Field at={at('file')} label="File" value={table.file} kind="text" hint="beside the job" />
        <Field at={at('solid')} label="Solid" value={table.solid} kind="whole" />
        <Field
          at={at('member')}
          label="Bar of the solid"
          value={table.member}
          kind="whole"
          usual="the only one"
          optional
        />
        <Field
          at={at('radius')}
          label="Radius of sharp corners"
          unit={job.value?.units}
          value={table.radius}
          usual="as drawn"
          optional
        />
      </div>
    </fieldset>
  );
}
