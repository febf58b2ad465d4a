// Which bar is bent now?
import type { BarsOut } from '../api';
import { written } from '../state/address';
import { bars, says } from './bar';
import { useTurns } from './turns';

/** On the computer itself; a paired phone may see the bench only. */
const atDesk = ['127.0.0.1', 'localhost', '[::1]'].includes(location.hostname);

export function BarsScreen({ job }: { job: string }) {
  const now = bars.value?.name === job ? bars.value : null;
  const { shown, more } = useTurns(now?.bars ?? [], roomFor());
  return (
    <main class="bench">
      <header class="bench-top">
        <h1>{now?.title ?? job}</h1>
        {atDesk && <a href={`/job/${encodeURIComponent(job)}`}>Back to the job</a>}
      </header>
      <h2 class="bench-ask">Which bar do you bend?</h2>
      {now ? (
        <ul class="bench-bar-list">
          {shown.map((bar) => (
            <li key={bar.says}>
              <a class={`bench-key button ${bar.finished ? 'plain' : ''}`} href={hrefOf(job, bar)}>
                <b>{bar.says}</b>
                <span>{told(bar)}</span>
              </a>
            </li>
          ))}
        </ul>
      ) : (
        <p class="bench-says" role="status">
          {says.value || 'Reading …'}
        </p>
      )}
      {more && <div class="bench-answers">{more}</div>}
      {now?.bars.length === 0 && <p class="bench-says">No piece of this job is bent.</p>}
    </main>
  );
}

/** How many bars stand on the screen: rows of 80 pixels below the head, columns of 300. */
function roomFor(): number {
  return Math.max(1, Math.floor((innerHeight - 220) / 80)) * Math.max(1, Math.floor(innerWidth / 310));
}

type Row = BarsOut['bars'][number];

export function hrefOf(job: string, bar: Pick<Row, 'piece' | 'hand' | 'number'>): string {
  return written({ at: 'bench', job, piece: bar.piece, hand: bar.hand, number: bar.number });
}

function told(bar: Row): string {
  if (bar.finished) return 'done';
  return bar.made ? `${bar.made} of ${bar.bends} bends made` : `${bar.bends} ${bar.bends === 1 ? 'bend' : 'bends'}`;
}
