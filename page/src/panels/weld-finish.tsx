// Welding, finish, and brackets in the flat: the work in its order, with the cautions where they belong.
import { job } from '../state/job';
import { isTable, tables } from '../state/tables';
import * as state from '../state/weld-finish';
import { Choice, Tick } from './choice';
import { FaultsAt, Field } from './field';
import { FlatCard } from './flat-card';
import { Names } from './form';
import { ShowPlace } from './show-place';
import { ToKnow, Trouble, useWithJob } from './told-of-job';
import '../look/weld-finish.css';

const SYSTEMS: readonly (readonly [string, string])[] = [
  ['paint', 'paint'],
  ['powder', 'powder, from an oven'],
  ['anodised', 'anodised'],
  ['galvanised', 'hot-dip galvanised'],
  ['bare', 'left bare'],
];

export function WeldFinishPanel() {
  useWithJob(state.ask);
  const told = state.told.value;
  if (state.trouble.value) return <Trouble says={state.trouble.value} />;
  if (!job.value || !told) return <p role="status">Looking at the welds …</p>;
  return (
    <div class="weld-finish">
      <section aria-label="Welding">
        <h3>Welding</h3>
        {told.welding.slice(0, 1).map((part) => (
          <Work key={part.title} part={part} />
        ))}
        {told.welds.length ? <Welds told={told} /> : <p>Nothing is welded in this frame.</p>}
        {told.welding.slice(1).map((part) => (
          <Work key={part.title} part={part} above={told.order_why} />
        ))}
      </section>
      <section aria-label="Finish">
        <h3>Finish</h3>
        <Setup />
        {told.finish.map((part) => (
          <Work key={part.title} part={part} />
        ))}
      </section>
      {told.flats.length > 0 && (
        <section aria-label="Brackets in the flat">
          <h3>Brackets in the flat</h3>
          {told.flats.map((flat) => (
            <FlatCard key={flat.name} flat={flat} />
          ))}
          {told.flats.some((flat) => flat.holes.length) && <p class="caution">{told.drill_caution}</p>}
          <p class="hint">Patterns at 1:1 are among the papers; DXF is among the files.</p>
        </section>
      )}
      <ToKnow about="welding and finish" findings={told.findings} />
    </div>
  );
}

function Welds({ told }: { told: state.WeldAndFinish }) {
  return (
    <>
      <p>{told.order_why}</p>
      <ol class="welds">
        {told.welds.map((weld) => (
          <li key={weld.number}>
            <b class="number">{weld.number}</b>
            <span>
              {weld.where}
              <span class="hint">{weld.tacks}</span>
            </span>
            <ShowPlace at={weld.at_mm} says={`weld ${weld.number}, ${weld.where}`} />
          </li>
        ))}
      </ol>
    </>
  );
}

/** `above`: what stands on the screen already and is not told again. */
function Work({ part, above }: { part: state.Part; above?: string }) {
  const counted = part.lines.some((line) => /^\d+: /.test(line));
  const lines = part.lines.map((line) => <li key={line}>{line}</li>);
  return (
    <details class="fold">
      <summary>
        {part.title}
        {part.cautions.length > 0 && <span class="dangers"> {cautioned(part.cautions.length)}</span>}
      </summary>
      {part.intro && part.intro !== above && <p>{part.intro}</p>}
      {part.numbered ? <ol>{lines}</ol> : <ul class={counted ? 'counted' : ''}>{lines}</ul>}
      {part.cautions.map((caution) => (
        <p key={caution} class="caution">
          {caution}
        </p>
      ))}
    </details>
  );
}

/** Folded up, a step still says that something in it can hurt. */
function cautioned(count: number): string {
  return count === 1 ? '1 caution' : `${count} cautions`;
}

function Setup() {
  const table = job.value?.data.finish;
  const finish = isTable(table) ? table : {};
  return (
    <>
      <div class="fields">
        <Choice
          at={['finish', 'system']}
          label="What is put on"
          value={String(finish.system ?? 'paint')}
          options={SYSTEMS}
          changes={(value) => state.finishChange('system', value)}
        />
        <Field
          at={['finish', 'colour']}
          label="Colour"
          kind="text"
          value={finish.colour}
          optional
          changes={(value) => state.finishChange('colour', value === undefined ? undefined : String(value))}
        />
      </div>
      <Tick
        at={['finish', 'two_pack']}
        label="The paint hardens with an isocyanate (two-pack)"
        value={finish.two_pack === true}
        changes={(on) => state.finishChange('two_pack', on || undefined)}
      />
      <Tick
        at={['finish', 'vented']}
        label="Every closed tube has its vent"
        value={finish.vented === true}
        changes={(on) => state.finishChange('vented', on || undefined)}
      />
      <Names
        at={['finish', 'galvanised']}
        label="Bought galvanised"
        value={finish.galvanised}
        names={tables('stock').map(([name]) => name)}
      />
      <FaultsAt at={['finish']} />
    </>
  );
}
