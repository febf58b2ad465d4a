// Entries on their way to the log. Each is kept in this browser before anything else happens, sent in order, and taken
// off only when the server says that it has it. The same entry may arrive twice; the server keeps it once.
import { signal } from '@preact/signals';

export interface LogBody {
  entry_id: string;
  version: string;
  piece: string;
  hand: 'left' | 'right' | null;
  number: number;
  bend: number;
  held: 'A' | 'B';
  pulled_deg: number;
  angle_deg: number;
  rotation_deg: number | null;
  off: string;
  mark_mm: number | null;
  turn_deg: number | null;
  sure: boolean;
  made_on: string;
}

export interface SizeBody {
  entry_id: string;
  version: string;
  piece: string;
  hand: 'left' | 'right' | null;
  number: number;
  kind: 'leg' | 'across' | 'gap' | 'offset' | 'rock' | 'height';
  start: number | null;
  end: number | null;
  way: 'side' | 'up' | null;
  length: string;
  made_on: string;
}

export interface SureBody {
  entry_id: string;
  of: string;
  kind: 'angle' | 'rotation' | 'position' | 'size';
  value: number | null;
  piece: string;
  hand: 'left' | 'right' | null;
  number: number;
  made_on: string;
}

export interface StrikeBody {
  entry_id: string;
  piece: string;
  hand: 'left' | 'right' | null;
  number: number;
  made_on: string;
}

export type Entry =
  | { kind: 'log'; job: string; body: LogBody }
  | { kind: 'size'; job: string; body: SizeBody }
  | { kind: 'sure'; job: string; body: SureBody }
  | { kind: 'strike'; job: string; body: StrikeBody };

const KINDS: readonly string[] = ['log', 'size', 'sure', 'strike'];

export type Sent<T> =
  | { now: 'kept'; answer: T }
  | { now: 'no answer' }
  | { now: 'not let in' }
  | { now: 'refused'; says: string };

/** How things stand with what waits. */
export type Trouble = { why: 'none' } | { why: 'no answer' } | { why: 'not let in' } | { why: 'refused'; says: string };

const KEY = 'bentwork.bench.waiting.';
const FIRST_PAUSE = 1000; // ms
const LONGEST_PAUSE = 15_000;

export class Waiting<T> {
  /** Oldest first. */
  readonly entries = signal<readonly Entry[]>([]);
  readonly trouble = signal<Trouble>({ why: 'none' });
  /** False where this browser keeps nothing: then a reload loses what waits. */
  readonly isKept = signal(true);
  private readonly loose = new Map<string, string>();
  private count = 0;
  private sending = false;
  private pause = FIRST_PAUSE;
  private timer: ReturnType<typeof setTimeout> | undefined;

  constructor(
    private readonly storage: Storage,
    private readonly send: (entry: Entry) => Promise<Sent<T>>,
    private readonly kept: (answer: T) => void,
    private readonly clock: () => number = Date.now,
  ) {
    this.look();
  }

  /** Keep an entry, and send it as soon as can be. It is kept when this returns. */
  add(entry: Entry): void {
    this.count += 1;
    const name = `${KEY}${String(this.clock()).padStart(15, '0')}-${String(this.count).padStart(6, '0')}-${entry.body.entry_id}`;
    const text = JSON.stringify(entry);
    try {
      this.storage.setItem(name, text);
    } catch {
      this.loose.set(name, text);
      this.isKept.value = false;
    }
    this.look();
    void this.sendAll();
  }

  /** Send what waits, one after the other; what fails stays and is tried again later. */
  async sendAll(): Promise<void> {
    if (this.sending) return;
    this.sending = true;
    clearTimeout(this.timer);
    try {
      for (let first = this.names()[0]; first !== undefined; first = this.names()[0]) {
        if (!(await this.sendOne(first))) return;
      }
      this.trouble.value = { why: 'none' };
      this.pause = FIRST_PAUSE;
    } finally {
      this.sending = false;
      if (this.names().length) this.later();
    }
  }

  /** Give up the entry that the server refuses. */
  throwAway(): void {
    const first = this.names()[0];
    if (first === undefined || this.trouble.value.why !== 'refused') return;
    this.takeOff(first);
    this.trouble.value = { why: 'none' };
    void this.sendAll();
  }

  /** Stop trying; what waits stays kept. */
  stop(): void {
    clearTimeout(this.timer);
  }

  private async sendOne(name: string): Promise<boolean> {
    const entry = this.read(name);
    if (!entry) {
      this.takeOff(name);
      return true;
    }
    const sent = await this.send(entry).catch((): Sent<T> => ({ now: 'no answer' }));
    if (sent.now !== 'kept') {
      this.trouble.value = sent.now === 'refused' ? { why: 'refused', says: sent.says } : { why: sent.now };
      return false;
    }
    this.takeOff(name);
    this.pause = FIRST_PAUSE;
    this.kept(sent.answer);
    return true;
  }

  private later(): void {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => void this.sendAll(), this.pause);
    this.pause = Math.min(2 * this.pause, LONGEST_PAUSE);
  }

  private takeOff(name: string): void {
    this.loose.delete(name);
    try {
      this.storage.removeItem(name);
    } catch {
      // nothing was kept there either
    }
    this.look();
  }

  private look(): void {
    this.entries.value = this.names()
      .map((name) => this.read(name))
      .filter((entry) => entry !== null);
  }

  private names(): string[] {
    const found = new Set(this.loose.keys());
    try {
      for (let at = 0; at < this.storage.length; at += 1) {
        const name = this.storage.key(at);
        if (name?.startsWith(KEY)) found.add(name);
      }
    } catch {
      this.isKept.value = false;
    }
    return [...found].sort();
  }

  private read(name: string): Entry | null {
    try {
      const entry = JSON.parse(this.loose.get(name) ?? this.storage.getItem(name) ?? 'null') as Entry | null;
      return entry && KINDS.includes(entry.kind) ? entry : null;
    } catch {
      return null;
    }
  }
}

/** Return an id that no other entry has. (randomUUID is not there without encryption, as in the maker's own network.) */
export function newId(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return [...bytes].map((byte) => byte.toString(16).padStart(2, '0')).join('');
}

/** Return the maker's day, such as 2026-03-12. */
export function today(now = new Date()): string {
  const two = (part: number) => String(part).padStart(2, '0');
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}
