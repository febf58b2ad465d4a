// Keeps the screen lit while somebody bends, where the browser lets a page do that.
import { signal } from '@preact/signals';

/** ``lit``: kept on. ``may sleep``: browsers let no page do this over a connection without encryption. */
export const screen = signal<'lit' | 'may sleep'>('may sleep');

interface Lock {
  release(): Promise<void>;
  addEventListener(name: 'release', listener: () => void): void;
}

/** Keep the screen lit until the returned function is called. */
export function stayAwake(): () => void {
  const wakeLock = (navigator as { wakeLock?: { request(kind: 'screen'): Promise<Lock> } }).wakeLock;
  let lock: Lock | null = null;
  let over = false;
  const ask = async () => {
    if (!wakeLock || over || lock || document.visibilityState !== 'visible') return;
    try {
      lock = await wakeLock.request('screen');
      screen.value = 'lit';
      lock.addEventListener('release', () => {
        lock = null;
        screen.value = 'may sleep';
      });
    } catch {
      screen.value = 'may sleep';
    }
  };
  void ask();
  document.addEventListener('visibilitychange', ask); // the lock is lost whenever the page is hidden
  return () => {
    over = true;
    document.removeEventListener('visibilitychange', ask);
    void lock?.release();
  };
}
