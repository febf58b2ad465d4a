// Another bender, started from a kind that the maker recognises.
import { useState } from 'preact/hooks';
import type { Fault } from '../api';
import { startBender } from '../state/benders';
import { faults, sent } from '../state/job';
import { library } from '../state/library';
import { freeName, tables } from '../state/tables';
import { Asked } from './asked';

export function AddBender() {
  const [open, setOpen] = useState(false);
  const [asked, setAsked] = useState({ archetype: 'plate-roller', name: '', radius: '', size: '' });
  const [wrong, setWrong] = useState<readonly Fault[]>([]);
  const kinds = library.value?.benders ?? [];
  const kind = kinds.find((one) => one.name === asked.archetype);
  const name =
    asked.name ||
    freeName(
      'bender',
      tables('bender').map(([one]) => one),
    );
  if (!open) {
    return (
      <button type="button" class="plain" onClick={() => setOpen(true)}>
        Add a bender
      </button>
    );
  }
  const send = async (event: Event): Promise<void> => {
    event.preventDefault();
    if (await sent((now) => startBender(now, { ...asked, name }))) {
      setOpen(false);
      setWrong([]);
    } else {
      setWrong(faults.value);
      faults.value = [];
    }
  };
  const field = (key: 'name' | 'radius' | 'size', label: string, usual: string, hint = '') => (
    <Asked
      label={label}
      value={asked[key]}
      usual={usual}
      hint={hint}
      faults={wrong.filter((fault) => fault.key === key || (key === 'size' && fault.key === 'diameter'))}
      onType={(text) => setAsked({ ...asked, [key]: text })}
    />
  );
  return (
    <form class="thing" noValidate onSubmit={(event) => void send(event)} aria-label="Add a bender">
      <h3>Which of these is it like?</h3>
      <div class="kinds">
        {kinds.map((one) => (
          <label key={one.name}>
            <input
              type="radio"
              name="archetype"
              checked={one.name === asked.archetype}
              onChange={() => setAsked({ ...asked, archetype: one.name })}
            />
            <span>{one.says}</span>
          </label>
        ))}
      </div>
      <div class="fields">
        {field('name', 'What you call it', name)}
        {field('radius', 'Radius of the die', 'four bars', 'to the middle of the bar')}
        {field('size', kind?.bar === 'thickness' ? 'Thickness of the bar' : 'Diameter of the bar', 'usual')}
      </div>
      <p class="row">
        <button type="submit">Add it</button>
        <button type="button" class="plain" onClick={() => setOpen(false)}>
          Leave it
        </button>
      </p>
    </form>
  );
}
