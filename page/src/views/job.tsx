// One job: the frame to look at, and the sections beside it.
import type { FunctionComponent } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import { BuyPanel } from '../panels/buy';
import { CarryPanel } from '../panels/carry';
import { FilePanel } from '../panels/file';
import { FindingsPanel } from '../panels/findings';
import { MeasurePanel } from '../panels/measure';
import { PapersPanel } from '../panels/papers';
import { PartsPanel } from '../panels/parts';
import { Press } from '../panels/press';
import { Refusals } from '../panels/refusals';
import { ShapePanel } from '../panels/shape';
import { StepsPanel } from '../panels/steps';
import { TestBendsPanel } from '../panels/test-bends';
import { WeldFinishPanel } from '../panels/weld-finish';
import { address, go, SECTIONS, type Section } from '../state/address';
import { waits } from '../state/edits';
import { canRedo, canUndo, job, open, reachable, redo, undo, working } from '../state/job';
import { lookAgain } from '../state/look-again';
import { dropped, held } from '../state/take-off';
import { useDropped } from './dropped';
import { StageView } from './stage';
import { TakeToBench } from './take-to-bench';
import { Top } from './top';

const LOOK_EVERY = 1500; // ms
const FOLLOWS = 600; // ms without a change, until what the frame carries is asked for

const NAMES: Record<Section, string> = {
  shape: 'Shape',
  steps: 'Steps',
  carry: 'Carry',
  measure: 'Measured',
  parts: 'Small parts',
  buy: 'Buy',
  weld: 'Weld and finish',
  findings: 'Findings',
  'test-bends': 'Test bends',
  papers: 'Papers',
  file: 'File',
};

const PANELS: Partial<Record<Section, FunctionComponent>> = {
  shape: ShapePanel,
  findings: FindingsPanel,
  file: FilePanel,
  steps: StepsPanel,
  carry: CarryPanel,
  measure: MeasurePanel,
  parts: PartsPanel,
  buy: BuyPanel,
  weld: WeldFinishPanel,
  'test-bends': TestBendsPanel,
  papers: PapersPanel,
};

export function JobView({ name, section }: { name: string; section: Section }) {
  useEffect(() => {
    void open(name);
    const timer = setInterval(() => {
      if (document.visibilityState === 'visible') void lookAgain(name);
    }, LOOK_EVERY);
    addEventListener('keydown', keys);
    return () => {
      clearInterval(timer);
      removeEventListener('keydown', keys);
    };
  }, [name]);
  const now = job.value;
  useEffect(() => {
    if (now?.finished !== false) return;
    const soon = setTimeout(() => void lookAgain(name), FOLLOWS);
    return () => clearTimeout(soon);
  }, [now, name]);
  useEffect(() => {
    document.title = `${now?.title ?? name} · Bentwork`;
  }, [now?.title, name]);
  const current = useRef<HTMLAnchorElement>(null);
  useEffect(() => current.current?.scrollIntoView({ block: 'nearest', inline: 'nearest' }), [section]);
  useDropped();
  useEffect(() => {
    if (dropped.value && now) toSection('shape'); // its pieces go into this job
  }, [dropped.value, now]);
  const Panel = PANELS[section];
  return (
    <>
      <Top title={now?.title ?? name}>
        <span class={reachable.value && !waits.value ? 'state quiet' : 'state'} role="status">
          {!reachable.value ? 'no answer' : working.value ? 'working …' : now ? saved(waits.value) : ''}
        </span>
        <TakeToBench job={name} />
        <Press class="plain" not={!canUndo.value} onPress={() => void undo()}>
          Undo
        </Press>
        <Press class="plain" not={!canRedo.value} onPress={() => void redo()}>
          Redo
        </Press>
      </Top>
      <main class={held.value ? 'job over' : 'job'}>
        <StageView />
        <div class="side">
          <nav class="sections" aria-label="Sections of the job">
            {SECTIONS.map((one) => (
              <a
                key={one}
                href={`/job/${encodeURIComponent(name)}/${one}`}
                aria-current={one === section ? 'page' : undefined}
                ref={one === section ? current : null}
              >
                {NAMES[one]}
                {one === 'findings' && now && now.findings.length > 0 && <b class="count">{now.findings.length}</b>}
              </a>
            ))}
          </nav>
          <section class="panel" aria-label={NAMES[section]}>
            <h2 class="hidden">{NAMES[section]}</h2>
            {!now && working.value && <p class="dim">working the job out …</p>}
            {Panel ? <Panel /> : null}
          </section>
          <Refusals />
        </div>
      </main>
    </>
  );
}

function saved(unsaved: number): string {
  if (!unsaved) return 'saved';
  return unsaved === 1 ? 'saved; 1 field is not' : `saved; ${unsaved} fields are not`;
}

function keys(event: KeyboardEvent): void {
  const key = event.ctrlKey || event.metaKey ? event.key.toLowerCase() : '';
  if (key !== 'z' && key !== 'y') return;
  if (event.target instanceof HTMLInputElement || event.target instanceof HTMLTextAreaElement) return;
  event.preventDefault();
  void (key === 'y' || event.shiftKey ? redo() : undo());
}

/** Show another section of the job that is open. */
export function toSection(section: Section): void {
  const at = address.value;
  if (at.at === 'job') go({ ...at, section });
}
