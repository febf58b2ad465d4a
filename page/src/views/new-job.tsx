// A new job from a starting shape: change a number, and the picture follows.
import { useEffect, useId, useRef } from 'preact/hooks';
import type { Library } from '../api';
import { Asked } from '../panels/asked';
import { Materials } from '../panels/shape-stock';
import { go } from '../state/address';
import { library, needLibrary } from '../state/library';
import { make, measuredIn, preview, seen, wanted, wish, wrong } from '../state/new-job';
import { Picture } from './picture';

type Shape = Library['shapes'][number];

export function NewJobView({ onDone }: { onDone: () => void }) {
  const id = useId();
  useEffect(() => {
    needLibrary();
    void preview();
  }, []);
  const head = useRef<HTMLHeadingElement>(null);
  useEffect(() => head.current?.focus(), [library.value === null]);
  const found = library.value;
  if (!found) return null;
  const now = wish.value;
  const shape = found.shapes.find((one) => one.name === now.shape);
  const inches = now.units === 'in';
  const at = (key: string) => wrong.value.filter((fault) => fault.key === key);
  const lengths = shape?.dimensions.filter((one) => one.kind === 'length').map((one) => one.name) ?? [];
  const fields = new Set([
    'name',
    'diameter',
    'radius',
    'material',
    ...(shape?.dimensions.map((one) => one.name) ?? []),
  ]);
  const other = wrong.value.filter((fault) => !fault.key || !fields.has(fault.key));
  const send = async (event: Event): Promise<void> => {
    event.preventDefault();
    const form = event.currentTarget as HTMLFormElement;
    const name = await make();
    if (name !== null) {
      onDone();
      go({ at: 'job', job: name, section: 'shape' });
    } else requestAnimationFrame(() => form.querySelector<HTMLElement>('[aria-invalid="true"]')?.focus());
  };
  return (
    <form class="new-job" noValidate onSubmit={(event) => void send(event)} aria-label="New job">
      <h2 ref={head} tabIndex={-1}>
        New job
      </h2>
      <div class="new-job-parts">
        <div class="new-job-asked">
          <fieldset class="kinds">
            <legend>Start from</legend>
            {found.shapes.map((one) => (
              <label key={one.name}>
                <input type="radio" name="shape" checked={one.name === now.shape} onChange={() => start(one)} />
                <span>
                  <strong>{one.name.replaceAll('-', ' ')}</strong> <span class="dim">{one.says}</span>
                </span>
              </label>
            ))}
          </fieldset>
          <div class="fields">
            {shape?.dimensions.map((one) => (
              <Asked
                key={one.name}
                label={capital(one.name)}
                unit={one.kind === 'length' ? (now.units ?? 'mm') : one.kind === 'angle' ? '°' : ''}
                value={now.dimensions?.[one.name] ?? ''}
                usual={usualOf(one, inches)}
                hint={one.says}
                faults={at(one.name)}
                onType={(text) => wanted({ dimensions: { ...now.dimensions, [one.name]: text.trim() || null } })}
              />
            ))}
          </div>
          <div class="fields">
            <Asked
              label="Bar, diameter"
              unit={now.units ?? 'mm'}
              value={now.diameter ?? ''}
              usual={inches ? '1/2' : '12'}
              faults={at('diameter')}
              onType={(text) => wanted({ diameter: text.trim() || null })}
            />
            <div class="field">
              <label for={`${id}-material`}>Material</label>
              <select
                id={`${id}-material`}
                value={now.material ?? ''}
                onChange={(event) => wanted({ material: event.currentTarget.value })}
              >
                <Materials />
              </select>
            </div>
            {!shape?.own_radius && (
              <Asked
                label="Radius of the die"
                unit={now.units ?? 'mm'}
                value={now.radius ?? ''}
                usual="four bars"
                hint="to the middle of the bar"
                faults={at('radius')}
                onType={(text) => wanted({ radius: text.trim() || null })}
              />
            )}
            <div class="field">
              <label for={`${id}-units`}>Units</label>
              <select
                id={`${id}-units`}
                value={now.units}
                onChange={(event) => measuredIn(event.currentTarget.value === 'in' ? 'in' : 'mm', lengths)}
              >
                <option value="mm">millimetres</option>
                <option value="in">inches</option>
              </select>
            </div>
            <div class="field">
              <label for={`${id}-bender`}>Bender like</label>
              <select
                id={`${id}-bender`}
                value={now.bender ?? ''}
                onChange={(event) => wanted({ bender: event.currentTarget.value || null })}
              >
                {found.benders
                  .filter((one) => one.bar === 'diameter')
                  .map((one) => (
                    <option key={one.name} value={one.name}>
                      {one.name.replaceAll('-', ' ')}
                    </option>
                  ))}
                <option value="">not measured yet</option>
              </select>
              <span class="hint">{found.benders.find((one) => one.name === now.bender)?.says}</span>
            </div>
          </div>
        </div>
        <div class="new-job-seen">
          {seen.value && (
            <figure class={wrong.value.length ? 'older' : ''}>
              <Picture drawn={seen.value.picture} label="The new frame" />
              <figcaption aria-live="polite">
                {seen.value.pieces.map((piece) => (
                  <span key={piece}>{piece}</span>
                ))}
                <span>{seen.value.mass}</span>
              </figcaption>
            </figure>
          )}
          <Asked
            label="Name of the job"
            value={now.name ?? ''}
            faults={at('name')}
            hint={now.name?.trim() && seen.value && !at('name').length ? `the file: ${seen.value.file}` : ''}
            onType={(name) => wanted({ name })}
          />
          <p class="row">
            <button type="submit">Make this job</button>
            <button type="button" class="plain" onClick={onDone}>
              Leave it
            </button>
          </p>
          {other.length > 0 && (
            <ul class="refused" role="alert">
              {other.map((fault) => (
                <li key={fault.says}>{fault.says}</li>
              ))}
            </ul>
          )}
        </div>
      </div>
    </form>
  );
}

/** A shape that sets the radius of its bend itself is made round a former, not on a die that lies there. */
function start(one: Shape): void {
  wanted({
    shape: one.name,
    dimensions: {},
    bender: one.own_radius ? 'peg-board' : 'plate-roller',
    ...(one.own_radius && { radius: null }),
  });
}

function usualOf(one: Shape['dimensions'][number], inches: boolean): string {
  return String(inches ? one.inches : one.mm);
}

function capital(name: string): string {
  return name.charAt(0).toUpperCase() + name.slice(1);
}
