// What is seldom wanted: light or dark, other bars, what waits; and the question before an entry is taken back.
import type { BenchOut } from '../api';
import { theme, turnTheme } from '../state/theme';
import { screen } from './awake';
import { last, made, takeBack, waiting } from './bar';

interface More {
  now: BenchOut;
  close: () => void;
  ghost: () => void;
  sizes: () => void;
}

export function MoreScreen({ now, close, ghost, sizes }: More) {
  const trouble = waiting.trouble.value;
  const said = now.findings.filter((finding) => finding.level !== 'stop').slice(0, 2);
  return (
    <section class="bench-more" aria-label="More">
      <div class="bench-more-text">
        {said.map((finding, index) => (
          <p key={index}>
            <b>{finding.says}</b> {finding.why}
          </p>
        ))}
        {now.hand_says.length > 0 && (
          <p>
            <b>Your hand</b>, by other bars: {now.hand_says.join('; ')}.
          </p>
        )}
        {trouble.why === 'refused' && <p class="trouble">An entry was refused, and is kept here: {trouble.says}</p>}
        {trouble.why === 'not let in' && (
          <p class="trouble">This device is no longer paired. Scan a new code; what waits is sent then.</p>
        )}
        <p>
          {screen.value === 'lit'
            ? 'This screen stays on.'
            : 'This screen may go dark: over this connection no page can keep it on. Let it stay on longer in its settings.'}
        </p>
        <p>
          Without connection the steps stay, and entries wait in this browser. Do not reload the page then: it comes
          from the computer. What waits is kept even so{waiting.isKept.value ? '' : ', but not by this browser'}.
        </p>
      </div>
      <div class="bench-more-keys">
        {trouble.why === 'refused' && (
          <button type="button" class="bench-key plain" onClick={() => waiting.throwAway()}>
            Throw that entry away
          </button>
        )}
        {made.value.size > 0 && (
          <button type="button" class="bench-key plain" onClick={ghost}>
            Over the drawing
          </button>
        )}
        {made.value.size > 0 && (
          <button type="button" class="bench-key plain" onClick={sizes}>
            Log a size
          </button>
        )}
        <a class="bench-key button plain" href={`/bench/${encodeURIComponent(now.name)}`}>
          Other bars
        </a>
        <button type="button" class="bench-key plain" onClick={turnTheme}>
          {theme.value === 'plate' ? 'Light, for outdoors' : 'Dark, for indoors'}
        </button>
        <button type="button" class="bench-key go" onClick={close}>
          Back to the step
        </button>
      </div>
    </section>
  );
}

export function TakeBackScreen({ close }: { close: () => void }) {
  const gone = last.value;
  return (
    <section class="bench-question" aria-label="Take the last entry back?">
      <h2>{gone ? `Take back ${gone.says}?` : 'There is nothing to take back.'}</h2>
      <p>It is struck out, and stays readable in the log. The bar stays as it is bent.</p>
      <div class="bench-answers">
        {gone && (
          <button
            type="button"
            class="bench-key go"
            onClick={() => {
              takeBack();
              close();
            }}
          >
            Take it back
          </button>
        )}
        <button type="button" class="bench-key plain" onClick={close}>
          No, it counts
        </button>
      </div>
    </section>
  );
}
