// What every size of the job's benders is, and their drawings; asked for anew when the job changes.
import { effect, signal } from '@preact/signals';
import { type BenderGuides, client, got, type Job, type Picture } from '../api';
import { job } from './job';

export const guides = signal<BenderGuides | null>(null);
export const drawings = signal<ReadonlyMap<string, Picture>>(new Map());

let turn = 0;

/** Keep guides and drawings up to date for as long as they are looked at; returns what ends that. */
export function followBenders(): () => void {
  return effect(() => {
    const now = job.value;
    if (now) void load(now);
  });
}

async function load(now: Job): Promise<void> {
  turn += 1;
  const own = turn;
  const path = { name: now.name };
  try {
    const found = await got(client.GET('/api/jobs/{name}/benders', { params: { path } }));
    if (own !== turn) return;
    guides.value = found;
    for (const { name: bender } of found.benders) {
      const drawn = await got(
        client.GET('/api/jobs/{name}/benders/{bender}/picture', { params: { path: { ...path, bender } } }),
      );
      if (own !== turn) return;
      drawings.value = new Map([...drawings.value, [bender, drawn]]);
    }
  } catch {
    // what was there stays: the fields work without words and drawings
  }
}

/** Add a bender of a kind that the maker recognises. */
export function startBender(now: Job, asked: { archetype: string; name: string; radius: string; size: string }) {
  return got(
    client.POST('/api/jobs/{name}/benders', {
      params: { path: { name: now.name } },
      body: {
        sum: now.sum,
        archetype: asked.archetype,
        name: asked.name,
        radius: asked.radius.trim() || null,
        size: asked.size.trim() || null,
      },
    }),
  );
}
