// What can be done with a row of a table: one more below it, up, down, out. They open below the row, as large as a thumb.
interface Tools {
  what: string;
  columns: number;
  first: boolean;
  last: boolean;
  add: () => void;
  up: () => void;
  down: () => void;
  out: (() => void) | undefined;
}

export function RowTools({ what, columns, first, last, add, up, down, out }: Tools) {
  return (
    <tr class="row-tools">
      <td colSpan={columns}>
        <span class="row">
          <button type="button" class="plain" aria-label={`Add one after ${what}`} onClick={add}>
            Add after
          </button>
          <button type="button" class="plain" aria-label={`Move ${what} up`} disabled={first} onClick={up}>
            Up
          </button>
          <button type="button" class="plain" aria-label={`Move ${what} down`} disabled={last} onClick={down}>
            Down
          </button>
          <button type="button" class="plain" aria-label={`Take out ${what}`} disabled={!out} onClick={out}>
            Take out
          </button>
        </span>
      </td>
    </tr>
  );
}

/** Opens and closes the tools of a row. */
export function RowMore({ what, open, turn }: { what: string; open: boolean; turn: () => void }) {
  return (
    <button
      type="button"
      class="plain row-more"
      aria-label={`Change the row of ${what}`}
      aria-expanded={open}
      onClick={turn}
    >
      ⋯
    </button>
  );
}
