// What else is measured on a bar: gap and offset at the ends, across, legs, rock, heights over a table. What tells most
// stands first.
import { useState } from 'preact/hooks';
import '../look/bench-sizes.css';
import type { BenchOut, MeasureOut } from '../api';
import { logSize } from './bar';
import { distance, type Key, pressed } from './keys';
import { Pad, takesKeys, typed } from './pad';
import { useTurns } from './turns';

const LOW = 740; // pixels: a lower screen has no room for five keys

export function SizesScreen({ now, close }: { now: BenchOut; close: () => void }) {
  const [chosen, setChosen] = useState<MeasureOut | null>(null);
  const { shown, more } = useTurns(now.measures, innerHeight < LOW ? 3 : 5);
  if (chosen) return <SizeScreen now={now} one={chosen} close={() => setChosen(null)} />;
  const telling = now.measures.some((one) => one.tells);
  return (
    <section class="bench-question bench-sizes" aria-label="What to measure">
      <h2>{telling ? 'Measure what tells most' : 'What did you measure?'}</h2>
      <div class="bench-size-list">
        {shown.map((one) => (
          <button
            key={one.says}
            type="button"
            class={`bench-key ${one.tells ? 'go' : 'plain'}`}
            onClick={() => setChosen(one)}
          >
            {one.says}
            <small>{one.hint}</small>
          </button>
        ))}
        {!now.measures.length && (
          <p>
            {now.reckoning
              ? 'Kept. Reckoning what else would tell …'
              : 'Log a bend first: then legs, distances across, rock and heights over a table can be measured.'}
          </p>
        )}
        {now.sizes.length > 0 && <p class="bench-small dim">{inLog(now.sizes)}</p>}
      </div>
      <div class="bench-answers">
        {more}
        <button type="button" class="bench-key plain" onClick={close}>
          Back
        </button>
      </div>
    </section>
  );
}

function inLog(sizes: readonly string[]): string {
  const before = sizes.length > 1 ? `, and ${sizes.length - 1} before` : '';
  return `In the log: ${sizes.at(-1)}${before}.`;
}

function SizeScreen({ now, one, close }: { now: BenchOut; one: MeasureOut; close: () => void }) {
  const [text, setText] = useState('');
  const isSigned = one.kind === 'gap' || one.kind === 'offset' || one.kind === 'height';
  const pad = {
    units: now.units,
    isOfUse: (key: Key) => key !== '±' || isSigned,
    press: (key: Key) => setText((so) => pressed(so, key)),
  };
  const ready = distance(text) !== null;
  const keep = () => {
    logSize(one, text);
    close();
  };
  return (
    <section
      ref={takesKeys}
      tabIndex={-1}
      class="bench-measure"
      aria-label={one.says}
      onKeyDown={(event) => typed(event, { ...pad, keep: () => ready && keep(), back: close })}
    >
      <p class="bench-measure-head">
        <b>{`${one.says.slice(0, 1).toUpperCase()}${one.says.slice(1)}`}</b>
      </p>
      <output class="bench-reading" aria-live="polite" aria-label={one.says}>
        <b class={text.length > 5 ? 'long' : ''}>{text || '–'}</b>
        <span class="bench-beside">
          <span>{now.units}</span>
          <span class="dim">{one.hint}</span>
        </span>
      </output>
      <p class="bench-small dim">{one.how}</p>
      <Pad {...pad} />
      <div class="bench-measure-end">
        <button type="button" class="bench-key plain" onClick={close}>
          Back
        </button>
        <button type="button" class="bench-key go" disabled={!ready} onClick={keep}>
          Keep
        </button>
      </div>
    </section>
  );
}
