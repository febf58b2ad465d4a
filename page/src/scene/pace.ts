// How fine a picture is drawn while something moves: as fine as at rest, or plainer where the machine cannot keep up.

/** As at rest; with plain light and edges that are not smoothed; and so with a single point for one of the page. */
export const LEVELS = ['fine', 'plain', 'coarse'] as const;

const SLOW = 22; // ms from one picture to the next: one of sixty in a second was left out
const AWAY = 2000; // ms: nobody was looking
const LOOKS = 6; // pictures that are looked back at
const MOST_SLOW = 3; // of these
const HOPE = 10_000; // ms after which a finer picture is tried again; every time twice as long

/** Watches how long pictures take, one after the other, and tells how fine the next should be. */
export class Pace {
  private level = 0;
  private slow: boolean[] = [];
  private since = 0;
  private hope = HOPE;

  /** How fine the next picture should be. */
  get now(): (typeof LEVELS)[number] {
    return LEVELS[this.level] ?? 'fine';
  }

  /** Something begins to move, at this time, ms. */
  begin(now: number): void {
    this.slow = [];
    if (this.level === 0 || now - this.since <= this.hope) return;
    this.hope *= 2;
    this.to(this.level - 1, now);
  }

  /** From a picture until the next could be drawn it took so long, ms. */
  drew(took: number, now: number): void {
    if (took > AWAY) return;
    this.slow = [...this.slow, took > SLOW].slice(-LOOKS);
    if (this.slow.filter(Boolean).length >= MOST_SLOW && this.level < LEVELS.length - 1) this.to(this.level + 1, now);
  }

  private to(level: number, now: number): void {
    this.level = level;
    this.since = now;
    this.slow = [];
  }
}
