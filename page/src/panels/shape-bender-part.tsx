// One part of a bender: its sizes, each with how to find it with a tape.
import type { PartGuide } from '../api';
import { act } from '../state/edits';
import { isTable, remove, set } from '../state/tables';
import { Choice } from './choice';
import { FaultsAt, Field } from './field';

const PARTS: Readonly<Record<string, string>> = {
  die: 'Die',
  hook: 'Hook',
  follower: 'Follower',
  arm: 'Arm',
  plate: 'Plate',
  rollers: 'Rollers',
  block: 'V-block',
  needs: 'What it needs of straight bar',
};

interface Sized {
  letter: string | null;
  says: string;
  measure: string;
}

export function words(size: Sized | undefined): string | undefined {
  return size && `${capital(size.says)}. ${size.measure}`;
}

function capital(says: string): string {
  return says.charAt(0).toUpperCase() + says.slice(1);
}

export function Part({
  bender,
  part,
  table,
  unit,
}: {
  bender: string;
  part: PartGuide;
  table: unknown;
  unit: string | undefined;
}) {
  const at = (...keys: (string | number)[]) => ['bender', bender, part.name, ...keys];
  const told = PARTS[part.name] ?? part.name;
  if (!isTable(table)) {
    return (
      <p class="row part-missing">
        <span>{told}: not measured yet.</span>
        <button type="button" class="plain" onClick={() => void act([set(at(), part.start)])}>
          Start with usual sizes
        </button>
      </p>
    );
  }
  const kind = typeof table.kind === 'string' ? table.kind : null;
  return (
    <fieldset>
      <legend>{told}</legend>
      <div class="fields">
        {kind && part.other && (
          <Choice
            at={at('kind')}
            label="Kind"
            value={kind}
            options={[
              ['roller', 'a roller'],
              ['shoe', 'a shoe'],
            ]}
            changes={(value) => [set(at(), value === part.other?.kind ? part.other : part.start)]}
          />
        )}
        {typeof table.side === 'string' && (
          <Choice
            at={at('side')}
            label="Side of the bar"
            value={table.side}
            options={[
              ['above', 'above it'],
              ['below', 'below it'],
            ]}
          />
        )}
        {part.sizes.map((size) => {
          const keys = size.path.slice(1);
          const value = keys.reduce<unknown>(
            (here, key) => (here as Record<string | number, unknown> | undefined)?.[key],
            table,
          );
          return (
            <Field
              key={keys.join('.')}
              at={at(...keys)}
              label={capital(size.says)}
              letter={size.letter}
              unit={unit}
              value={value}
              hint={size.measure}
              optional={part.name === 'needs' || keys[0] === 'groove_depth'}
            />
          );
        })}
      </div>
      <FaultsAt at={at()} />
      <button type="button" class="plain" onClick={() => void act([remove(at())])}>
        It has none, or I know nothing of it
      </button>
    </fieldset>
  );
}
