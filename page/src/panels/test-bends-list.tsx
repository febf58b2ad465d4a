// The test bends of a bar on a bender. A wrong one is struck out, with a reason; it stays readable.
import { useState } from 'preact/hooks';
import type { Fault } from '../api';
import { jobName, type Known, strikeOut, type TestBend } from '../state/test-bends';

export function TestBendList({ pair, unit }: { pair: Known; unit: string }) {
  if (!pair.test_bends.length) return <p class="dim">No test bend of {pair.title} was entered yet.</p>;
  return (
    <div class="list">
      <h4>Test bends of {pair.title}</h4>
      <ul>
        {pair.test_bends.map((bend) => (
          <li key={bend.number} class={bend.struck_because === null ? '' : 'struck'}>
            <One bend={bend} unit={unit} odd={pair.doubts.find((one) => one.number === bend.number)?.says} />
          </li>
        ))}
      </ul>
    </div>
  );
}

function One({ bend, unit, odd }: { bend: TestBend; unit: string; odd: string | undefined }) {
  const [asking, setAsking] = useState(false);
  const lengths = measured(bend, unit);
  return (
    <>
      <p class="row">
        <b class="number">{bend.number}</b>
        <span>
          pulled {bend.pulled_deg}°, left {bend.left_deg}°
        </span>
        <span class="dim">{[bend.made_on, bend.batch && `batch ${bend.batch}`].filter(Boolean).join(', ')}</span>
        {bend.struck_because === null && !asking && (
          <button
            type="button"
            class="plain strike"
            aria-label={`Strike out test bend ${bend.number}`}
            onClick={() => setAsking(true)}
          >
            Strike out
          </button>
        )}
      </p>
      {lengths && <p class="dim">{lengths}</p>}
      {bend.note && <p class="dim">{bend.note}</p>}
      {bend.struck_because !== null && <p>Struck out: {bend.struck_because}</p>}
      {bend.struck_because === null && !bend.counts && <p>It does not count. {odd}</p>}
      {asking && <Strike number={bend.number} onEnd={() => setAsking(false)} />}
    </>
  );
}

function Strike({ number, onEnd }: { number: number; onEnd: () => void }) {
  const [because, setBecause] = useState('');
  const [faults, setFaults] = useState<readonly Fault[]>([]);
  const id = `strike-${number}`;
  const send = async (event: Event): Promise<void> => {
    event.preventDefault();
    const wrong = await strikeOut(jobName(), number, because);
    setFaults(wrong);
    if (wrong.length === 0) onEnd();
  };
  return (
    <form class="strike" noValidate onSubmit={(event) => void send(event)}>
      <label for={id}>What is wrong with test bend {number}?</label>
      <input
        id={id}
        type="text"
        autocomplete="off"
        ref={(input) => {
          if (input && because === '' && !faults.length) input.focus();
        }}
        value={because}
        aria-invalid={faults.length > 0}
        aria-describedby={faults.length ? `${id}-wrong` : undefined}
        onInput={(event) => setBecause(event.currentTarget.value)}
      />
      {faults.length > 0 && (
        <p class="wrong" id={`${id}-wrong`}>
          {faults.map((fault) => fault.says).join(' ')}
        </p>
      )}
      <p class="row">
        <button type="submit">Strike it out</button>
        <button type="button" class="plain" onClick={onEnd}>
          Leave it
        </button>
      </p>
      <p class="hint">It stays readable; it counts no more.</p>
    </form>
  );
}

function measured(bend: TestBend, unit: string): string {
  const told: [string, string][] = [
    ['bar', bend.bar],
    ['mark', bend.mark],
    ['held leg', bend.held_leg],
    ['free leg', bend.free_leg],
    ['start', bend.start],
  ];
  const there = told.filter(([, length]) => length !== '');
  if (!there.length) return '';
  const words = there.map(([name, length]) => `${name} ${length}`).join(', ');
  return `${words} ${unit}${bend.to_middle ? ', legs to the middle' : ''}`;
}
