// A corner point that is not in the file yet: it begins where the one before it stands, and is sent when it is somewhere.
import { useLayoutEffect, useRef, useState } from 'preact/hooks';
import type { Change, Fault } from '../api';
import { tried } from '../state/edits';
import { typedValue } from '../state/typed';

const AXES = ['x', 'y', 'z'] as const;

interface NewPointProps {
  like: readonly unknown[];
  put: (point: readonly unknown[]) => readonly Change[];
  done: () => void;
}

export function NewPoint({ like, put, done }: NewPointProps) {
  const [typed, setTyped] = useState<readonly string[]>(() => [0, 1, 2].map((axis) => String(like[axis] ?? 0)));
  const [faults, setFaults] = useState<readonly Fault[]>([]);
  const first = useRef<HTMLInputElement>(null);
  useLayoutEffect(() => first.current?.select(), []); // before the paint: no key is lost
  const isAt = (fault: Fault, k: number) => Boolean(fault.key?.endsWith(`][${k + 1}]`));
  const send = async (): Promise<void> => {
    const found = await tried(put(typed.map(typedValue)));
    if (found.length) setFaults(found);
    else done();
  };
  return (
    <>
      <tr class="new-point">
        <th scope="row">new</th>
        {AXES.map((axis, k) => (
          <td key={axis}>
            <input
              ref={k === 0 ? first : null}
              class="number"
              aria-label={`New point, ${axis}`}
              aria-invalid={faults.some((fault) => isAt(fault, k) || !AXES.some((_, n) => isAt(fault, n)))}
              value={typed[k]}
              autocomplete="off"
              onInput={(event) => setTyped(typed.map((text, n) => (n === k ? event.currentTarget.value : text)))}
              onKeyDown={(event) => {
                if (event.key === 'Enter') void send();
                else if (event.key === 'Escape') done();
              }}
            />
          </td>
        ))}
        <td colSpan={2} />
      </tr>
      <tr class="row-tools">
        <td colSpan={6}>
          {faults.map((fault) => (
            <span class="wrong" key={fault.says}>
              {AXES.filter((_, k) => isAt(fault, k)).map((axis) => `${axis}: `)}
              {fault.do || `wanted ${fault.wanted}.`}
            </span>
          ))}
          <span class="row">
            <button type="button" onClick={() => void send()}>
              Put it in
            </button>
            <button type="button" class="plain" onClick={done}>
              Leave it
            </button>
          </span>
        </td>
      </tr>
    </>
  );
}
