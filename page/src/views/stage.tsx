// Where the frame is looked at, or the work at the bender.
import { effect } from '@preact/signals';
import { useEffect, useRef, useState } from 'preact/hooks';
import { CarryWords } from '../panels/carry-words';
import type { Stage, Standpoint } from '../scene/stage';
import { address, type Section } from '../state/address';
import * as carry from '../state/carry';
import { chosen, showMe } from '../state/chosen';
import { job } from '../state/job';
import * as measure from '../state/measure';
import * as steps from '../state/steps';
import { theme } from '../state/theme';
import '../look/stage.css';

const FRAME: readonly (readonly [Standpoint, string])[] = [
  ['corner', 'Whole'],
  ['front', 'Front'],
  ['side', 'Side'],
  ['above', 'Above'],
];
const BENDER: readonly (readonly [Standpoint, string])[] = [
  ['lever', 'As you stand'],
  ['front', 'Front'],
  ['side', 'Side'],
  ['above', 'Above'],
];

export function StageView() {
  const place = useRef<HTMLDivElement>(null);
  const kept = useRef<Stage | null>(null);
  const [trouble, setTrouble] = useState('');
  const [large, setLarge] = useState(false);
  useEffect(() => {
    const into = place.current;
    if (!into) return undefined;
    let ends: readonly (() => void)[] = [];
    let gone = false;
    // What draws in 3D is the heaviest part of the page, and comes while the rest is shown already.
    void import('../scene/stage')
      .then(({ Stage }) => {
        if (gone) return;
        const stage = new Stage(into);
        kept.current = stage;
        ends = [...following(stage), () => stage.dispose()];
      })
      .catch(() => setTrouble('This browser shows no 3D pictures (WebGL is off). Everything else works.'));
    return () => {
      gone = true;
      kept.current = null;
      for (const end of ends) end();
    };
  }, []);
  const working = atBender() && steps.motion.value !== null;
  return (
    <div class={large ? 'stage large' : 'stage'} ref={place}>
      {trouble && <p class="trouble">{trouble}</p>}
      {working && <Moment />}
      {underLoad() && <CarryWords />}
      {!trouble && !atBender() && !underLoad() && <LeftOut />}
      {!trouble && (
        <fieldset class="standpoints" aria-label="Look from">
          {(working ? BENDER : FRAME).map(([from, name]) => (
            <button key={from} type="button" class="plain" onClick={() => kept.current?.stand(from)}>
              {name}
            </button>
          ))}
          <button type="button" class="plain stage-share" onClick={() => setLarge(!large)}>
            {large ? 'Smaller' : 'Larger'}
            <span class="hidden"> picture</span>
          </button>
        </fieldset>
      )}
    </div>
  );
}

/** Have the stage show what the page is about, until each of these is called. */
function following(stage: Stage): readonly (() => void)[] {
  return [
    effect(() => void stage.show(job.value?.name ?? '', job.value?.scene ?? [])),
    effect(() => stage.choose(chosen.value)),
    effect(() => {
      if (showMe.value) stage.lookAtChosen();
    }),
    effect(() => {
      stage.paint(theme.value);
      const working = atBender();
      const { key, share } = steps.at.value;
      stage.work(working ? steps.motion.value : null, working ? steps.step.value : null, key, share);
    }),
    effect(() => {
      void theme.value;
      const told = carry.told.value;
      stage.carry(underLoad() && told?.asked ? told : null, carry.times.value, carry.marked.value);
    }),
    effect(() => stage.keepOut(atSection('measure') ? (measure.told.value?.lines_mm ?? []) : [])),
    effect(() => {
      // The place itself is shown by another effect of the same change.
      if (carry.goThere.value) queueMicrotask(() => stage.lookAtMarked());
    }),
    effect(() => {
      if (steps.closeUp.value) stage.lookClose();
    }),
    effect(() => {
      if (steps.standAgain.value) stage.stand('lever');
    }),
  ];
}

function atBender(): boolean {
  return atSection('steps');
}

function underLoad(): boolean {
  return atSection('carry');
}

function atSection(section: Section): boolean {
  const at = address.value;
  return at.at === 'job' && at.section === section;
}

/** What the picture of the frame does not show, since the job does not say where it stands. */
function LeftOut() {
  const told = job.value?.left_out ?? [];
  if (!told.length) return null;
  return (
    <details class="left-out">
      <summary>Not all pieces stand here</summary>
      {told.map((words) => (
        <p key={words}>{words}</p>
      ))}
    </details>
  );
}

const WHEN = { 'put on': 'put it on', bending: 'pull', opening: 'let go', 'lifted off': 'lift it off' } as const;

const CARRIED: ReadonlySet<string> = new Set(['put on', 'lifted off']);

/** What is happening just now, in large letters. */
function Moment() {
  const step = steps.step.value;
  const key = steps.key.value;
  if (!step || !key) return null;
  const hot = key.heat;
  return (
    <div class="moment">
      <p class="moment-step">{step.title}</p>
      <p class="moment-angle">
        {WHEN[key.when]} {!CARRIED.has(key.when) && <b class="number">{key.angle}</b>}
        {key.when === 'bending' && step.pull && <span class="dim"> of {step.pull}</span>}
      </p>
      {key.when === 'put on' && (
        <p class="moment-how">
          {step.turn && <>{step.turn}, </>}
          {step.hold}
          {step.mark && (
            <>
              , mark <b class="number">{step.mark}</b>
            </>
          )}
        </p>
      )}
      {step.closest && key.gap && hot && (
        <p class={`heat ${hot}`}>
          {hot === 'hit' ? `${key.gap} into the ${step.closest.body}` : `${key.gap} from the ${step.closest.body}`}
        </p>
      )}
    </div>
  );
}
