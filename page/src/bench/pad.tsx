// Large keys: for a phone, pressed with gloves on, or the keys of a keyboard.
import type { Key } from './keys';

const KEYS: Record<'mm' | 'in', readonly Key[]> = {
  mm: ['7', '8', '9', '⌫', '4', '5', '6', '±', '1', '2', '3', '.', '0'],
  in: ['7', '8', '9', '⌫', '4', '5', '6', '±', '1', '2', '3', '/', '0', '.', ' '],
};
const SAID: Partial<Record<Key, string>> = {
  '⌫': 'Delete',
  '±': 'Other sign',
  '/': 'Over',
  ' ': 'Space',
  '.': 'Point',
};
const TYPED: Record<string, string> = { Backspace: '⌫', '-': '±', ',': '.' };

interface Pad {
  units: 'mm' | 'in';
  isOfUse: (key: Key) => boolean;
  press: (key: Key) => void;
}

interface Typing extends Pad {
  /** Enter and Escape, where no key of the screen is meant by them. */
  keep: () => void;
  back: () => void;
}

export function Pad({ units, isOfUse, press }: Pad) {
  return (
    <fieldset class="bench-pad" aria-label="Keys">
      {KEYS[units].map((key) => (
        <button
          key={key}
          type="button"
          class={`bench-key plain${key === '0' && units === 'mm' ? ' row-wide' : key === ' ' ? ' wide' : ''}`}
          disabled={!isOfUse(key)}
          aria-label={SAID[key]}
          onClick={() => press(key)}
        >
          {key === ' ' ? 'space' : key}
        </button>
      ))}
    </fieldset>
  );
}

/** The ref of the screen that keys belong to: what is typed arrives there from the beginning, and it is read out.
 *  Before it is painted: a digit typed while the old screen still shows would be lost, and the rest be a number. */
export function takesKeys(screen: HTMLElement | null): void {
  screen?.focus();
}

/** Take the key of a keyboard as one of the pad's. */
export function typed(event: KeyboardEvent, { units, isOfUse, press, keep, back }: Typing): void {
  const onKey = event.target instanceof HTMLButtonElement;
  if (event.key === 'Escape') back();
  else if (event.key === 'Enter' && !onKey && !event.repeat) keep();
  const key = (TYPED[event.key] ?? event.key) as Key;
  if (!KEYS[units].includes(key) || !isOfUse(key)) return;
  if (onKey && event.key === ' ') return;
  press(key);
  event.preventDefault();
}
