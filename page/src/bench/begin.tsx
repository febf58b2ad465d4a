// Before the first pull: which bar, what can hurt, what this screen can and cannot do. Or why there is no first pull.
import type { BenchOut } from '../api';
import { screen } from './awake';
import { last } from './bar';

interface Begin {
  now: BenchOut;
  begin: () => void;
  more: () => void;
  takeBack: () => void;
}

export function BeginScreen({ now, begin, more, takeBack }: Begin) {
  const stops = now.findings.filter((finding) => finding.level === 'stop');
  return (
    <>
      <section class="bench-begin" aria-label="Before you begin">
        <p class="bench-begin-bar">
          <b>{now.bar}</b>
        </p>
        {now.stopped ? (
          <>
            <p class="bench-begin-stop">
              {now.made.length ? 'Stop. It cannot be finished like this.' : 'Stop. It cannot be bent like this.'}
            </p>
            <ul>
              {stops.slice(0, 2).map((finding, index) => (
                <li key={index}>
                  {finding.says} {finding.do}
                </li>
              ))}
              {stops.length > 2 && <li>And {stops.length - 2} more: see the findings of the job.</li>}
            </ul>
          </>
        ) : (
          <ul>
            {now.cautions.map((caution) => (
              <li key={caution}>{caution}</li>
            ))}
            {screen.value === 'may sleep' && (
              <li>This screen may go dark: let yours stay on longer in its settings. Nothing is lost by it.</li>
            )}
          </ul>
        )}
      </section>
      <div class="bench-go">
        <button type="button" class="bench-key plain" onClick={more}>
          More
        </button>
        {last.value && (
          <button type="button" class="bench-key plain" onClick={takeBack}>
            Undo
          </button>
        )}
        {!now.stopped && (
          <button type="button" class="bench-key go" onClick={begin}>
            Begin: {now.bends} {now.bends === 1 ? 'bend' : 'bends'}
          </button>
        )}
      </div>
    </>
  );
}
