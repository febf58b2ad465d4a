// What would help most for the fewest grams: bigger sections, and bars that could be added.
import * as carry from '../state/carry';

export function CarryHelps() {
  const found = carry.helps.value;
  return (
    <section aria-label="What would help">
      <h3>What would help most for the fewest grams</h3>
      {carry.helpsTrouble.value ? (
        <p class="trouble" role="alert">
          {carry.helpsTrouble.value}
        </p>
      ) : found ? (
        <Found found={found} />
      ) : (
        <p role="status">Trying bigger sections and braces …</p>
      )}
    </section>
  );
}

function Found({ found }: { found: carry.HelpsOut }) {
  if (!found.helps.length) return <p>Nothing that was tried: the next bigger sections, and braces between its bars.</p>;
  return (
    <>
      <ol class="helps">
        {found.helps.map((one) => (
          <One key={one.says} one={one} />
        ))}
      </ol>
      {found.caution && <p class="dim">{found.caution}</p>}
    </>
  );
}

function One({ one }: { one: carry.HelpOut }) {
  const at = one.lines_mm[0]?.[0];
  return (
    <li>
      <b>{one.says}</b>
      <span class="dim"> then {one.first} gives first</span>
      {one.where.length > 0 && <p class="dim">{one.where.join('; ')}.</p>}
      {at && (
        <p class="row">
          <button
            type="button"
            class="plain"
            aria-label={`Show me where: ${one.says}`}
            onClick={() =>
              carry.pointAt({ at, says: one.says.split(': ').at(-1) ?? '', heat: null, lines: one.lines_mm })
            }
          >
            Show me
          </button>
          {one.changes.length > 0 && (
            <button
              type="button"
              class="plain"
              aria-label={`Add it to the job: ${one.says}`}
              onClick={() => void carry.take(one.changes)}
            >
              Add it to the job
            </button>
          )}
        </p>
      )}
    </li>
  );
}
