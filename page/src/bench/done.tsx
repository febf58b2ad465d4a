// Every bend is made: what came out, and what is next.
import { useEffect } from 'preact/hooks';
import type { BenchOut } from '../api';
import { client, got } from '../api';
import { bars, last, looked, made } from './bar';
import { hrefOf } from './bars';
import { OutlookLine } from './outlook';

interface Done {
  now: BenchOut;
  takeBack: () => void;
  ghost: () => void;
  sizes: () => void;
}

export function DoneScreen({ now, takeBack, ghost, sizes }: Done) {
  useEffect(() => {
    got(client.GET('/api/bench/{name}/bars', { params: { path: { name: now.name } } }))
      .then((found) => {
        bars.value = found;
      })
      .catch(() => undefined); // without a connection the other bars wait too
  }, [now.name, made.value.size]);
  const drawn = new Map(now.cards.map((card) => [card.bend, card.leaves.replace('leaves ', '')]));
  const order = [...made.value].sort(([a], [b]) => a - b);
  const other =
    bars.value?.name === now.name ? bars.value.bars.find((bar) => !bar.finished && !isThis(bar, now)) : null;
  return (
    <>
      <section class="bench-done" aria-label="Done">
        <div>
          <h2>Every bend is made.</h2>
          <OutlookLine now={now} />
          {now.findings.some((finding) => finding.code === 'measure-first') && (
            <p class="bench-small">Too little was measured to tell how it lies: measure what is asked.</p>
          )}
        </div>
        <div class="bench-tables">
          {halves(order).map((half) => (
            <Got key={half[0]?.[0]} rows={half} drawn={drawn} />
          ))}
        </div>
      </section>
      <div class="bench-go">
        <button
          type="button"
          class={`bench-key go${now.measures.some((one) => one.tells) ? '' : ' plain'}`}
          onClick={sizes}
        >
          Measure it
        </button>
        {other ? (
          <a class="bench-key button go" href={hrefOf(now.name, other)}>
            Next: {other.says}
          </a>
        ) : (
          <a class="bench-key button go" href={`/bench/${encodeURIComponent(now.name)}`}>
            All bars
          </a>
        )}
      </div>
      <nav class="bench-keys" aria-label="Steps">
        <button type="button" class="bench-key plain" disabled={!last.value} onClick={takeBack}>
          Undo
        </button>
        <button type="button" class="bench-key plain" onClick={ghost}>
          Over the drawing
        </button>
        <button type="button" class="bench-key plain" onClick={() => (looked.value = now.cards.length - 1)}>
          Look back
        </button>
      </nav>
    </>
  );
}

type Made = [number, { angle: string; waits: boolean }];

/** Many bends stand in two columns, so that nothing scrolls. */
function halves(rows: readonly Made[]): (readonly Made[])[] {
  const half = Math.ceil(rows.length / 2);
  return rows.length > 8 ? [rows.slice(0, half), rows.slice(half)] : [rows];
}

function Got({ rows, drawn }: { rows: readonly Made[]; drawn: ReadonlyMap<number, string> }) {
  return (
    <table>
      <thead>
        <tr>
          <th scope="col">Bend</th>
          <th scope="col">Drawn</th>
          <th scope="col">You got</th>
        </tr>
      </thead>
      <tbody>
        {rows.map(([bend, one]) => (
          <tr key={bend}>
            <th scope="row">{bend}</th>
            <td>{drawn.get(bend)}</td>
            <td>
              <b>{one.angle}</b> {one.waits ? <span class="dim">waits</span> : ''}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function isThis(bar: { piece: string; hand: string | null; number: number }, now: BenchOut): boolean {
  return bar.piece === now.piece && bar.hand === now.hand && bar.number === now.number;
}
