// A button that has the camera go to a place of the frame.
import { pointAt } from '../state/carry';

export function ShowPlace({ at, says, numbered = 0 }: { at: readonly number[]; says: string; numbered?: number }) {
  return (
    <button
      type="button"
      class="plain"
      aria-label={`Show me where: ${says}`}
      onClick={() => pointAt({ at, says, heat: null })}
    >
      Show me{numbered ? ` ${numbered}` : ''}
    </button>
  );
}
