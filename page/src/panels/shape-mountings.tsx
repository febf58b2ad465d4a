// What stands round a bender: vise, bench, floor, and anything else that the bar might meet.
import { useEffect } from 'preact/hooks';
import { followBenders, guides } from '../state/benders';
import { act } from '../state/edits';
import { job } from '../state/job';
import { addRow } from '../state/keys';
import { freeName, isTable, list, remove, set, type Table, tables } from '../state/tables';
import { BodyShape } from './body-shape';
import { Choice } from './choice';
import { FaultsAt, Field } from './field';

type Size = readonly [key: string, label: string];
const VISE: readonly Size[] = [
  ['top', 'Top, from the bar’s middle'],
  ['bottom', 'Bottom'],
];
const BENCH: readonly Size[] = [
  ['top', 'Top, from the bar’s middle'],
  ['thickness', 'Thickness'],
];

export function MountingsPart() {
  useEffect(followBenders, []);
  const all = tables('mounting');
  const bender = tables('bender')[0]?.[0];
  const add = (): void => {
    const free = freeName(
      'bench',
      all.map(([name]) => name),
    );
    void act([set(['mounting', free], { bender, ...(guides.value && { vise: guides.value.around.vise }) })]);
  };
  return (
    <>
      <p class="hint">
        In the bender’s frame, {job.value?.units}: x along the bar, y across it, z up; from the die’s axis and the
        middle of the bar. Several may be given: each step is made in one of them.
      </p>
      {all.map(([name, table]) => (
        <Mounting key={name} name={name} table={table} />
      ))}
      <p>
        <button type="button" class="plain" disabled={!bender} onClick={add}>
          Add a mounting
        </button>
      </p>
    </>
  );
}

function Mounting({ name, table }: { name: string; table: Table }) {
  const unit = job.value?.units;
  const around = guides.value?.around ?? {};
  const at = (...keys: (string | number)[]) => ['mounting', name, ...keys];
  const bodies = list(table.bodies).filter(isTable);
  const addBody = (): void => {
    const body = around.body;
    void act(() => addRow(at('bodies'), body));
  };
  const start = (part: string, told: string) =>
    table[part] === undefined && (
      <button type="button" class="plain" onClick={() => void act([set(at(part), around[part])])}>
        Add {told}
      </button>
    );
  return (
    <section class="thing" aria-label={`Mounting ${name}`}>
      <h3>{name}</h3>
      <div class="fields">
        <Choice
          at={at('bender')}
          label="Bender"
          value={String(table.bender ?? '')}
          options={tables('bender').map(([one]) => [one, one])}
        />
        {table.floor !== undefined && (
          <Field
            at={at('floor')}
            label="Floor, from the bar’s middle"
            unit={unit}
            value={table.floor}
            optional
            hint="below the bar: a number below 0"
          />
        )}
      </div>
      <Box part="vise" told="Vise" at={at} table={table.vise} ranges={['x', 'y']} sizes={VISE} />
      <Box part="bench" told="Bench" at={at} table={table.bench} ranges={['x', 'y']} sizes={BENCH} />
      {bodies.map((body, index) => (
        <Body key={index} at={(...keys) => at('bodies', index, ...keys)} body={body} />
      ))}
      <FaultsAt at={at()} />
      <p class="row">
        {start('vise', 'a vise')}
        {start('bench', 'a bench')}
        {start('floor', 'the floor')}
        <button type="button" class="plain" onClick={addBody}>
          Add a wall or another body
        </button>
        <button type="button" class="plain" onClick={() => void act([remove(at())])}>
          Remove {name}
        </button>
      </p>
    </section>
  );
}

type At = (...keys: (string | number)[]) => (string | number)[];

function Box(props: {
  part: string;
  told: string;
  at: At;
  table: unknown;
  ranges: readonly string[];
  sizes: readonly Size[];
}) {
  const { part, told, at, table, ranges, sizes } = props;
  if (!isTable(table)) return null;
  const unit = job.value?.units;
  return (
    <fieldset>
      <legend>{told}</legend>
      <div class="fields">
        <Ranges at={(...keys) => at(part, ...keys)} table={table} ranges={ranges} />
        {sizes.map(([key, label]) => (
          <Field key={key} at={at(part, key)} label={label} unit={unit} value={table[key]} />
        ))}
      </div>
      <button type="button" class="plain" onClick={() => void act([remove(at(part))])}>
        Take the {told.toLowerCase()} away
      </button>
    </fieldset>
  );
}

function Ranges({ at, table, ranges }: { at: At; table: Table; ranges: readonly string[] }) {
  return (
    <>
      {ranges.flatMap((axis) =>
        ['from', 'to'].map((end, k) => (
          <Field
            key={axis + end}
            at={at(axis, k)}
            label={`${axis} ${end}`}
            unit={job.value?.units}
            value={list(table[axis])[k]}
          />
        )),
      )}
    </>
  );
}

function Body({ at, body }: { at: At; body: Table }) {
  return (
    <fieldset>
      <legend>{String(body.name ?? 'body')}</legend>
      <div class="fields">
        <Field at={at('name')} label="What it is" kind="text" value={body.name} />
        <BodyShape at={at()} name={String(body.name ?? 'body')} table={body} />
      </div>
      <button type="button" class="plain" onClick={() => void act([remove(at())])}>
        Take {String(body.name ?? 'it')} away
      </button>
    </fieldset>
  );
}
