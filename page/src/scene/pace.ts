// How fine a picture is drawn while something moves: as fine as at rest, or coarser where the machine cannot keep up.

/** Picture points for one point of the screen, while something moves; the first is drawn as at rest, edges smoothed. */
export const SHARES = [1, 1, 0.7, 0.5, 0.35] as const;

const SLOW = 22; // ms from one picture to the next: one of sixty in a second was left out
const AWAY = 2000; // ms: nobody was looking
const LOOKS = 6; // pictures that are looked back at
const MOST_SLOW = 3; // of these
const HOPE = 10_000; // ms after which a finer picture is tried again

/** Watches how long pictures take, one after the other, and tells how coarse the next should be. */
export class Pace {
  private level = 0;
  private slow: boolean[] = [];
  private since = 0;

  /** How coarse the next picture should be, of the shares; null for as fine as at rest. */
  get share(): number | null {
    return this.level === 0 ? null : (SHARES[this.level] ?? null);
  }

  /** Something begins to move, at this time, ms. */
  begin(now: number): void {
    this.slow = [];
    if (this.level > 0 && now - this.since > HOPE) this.to(this.level - 1, now);
  }

  /** From a picture until the next could be drawn it took so long, ms. */
  drew(took: number, now: number): void {
    if (took > AWAY) return;
    this.slow = [...this.slow, took > SLOW].slice(-LOOKS);
    if (this.slow.filter(Boolean).length >= MOST_SLOW && this.level < SHARES.length - 1) this.to(this.level + 1, now);
  }

  private to(level: number, now: number): void {
    this.level = level;
    this.since = now;
    this.slow = [];
  }
}
