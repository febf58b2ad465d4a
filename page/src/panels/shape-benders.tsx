// The benders: every size with the words of the tape, and a drawing that shows which is which.
import { useEffect } from 'preact/hooks';
import type { BenderGuide } from '../api';
import { drawings, followBenders, guides } from '../state/benders';
import { act } from '../state/edits';
import { job } from '../state/job';
import { keyChange } from '../state/keys';
import { isTable, remove, set, type Table, tables } from '../state/tables';
import { Picture } from '../views/picture';
import { Choice } from './choice';
import { FaultsAt, Field } from './field';
import { AddBender } from './shape-add-bender';
import { Part, words } from './shape-bender-part';
import { BenderStrength } from './shape-bender-strength';

const KINDS: readonly (readonly [string, string])[] = [
  ['wrap', 'the die stands, the bar is wiped round it'],
  ['draw', 'the die turns and pulls the bar'],
  ['ram', 'a former is pushed between two rollers'],
  ['vee', 'punch and V-block'],
];

export function BendersPart() {
  useEffect(followBenders, []);
  const own = tables('bender');
  const others = guides.value?.benders.filter((one) => !one.own) ?? [];
  return (
    <>
      <p class="hint">Measure yours with a tape: what is planned is no better than these sizes.</p>
      {own.map(([name, table]) => (
        <Bender key={name} name={name} table={table} guide={guides.value?.benders.find((one) => one.name === name)} />
      ))}
      {others.map((one) => (
        <section class="thing" key={one.name} aria-label={`Bender ${one.name}`}>
          <h3>{one.name}</h3>
          <p>Your workshop describes it; change it there.</p>
          <Drawn name={one.name} />
        </section>
      ))}
      <AddBender />
    </>
  );
}

function Bender({ name, table, guide }: { name: string; table: Table; guide: BenderGuide | undefined }) {
  const unit = job.value?.units;
  const at = (...keys: (string | number)[]) => ['bender', name, ...keys];
  const users = [...tables('piece'), ...tables('mounting')]
    .filter(([, one]) => one.bender === name)
    .map(([one]) => one);
  const accuracy = isTable(table.accuracy) ? table.accuracy : {};
  const spread = (key: string) => (value: string | number | undefined) => keyChange(at('accuracy', key), value);
  return (
    <section class="thing" aria-label={`Bender ${name}`}>
      <h3>{name}</h3>
      <Drawn name={name} />
      <div class="fields">
        <Choice at={at('kind')} wide label="Kind" value={String(table.kind ?? '')} options={KINDS} />
        <Choice
          at={at('hand')}
          label="Turns the free side"
          value={String(table.hand ?? 'left')}
          options={[
            ['left', 'to the left'],
            ['right', 'to the right'],
          ]}
        />
        <Field
          at={at('radius')}
          label="Radius"
          letter={guide?.radius.letter}
          unit={unit}
          value={table.radius}
          hint={words(guide?.radius)}
        />
        <Field
          at={at('max_angle')}
          label="Furthest pull"
          unit="°"
          kind="angle"
          value={table.max_angle}
          optional
          hint="to be warned of bends beyond it"
        />
        <Field
          at={at('springback')}
          label="Angle pulled / angle left"
          kind="number"
          value={table.springback}
          optional
          hint="your own word; empty: from test bends or the handbook"
        />
        <Choice
          at={at('mark')}
          label="The mark is lined up with"
          value={String(table.mark ?? '')}
          options={[
            ['', 'what its kind uses'],
            ['start', 'the start of the bend'],
            ['centre', 'the middle of the bend'],
          ]}
          changes={(value) => (value ? [set(at('mark'), value)] : [remove(at('mark'))])}
        />
      </div>
      {guide?.parts.map((part) => (
        <Part key={part.name} bender={name} part={part} table={table[part.name]} unit={unit} />
      ))}
      <fieldset>
        <legend>Your hand on it, one standard deviation</legend>
        <div class="fields">
          <Field
            at={at('accuracy', 'angle')}
            label="Angle"
            unit="°"
            kind="angle"
            value={accuracy.angle}
            optional
            changes={spread('angle')}
          />
          <Field
            at={at('accuracy', 'rotation')}
            label="Rotation"
            unit="°"
            kind="angle"
            value={accuracy.rotation}
            optional
            changes={spread('rotation')}
          />
          <Field
            at={at('accuracy', 'position')}
            label="Position"
            unit={unit}
            value={accuracy.position}
            optional
            changes={spread('position')}
          />
        </div>
      </fieldset>
      <BenderStrength name={name} table={table} />
      <FaultsAt at={at()} />
      <p class="row">
        <button type="button" class="plain" disabled={users.length > 0} onClick={() => void act([remove(at())])}>
          Remove {name}
        </button>
        {users.length > 0 && (
          <span class="hint">
            {users.join(', ')} {users.length === 1 ? 'uses' : 'use'} it.
          </span>
        )}
      </p>
    </section>
  );
}

function Drawn({ name }: { name: string }) {
  const drawn = drawings.value.get(name);
  if (!drawn) return null;
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: on a narrow screen it is scrolled with the arrow keys
    <section class="bender-drawn" tabIndex={0} aria-label={`Drawing of ${name}`}>
      <Picture drawn={drawn} label={`${name}, drawn from its sizes, with a letter on each`} class="bender" />
    </section>
  );
}
