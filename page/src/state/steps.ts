// The work at the bender as it is shown: which piece, in which order, and where in it one is.
import { batch, computed, signal } from '@preact/signals';
import { client, got, type Job, type MotionOut, Refused } from '../api';
import { chosen } from './chosen';
import { job, tried } from './job';
import { atTime, startOf, timeline } from './timeline';

export type Order = MotionOut['order'];

export interface Hand {
  piece: string;
  asDrawn: boolean;
  name: string;
}

export const motion = signal<MotionOut | null>(null);
export const trouble = signal('');
export const now = signal(0);
export const playing = signal(false);
export const hand = signal<Hand | null>(null);
/** Raised when the camera shall go near to where it gets close, and when it shall go back to where one stands. */
export const closeUp = signal(0);
export const standAgain = signal(0);
let near = false;

function standBack(): void {
  if (near) standAgain.value += 1;
  near = false;
}

export const line = computed(() => timeline(motion.value?.steps ?? []));
export const at = computed(() => atTime(line.value, now.value));
export const number = computed(() => at.value.step);
export const step = computed(() => motion.value?.steps[number.value] ?? null);
export const key = computed(() => {
  const { key: k, share } = at.value;
  return step.value?.keys[share > 0.5 ? k + 1 : k] ?? step.value?.keys[k] ?? null;
});

/** Every hand of every piece that is bent. */
export function handsOf(told: Job | null): Hand[] {
  const bent = new Set(told?.pieces.filter((one) => one.bender && one.bends.length).map((one) => one.name));
  return (told?.scene ?? [])
    .filter((body) => bent.has(body.piece))
    .map((body) => ({ piece: body.piece, asDrawn: body.as_drawn, name: body.name }));
}

const kept = new Map<string, Promise<MotionOut>>();
const MOST = 24;
let turn = 0;

function asked(told: Job, of: Hand, order: Order | null): Promise<MotionOut> {
  const name = JSON.stringify([told.name, told.sum, of.piece, of.asDrawn, order]);
  const known = kept.get(name);
  if (known) return known;
  const query = { piece: of.piece, as_drawn: of.asDrawn, ...(order ? { order } : {}) };
  const answer = got(client.GET('/api/jobs/{name}/motion', { params: { path: { name: told.name }, query } }));
  kept.set(name, answer);
  answer.catch(() => kept.delete(name));
  for (const old of kept.keys()) {
    if (kept.size <= MOST) break;
    kept.delete(old);
  }
  return answer;
}

/** Show a piece in an order; the best one where none is named. */
export async function showWork(of: Hand | null, order: Order | null = null): Promise<void> {
  const told = job.value;
  turn += 1;
  const own = turn;
  if (!told || !of) {
    motion.value = null;
    return;
  }
  try {
    const answer = await asked(told, of, order);
    if (own !== turn) return;
    const same = hand.value?.piece === of.piece && motion.value?.order === answer.order;
    batch(() => {
      hand.value = of;
      motion.value = answer;
      trouble.value = '';
      if (!same) {
        playing.value = false;
        now.value = startOf(line.value, answer.steps, 0);
      }
      now.value = Math.min(now.value, line.value.total);
    });
  } catch (error) {
    if (own !== turn) return;
    batch(() => {
      motion.value = null;
      trouble.value = error instanceof Refused ? error.message : 'Bentwork does not answer.';
    });
  }
}

/** Show what belongs to the job as it is now: the hand that was shown, or the one that is chosen, or the first. */
export function followJob(): void {
  const hands = handsOf(job.value);
  const wanted = chosen.value ?? hand.value;
  const found = hands.find((one) => one.piece === wanted?.piece && one.asDrawn === wanted.asDrawn) ?? hands[0] ?? null;
  const order = motion.value?.order === 'drawn' ? 'drawn' : null;
  void showWork(found, order);
}

export function toStep(to: number): void {
  const steps = motion.value?.steps ?? [];
  const wanted = Math.min(steps.length - 1, Math.max(0, to));
  batch(() => {
    playing.value = false;
    now.value = startOf(line.value, steps, wanted);
  });
  standBack();
}

/** Go to where a step comes closest to something. */
export function toClosest(of: number): void {
  const found = motion.value?.steps[of]?.closest;
  const time = found ? line.value.times[of]?.[found.key] : undefined;
  if (time === undefined) return;
  batch(() => {
    playing.value = false;
    now.value = time;
  });
  near = true;
  closeUp.value += 1;
}

export function togglePlay(): void {
  batch(() => {
    if (!playing.value && now.value >= line.value.total - 1e-3) now.value = 0;
    playing.value = !playing.value;
  });
  standBack();
}

/** Move on by so many seconds of the show. */
export function moveOn(seconds: number): void {
  const next = now.value + seconds;
  batch(() => {
    now.value = Math.min(line.value.total, Math.max(0, next));
    if (next >= line.value.total) playing.value = false;
  });
}

export function tryRemedy(which: number): Promise<boolean> {
  const shown = motion.value;
  if (!shown) return Promise.resolve(false);
  return tried(shown.piece, shown.as_drawn, which);
}
