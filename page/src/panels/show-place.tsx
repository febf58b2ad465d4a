// A button that has the camera go to a place of the frame.
import { pointAt } from '../state/carry';

/** `numbered`: which of several such buttons it is; 0 where it is the only one. */
export function ShowPlace({ at, says, numbered = 0 }: { at: readonly number[]; says: string; numbered?: number }) {
  const shown = numbered ? `Show me ${numbered}` : 'Show me';
  return (
    <button
      type="button"
      class="plain"
      aria-label={`${shown}${numbered ? '' : ' where'}: ${says}`}
      onClick={() => pointAt({ at, says, heat: null })}
    >
      {shown}
    </button>
  );
}
