// The papers of the job: look at them, print them, save them beside the job; and files for other programs.
import type { ComponentChildren } from 'preact';
import { useEffect, useId, useState } from 'preact/hooks';
import '../look/papers.css';
import { job } from '../state/job';
import {
  PAPERS,
  type Paper,
  type PaperKind,
  type Papers,
  papersOf,
  pdfAddress,
  type Size,
  said,
  setPaper,
} from '../state/papers';
import { ModelFiles } from './papers-models';
import { PaperPages } from './papers-pages';
import { SavePapers } from './papers-save';

export function PapersPanel() {
  const id = useId();
  const now = job.value;
  const [papers, setPapers] = useState<Papers | null>(null);
  const [trouble, setTrouble] = useState('');
  const [chosen, setChosen] = useState<Size | null>(null);
  const [kind, setKind] = useState<PaperKind>('sheets');
  useEffect(() => {
    if (!now) return undefined;
    let gone = false;
    papersOf(now.name).then(
      (found) => {
        if (gone) return;
        setPapers(found);
        setTrouble('');
      },
      (error) => !gone && setTrouble(said(error)),
    );
    return () => {
      gone = true;
    };
  }, [now]);
  if (trouble) return <p class="trouble">{trouble}</p>;
  if (!now) return null;
  if (!papers) return <p class="dim">looking up the papers …</p>;
  const size = chosen ?? papers.size;
  return (
    <div class="papers">
      {papers.stops.length > 0 && <Stopped stops={papers.stops} />}
      <div class="paper-choice">
        <div class="field">
          <label for={`${id}-kind`}>Which paper</label>
          <select
            id={`${id}-kind`}
            value={kind}
            aria-describedby={`${id}-about`}
            onChange={(event) => setKind(PAPERS.find((one) => one.kind === event.currentTarget.value)?.kind ?? kind)}
          >
            {PAPERS.map((one) => (
              <option key={one.kind} value={one.kind}>
                {one.title}
              </option>
            ))}
          </select>
        </div>
        <fieldset class="sizes">
          <legend>Paper</legend>
          {(['a4', 'letter'] as const).map((one) => (
            <label key={one}>
              <input type="radio" name="paper-size" checked={one === size} onChange={() => setChosen(one)} />
              {one === 'a4' ? 'A4' : 'US Letter'}
            </label>
          ))}
        </fieldset>
        <p class="dim" id={`${id}-about`}>
          {PAPERS.find((one) => one.kind === kind)?.about}
        </p>
      </div>
      <OnePaper name={now.name} kind={kind} size={size} job={now} cautions={papers.cautions}>
        <SavePapers name={now.name} kind={kind} size={size} folder={papers.folder} />
        <ModelFiles name={now.name} job={now} />
      </OnePaper>
    </div>
  );
}

function Stopped({ stops }: { stops: readonly string[] }) {
  return (
    <div class="stopped" role="note">
      <p>
        <strong>STOP</strong> Something stops this job. The papers say STOP too; do not work from them.
      </p>
      <ul>
        {[...new Set(stops)].map((stop) => (
          <li key={stop}>{stop}</li>
        ))}
      </ul>
    </div>
  );
}

interface OneProps {
  name: string;
  kind: PaperKind;
  size: Size;
  job: object;
  cautions: readonly string[];
  /** Stands between what is said of the paper and its pages. */
  children: ComponentChildren;
}

function OnePaper({ name, kind, size, job: state, cautions, children }: OneProps) {
  const asked = `${kind} ${size}`;
  const [set, setSet] = useState<{ asked: string; state: object; paper: Paper } | null>(null);
  // The pages of another paper are never shown under this one's name; its own stand until they are set anew.
  const paper = set?.asked === asked ? set.paper : null;
  const settled = paper !== null && set?.state === state;
  const [trouble, setTrouble] = useState('');
  const about = PAPERS.find((one) => one.kind === kind);
  const title = about?.title ?? kind;
  useEffect(() => {
    let gone = false;
    setTrouble('');
    setPaper(name, kind, size).then(
      (found) => !gone && setSet({ asked, state, paper: found }),
      (error) => {
        if (gone) return;
        setSet(null);
        setTrouble(said(error));
      },
    );
    return () => {
      gone = true;
    };
  }, [name, kind, size, asked, state]);
  const count = paper?.pages.length ?? 0;
  return (
    <>
      <section class="one-paper" aria-label={title} aria-busy={!settled && !trouble}>
        <h3 class="hidden">{title}</h3>
        <p class="row">
          {count > 0 && (
            <a class="button" href={pdfAddress(name, kind, size)} target="_blank" rel="noreferrer">
              Print<span class="hidden">{` ${title.toLowerCase()}, opens in a new tab`}</span>
            </a>
          )}
          <span role="status">{trouble || (settled ? told(count) : `setting ${title.toLowerCase()} …`)}</span>
        </p>
        {count > 0 && about?.full && (
          <ul class="cautions">
            {cautions.map((caution) => (
              <li key={caution}>{caution}</li>
            ))}
          </ul>
        )}
      </section>
      {children}
      {paper && count > 0 && <PaperPages name={name} paper={paper} size={size} title={title} />}
    </>
  );
}

function told(count: number): string {
  if (count === 0) return 'Nothing of this job would be on this paper yet.';
  return count === 1 ? '1 page' : `${count} pages`;
}
