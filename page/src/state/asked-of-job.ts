// What a section asks the server with every state of the job. The last question counts: an older answer is dropped.
import { batch, type Signal, signal } from '@preact/signals';
import { Refused } from '../api';
import { job } from './job';

export interface Asked<T> {
  readonly told: Signal<T | null>;
  readonly trouble: Signal<string>;
  readonly ask: () => Promise<void>;
}

/** Answers of `get` for the job that is open; `onOther` runs when another job was opened. */
export function askedOfJob<T>(get: (name: string) => Promise<T>, onOther: () => void = () => {}): Asked<T> {
  const told = signal<T | null>(null);
  const trouble = signal('');
  let name = '';
  let turn = 0;
  async function ask(): Promise<void> {
    const now = job.value;
    if (!now) return;
    if (now.name !== name) {
      name = now.name;
      batch(() => {
        told.value = null;
        onOther();
      });
    }
    turn += 1;
    const own = turn;
    try {
      const answer = await get(now.name);
      if (own !== turn) return;
      batch(() => {
        told.value = answer;
        trouble.value = '';
      });
    } catch (error) {
      if (own !== turn || (error instanceof Refused && error.isStale)) return;
      trouble.value = error instanceof Refused ? error.message : 'Bentwork does not answer.';
    }
  }
  return { told, trouble, ask };
}
