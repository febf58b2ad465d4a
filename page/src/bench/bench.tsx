// The page at the bender: for a phone or a tablet, read from two metres, pressed with gloves on.
import { useEffect, useState } from 'preact/hooks';
import '../look/bench.css';
import '../look/bench-step.css';
import '../look/bench-measure.css';
import '../look/bench-screens.css';
import '../look/bench-on-its-side.css';
import type { Card } from '../api';
import { stayAwake } from './awake';
import {
  type BenchAddress,
  bench,
  connected,
  finished,
  last,
  lookAgain,
  looked,
  made,
  says,
  show,
  shown,
  waiting,
} from './bar';
import { BarsScreen } from './bars';
import { BeginScreen } from './begin';
import { DoneScreen } from './done';
import { DoubtScreen, inDoubt } from './doubt';
import { MeasureScreen } from './measure';
import { MoreScreen, TakeBackScreen } from './more';
import { GhostScreen, isToSet, OutlookLine, SetScreen } from './outlook';
import { SizesScreen } from './sizes';
import { StepScreen } from './step';

const LOOK_EVERY = 5000; // ms

type Screen =
  | { is: 'step' }
  | { is: 'measure'; card: Card }
  | { is: 'more' }
  | { is: 'ghost' }
  | { is: 'sizes' }
  | { is: 'take back' };

export function Bench({ at }: { at: BenchAddress }) {
  const [screen, setScreen] = useState<Screen>({ is: 'step' });
  const [begun, setBegun] = useState('');
  const bar = `${at.piece}/${at.hand}/${at.number}`;
  useEffect(() => {
    void show(at);
    setScreen({ is: 'step' });
    const timer = setInterval(() => {
      if (document.visibilityState === 'visible') void lookAgain();
    }, LOOK_EVERY);
    const wake = () => void lookAgain();
    addEventListener('online', wake);
    document.addEventListener('visibilitychange', wake);
    return () => {
      clearInterval(timer);
      removeEventListener('online', wake);
      document.removeEventListener('visibilitychange', wake);
    };
  }, [at.job, bar]);
  useEffect(stayAwake, []);
  const now = bench.value;
  useEffect(() => {
    document.title = `${now?.says ?? at.job} at the bench · Bentwork`;
  }, [now?.says, at.job]);
  const step = () => setScreen({ is: 'step' });
  const sizes = () => setScreen({ is: 'sizes' });
  const ghost = () => setScreen({ is: 'ghost' });
  const measure = (card: Card) => setScreen({ is: 'measure', card });
  if (!at.piece) return <BarsScreen job={at.job} />;
  if (!now)
    return (
      <main class="bench">
        <p class="bench-says" role="status">
          {says.value || 'Reading …'}
        </p>
      </main>
    );
  const doubt = inDoubt(now);
  const fresh = made.value.size === 0 && begun !== bar && !now.stopped;
  return (
    <main class="bench">
      <header class="bench-top">
        <h1>{now.says}</h1>
        <Where />
        <Waits />
        {screen.is === 'step' && !isToSet(now) && !finished.value && <OutlookLine now={now} />}
      </header>
      {screen.is === 'measure' ? (
        <MeasureScreen now={now} card={screen.card} close={step} />
      ) : screen.is === 'more' ? (
        <MoreScreen now={now} close={step} ghost={ghost} sizes={sizes} />
      ) : screen.is === 'sizes' && !doubt ? (
        <SizesScreen now={now} close={step} />
      ) : screen.is === 'ghost' ? (
        <GhostScreen now={now} close={step} />
      ) : screen.is === 'take back' ? (
        <TakeBackScreen close={step} />
      ) : fresh || now.stopped ? (
        <BeginScreen
          now={now}
          begin={() => setBegun(bar)}
          more={() => setScreen({ is: 'more' })}
          takeBack={() => setScreen({ is: 'take back' })}
        />
      ) : now.reckoning && connected.value && !waiting.entries.value.length ? (
        <p class="bench-says" role="status">
          Kept. Reckoning the best way on …
        </p>
      ) : doubt ? (
        <DoubtScreen now={now} doubt={doubt} measure={measure} />
      ) : isToSet(now) ? (
        <SetScreen now={now} measure={measure} sizes={sizes} />
      ) : finished.value && looked.value === null ? (
        <DoneScreen now={now} takeBack={() => setScreen({ is: 'take back' })} ghost={ghost} sizes={sizes} />
      ) : (
        <>
          <StepScreen now={now} measure={measure} />
          <nav class="bench-keys" aria-label="Steps">
            <Look by={-1} name="Step before" sign="◀" />
            <button
              type="button"
              class="bench-key plain"
              disabled={!last.value}
              onClick={() => setScreen({ is: 'take back' })}
            >
              Undo
            </button>
            <button type="button" class="bench-key plain" onClick={() => setScreen({ is: 'more' })}>
              More
            </button>
            <Look by={1} name="Step after" sign="▶" />
          </nav>
        </>
      )}
    </main>
  );
}

/** Looks at the step before or after; nothing is logged by looking. */
function Look({ by, name, sign }: { by: number; name: string; sign: string }) {
  const to = shown.value + by;
  const there = to >= 0 && to < (bench.value?.cards.length ?? 0);
  return (
    <button
      type="button"
      class="bench-key plain"
      aria-label={name}
      disabled={!there}
      onClick={() => (looked.value = to)}
    >
      {sign}
    </button>
  );
}

function Where() {
  const card = bench.value?.cards[shown.value];
  if (!card) return null;
  return (
    <p class="bench-where">
      bend {card.bend} · step {card.step} of {bench.value?.bends}
      {bench.value?.findings.some((finding) => finding.code === 'order-planned-anew') && <b> · new order</b>}
    </p>
  );
}

/** What is on its way to the computer, and what keeps it. */
function Waits() {
  const count = waiting.entries.value.length;
  const why = waiting.trouble.value.why;
  const words = count === 1 ? '1 entry waits' : `${count} entries wait`;
  const more = { none: '', 'no answer': ': no connection', 'not let in': ': pair again', refused: ': refused' }[why];
  return (
    <p class={`bench-waits${count || !connected.value ? ' yes' : ''}`} role="status">
      {count ? `${words}${more}` : connected.value ? '' : 'no connection'}
    </p>
  );
}
