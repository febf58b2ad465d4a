// Joints found where bars touch: each is looked at, and said in the file how it is made.
import { useState } from 'preact/hooks';
import * as carry from '../state/carry';
import { MADE } from './carry-said';

export function CarryJoints({ joints }: { joints: readonly carry.JointsOut[] }) {
  if (!joints.length) return null;
  const open = joints.filter((one) => !one.confirmed).length;
  return (
    <section aria-label="Joints">
      <h3>Joints{open > 0 && <span class="dim">, {open} to confirm</span>}</h3>
      <ul class="joints">
        {joints.map((one) => (
          <Joint key={`${one.says} ${one.made} ${one.confirmed}`} joint={one} />
        ))}
      </ul>
      {open > 0 && <p class="dim">Bars that touch are taken for welded until you say. Undo brings the file back.</p>}
    </section>
  );
}

function Joint({ joint }: { joint: carry.JointsOut }) {
  const [made, setMade] = useState<string>(joint.made);
  const first = joint.places_mm[0];
  return (
    <li class={joint.confirmed ? 'joint' : 'joint open'}>
      <span class="joint-says">
        <b>{joint.says}</b>
        <span class="dim">{joint.gap}</span>
      </span>
      {joint.confirmed ? (
        <span>{joint.made}, says the job</span>
      ) : (
        <>
          <label>
            <span class="hidden">How {joint.says} are joined</span>
            <select value={made} onChange={(event) => setMade(event.currentTarget.value)}>
              {Object.entries(MADE).map(([value, words]) => (
                <option key={value} value={value}>
                  {words}
                </option>
              ))}
            </select>
          </label>
          <button
            type="button"
            aria-label={`Confirm: ${joint.says}`}
            onClick={() => void carry.take(joint.changes[made] ?? [])}
          >
            Confirm
          </button>
        </>
      )}
      {first && (
        <button
          type="button"
          class="plain"
          aria-label={`Show me the joint of ${joint.says}`}
          onClick={() => {
            carry.pointAt({ at: first, says: joint.says, heat: null });
          }}
        >
          Show me
        </button>
      )}
    </li>
  );
}
