// The jobs of the folder, and what is done with whole job files.
import { signal } from '@preact/signals';
import { client, got, type JobCard, type JobRow, type Picture, Refused } from '../api';

export const rows = signal<readonly JobRow[] | null>(null);
/** By the state of the file that they belong to, as the findings are. */
export const pictures = signal<ReadonlyMap<string, Picture>>(new Map());
export const cards = signal<ReadonlyMap<string, JobCard>>(new Map());
export const trouble = signal('');
/** What was put away last, to be brought back. */
export const putAway = signal<{ title: string; kept: string } | null>(null);

export async function load(): Promise<void> {
  await tried(async () => {
    rows.value = await got(client.GET('/api/jobs'));
  });
  const all = rows.value ?? [];
  await Promise.all(all.filter((row) => !pictures.value.has(row.sum) && !row.faults).map(loadPicture));
  await drawn(); // a job is worked out for its card: the pictures shall be seen before that
  for (const row of all) if (!cards.value.has(row.sum)) await loadCard(row);
}

function drawn(): Promise<void> {
  return new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
}

async function loadPicture(row: JobRow): Promise<void> {
  const path = { name: row.name };
  await got(client.GET('/api/jobs/{name}/picture', { params: { path } })).then(
    (drawn) => {
      pictures.value = new Map([...pictures.value, [row.sum, drawn]]);
    },
    () => undefined, // a card without its picture is still a card
  );
}

async function loadCard(row: JobRow): Promise<void> {
  const path = { name: row.name };
  await got(client.GET('/api/jobs/{name}/card', { params: { path } })).then(
    (card) => {
      cards.value = new Map([...cards.value, [row.sum, card]]);
    },
    () => undefined,
  );
}

export type Example = 'crate-shelf' | 'gear-rack';

/** Write an example into the folder; returns its name. */
export function openExample(which: Example): Promise<string | null> {
  return made(() => got(client.POST('/api/example', { params: { query: { which } } })));
}

export function copy(row: JobRow): Promise<string | null> {
  return made(() => got(client.POST('/api/jobs/{name}/copy', { params: { path: { name: row.name } } })));
}

export async function away(row: JobRow): Promise<void> {
  await tried(async () => {
    const params = { path: { name: row.name }, query: { sum: row.sum } };
    const { kept } = await got(client.DELETE('/api/jobs/{name}', { params }));
    putAway.value = { title: row.title, kept };
  });
  await load();
}

export async function bringBack(): Promise<void> {
  const last = putAway.value;
  if (!last) return;
  await tried(async () => {
    await got(client.POST('/api/removed/{kept}/back', { params: { path: { kept: last.kept } } }));
    putAway.value = null;
  });
  await load();
}

async function made(ask: () => Promise<{ name: string }>): Promise<string | null> {
  let name: string | null = null;
  await tried(async () => {
    name = (await ask()).name;
  });
  return name;
}

async function tried(what: () => Promise<void>): Promise<void> {
  try {
    await what();
    trouble.value = '';
  } catch (error) {
    trouble.value = error instanceof Refused ? error.message : 'Bentwork does not answer. Is it still running?';
  }
}
