// Every job of the folder, and the ways to a new one.
import { useEffect, useState } from 'preact/hooks';
import type { JobRow } from '../api';
import { go } from '../state/address';
import {
  away,
  bringBack,
  cards,
  copy,
  type Example,
  load,
  openExample,
  pictures,
  putAway,
  rows,
  trouble,
} from '../state/jobs';
import { dropped, held } from '../state/take-off';
import { useDropped } from './dropped';
import { NewJobView } from './new-job';
import { Picture } from './picture';
import { TakeOffView } from './takeoff';
import { Top } from './top';
import '../look/jobs.css';

type Open = 'new' | 'take-off' | null;

export function Jobs() {
  const [open, setOpen] = useState<Open>(null);
  useEffect(() => {
    document.title = 'Jobs · Bentwork';
    void load();
  }, []);
  useDropped();
  useEffect(() => {
    if (dropped.value) setOpen('take-off');
  }, [dropped.value]);
  const example = async (which: Example): Promise<void> => {
    const name = await openExample(which);
    if (name !== null) go({ at: 'job', job: name, section: 'shape' });
  };
  const empty = rows.value?.length === 0;
  return (
    <>
      <Top title="" />
      <main class={`jobs ${held.value ? 'over' : ''}`}>
        <div class="jobs-head">
          <h1>Jobs</h1>
          <div class="row">
            <button type="button" aria-expanded={open === 'new'} onClick={() => setOpen(open === 'new' ? null : 'new')}>
              New job
            </button>
            <button
              type="button"
              class="plain"
              aria-expanded={open === 'take-off'}
              onClick={() => setOpen(open === 'take-off' ? null : 'take-off')}
            >
              Take off a model
            </button>
            <button type="button" class="plain" onClick={() => void example('crate-shelf')}>
              Open the example
            </button>
            <button type="button" class="plain" onClick={() => void example('gear-rack')}>
              Open the large example
            </button>
          </div>
        </div>
        {trouble.value && (
          <p class="trouble" role="alert">
            {trouble.value}
          </p>
        )}
        {putAway.value && (
          <p class="row put-away" role="status">
            <span>{putAway.value.title} was put away, into the folder .removed.</span>
            <button type="button" class="plain" onClick={() => void bringBack()}>
              Bring it back
            </button>
          </p>
        )}
        {open === 'new' && <NewJobView onDone={() => setOpen(null)} />}
        {open === 'take-off' && <TakeOffView onDone={() => setOpen(null)} />}
        {empty && !open && <Empty start={() => setOpen('new')} example={(which) => void example(which)} />}
        <ul class="job-list">
          {rows.value?.map((row) => (
            <li key={row.name}>
              <Card row={row} />
            </li>
          ))}
        </ul>
      </main>
    </>
  );
}

function Empty({ start, example }: { start: () => void; example: (which: Example) => void }) {
  return (
    <div class="empty">
      <p>There is no job in this folder yet. A job is one frame: its pieces, the bar, the bender.</p>
      <p class="row">
        <button type="button" onClick={start}>
          Start from a shape
        </button>
        <button type="button" class="plain" onClick={() => example('crate-shelf')}>
          Look at the example: a crate shelf for a hand cart
        </button>
        <button type="button" class="plain" onClick={() => example('gear-rack')}>
          Look at a large one: a gear rack with everything
        </button>
      </p>
      <p class="dim">Or drop a STEP model, a DXF drawing or a CSV of corner points on this page.</p>
    </div>
  );
}

function Card({ row }: { row: JobRow }) {
  const card = cards.value.get(row.sum);
  const drawn = pictures.value.get(row.sum);
  const again = async (): Promise<void> => {
    if ((await copy(row)) !== null) await load();
  };
  return (
    <article class="job-card">
      <a href={`/job/${encodeURIComponent(row.name)}`}>
        <span class="job-picture">{drawn && <Picture drawn={drawn} label={`Picture of ${row.title}`} />}</span>
        <strong>{row.title}</strong>
        <span class="dim">{told(row)}</span>
        {card && (
          <span class="job-found">
            {card.stops ? <span class="level stop">{card.stops} stop</span> : null}
            {card.watches ? <span class="level watch">{card.watches} watch</span> : null}
            {card.stops === 0 && <span class="dim">nothing stops it</span>}
          </span>
        )}
      </a>
      <p class="row">
        <button type="button" class="plain" aria-label={`Copy ${row.title}`} onClick={() => void again()}>
          Copy
        </button>
        <button type="button" class="plain" aria-label={`Put away ${row.title}`} onClick={() => void away(row)}>
          Put away
        </button>
      </p>
    </article>
  );
}

function told(row: JobRow): string {
  const when = new Date(row.changed * 1000).toLocaleDateString(undefined, {
    day: 'numeric',
    month: 'short',
    year: 'numeric',
  });
  if (row.faults) return `${row.faults} ${row.faults === 1 ? 'fault' : 'faults'} in its file · ${when}`;
  return `${row.pieces} ${row.pieces === 1 ? 'piece' : 'pieces'} · changed ${when}`;
}
