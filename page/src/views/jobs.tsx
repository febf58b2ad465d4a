// Every job of the folder.
import { signal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { client, got, type JobRow, Refused } from '../api';
import { Top } from './top';

const rows = signal<readonly JobRow[] | null>(null);
const trouble = signal('');

async function load(): Promise<void> {
  try {
    rows.value = await got(client.GET('/api/jobs'));
    trouble.value = '';
  } catch (error) {
    trouble.value = error instanceof Refused ? error.message : 'Bentwork does not answer. Is it still running?';
  }
}

export function Jobs() {
  useEffect(() => {
    document.title = 'Jobs · Bentwork';
    void load();
  }, []);
  return (
    <>
      <Top title="" />
      <main class="jobs">
        <h1>Jobs</h1>
        {trouble.value && <p class="trouble">{trouble.value}</p>}
        <ul class="job-list">
          {rows.value?.map((row) => (
            <li key={row.name}>
              <JobCard row={row} />
            </li>
          ))}
        </ul>
        {rows.value?.length === 0 && <p>There is no job in this folder yet.</p>}
      </main>
    </>
  );
}

function JobCard({ row }: { row: JobRow }) {
  return (
    <a class="job-card" href={`/job/${encodeURIComponent(row.name)}`}>
      <strong>{row.title}</strong>
      <span class="dim">{told(row)}</span>
    </a>
  );
}

function told(row: JobRow): string {
  if (row.faults) return `${row.faults} ${row.faults === 1 ? 'fault' : 'faults'} in its file`;
  const parts = [`${row.pieces} ${row.pieces === 1 ? 'piece' : 'pieces'}`];
  if (row.stops) parts.push(`${row.stops} stop`);
  if (row.watches) parts.push(`${row.watches} watch`);
  return parts.join(', ');
}
