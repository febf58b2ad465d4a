// A file that is being taken off: sent, read with a share that grows, then there to choose from.
import { signal } from '@preact/signals';
import { client, type Fault, got, Refused, type TakeOff } from '../api';

const LOOK_EVERY = 300; // ms
const AFTER_TYPING = 500;

/** A file that was let fall on the page and that no take-off has taken yet; and whether one is held over it. */
export const dropped = signal<File | null>(null);
export const held = signal(false);

export const taking = signal<TakeOff | null>(null);
export const wrong = signal<readonly Fault[]>([]);
/** Which solids are taken. */
export const picked = signal<ReadonlySet<number>>(new Set());
/** What the job is to be called, and what its bars are made of: no model tells that, so nothing is guessed. */
export const named = signal('');
export const material = signal('');
/** Equal bars that are turned are to be pieces of their own, so that each has its place in the frame. */
export const placed = signal(false);
/** Share of the file that has been sent, while it is; null when it is not. */
export const sending = signal<number | null>(null);

let upload: XMLHttpRequest | null = null;
let turn = 0;

export async function takeOff(file: File, units: 'mm' | 'in', radius: string): Promise<void> {
  if (file !== last) {
    named.value = file.name.replace(/\.[^.]*$/, '');
    material.value = '';
    placed.value = false;
  }
  stopTaking();
  last = file;
  turn += 1;
  const own = turn;
  wrong.value = [];
  try {
    const { id } = await posted(file, units, radius);
    for (;;) {
      const found = await got(client.GET('/api/takeoff/{id}', { params: { path: { id }, query: { units } } }));
      if (own !== turn) return;
      taking.value = found;
      if (found.state !== 'reading') {
        wrong.value = found.errors;
        picked.value = new Set(found.solids.filter((one) => one.kind !== 'other').map((one) => one.index));
        return;
      }
      await new Promise((done) => setTimeout(done, LOOK_EVERY));
      if (own !== turn) return;
    }
  } catch (error) {
    if (own !== turn) return;
    taking.value = null;
    wrong.value =
      error instanceof Refused ? error.faults : [{ says: 'Bentwork does not answer. Is it still running?' }];
  } finally {
    if (own === turn) sending.value = null;
  }
}

let last: File | null = null;
let soon: ReturnType<typeof setTimeout> | undefined;

/** Read the same file once more, with another radius or other units, as soon as the maker stops typing. */
export function takeOffAgain(units: 'mm' | 'in', radius: string): void {
  clearTimeout(soon);
  if (!last) return;
  const file = last;
  soon = setTimeout(() => void takeOff(file, units, radius), AFTER_TYPING);
}

/** Stop sending or reading, and forget what was found. */
export function stopTaking(): void {
  turn += 1;
  clearTimeout(soon);
  last = null;
  upload?.abort();
  upload = null;
  const id = taking.value?.id;
  if (id) void client.DELETE('/api/takeoff/{id}', { params: { path: { id } } });
  taking.value = null;
  sending.value = null;
  wrong.value = [];
}

export function pick(index: number, on: boolean): void {
  const now = new Set(picked.value);
  if (on) now.add(index);
  else now.delete(index);
  picked.value = now;
}

/** Send a file as it is; only this way of asking tells how much has gone. */
function posted(file: File, units: string, radius: string): Promise<{ id: string }> {
  return new Promise((done, fail) => {
    const request = new XMLHttpRequest();
    upload = request;
    sending.value = 0;
    const query = new URLSearchParams({ file: file.name, units, radius });
    request.open('POST', `/api/takeoff?${query}`);
    request.setRequestHeader('content-type', 'application/octet-stream');
    request.responseType = 'json';
    request.upload.onprogress = (event) => {
      if (event.lengthComputable) sending.value = event.loaded / event.total;
    };
    request.onload = () => {
      sending.value = null;
      if (request.status === 200) done(request.response);
      else
        fail(
          new Refused(request.status, request.response?.errors ?? [{ says: `The server answered ${request.status}.` }]),
        );
    };
    request.onerror = () => fail(new Error('not reachable'));
    request.send(file);
  });
}
