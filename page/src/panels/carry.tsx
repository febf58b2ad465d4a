// What the frame carries: the answer, a payload to try, load cases, what gives first, joints, other bars, the proof.
import { effect } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { Change } from '../api';
import { written } from '../state/address';
import * as carry from '../state/carry';
import { job } from '../state/job';
import { isTable } from '../state/tables';
import { CarryHelps } from './carry-helps';
import { CarryJoints } from './carry-joints';
import { CarryPayload } from './carry-payload';
import { CarryProof } from './carry-proof';
import { CarrySaid } from './carry-said';
import { CarrySetup } from './carry-setup';
import { CarryTries } from './carry-tries';
import { Told } from './findings';
import '../look/carry.css';

export function CarryPanel() {
  useEffect(() => {
    let seen = '';
    return effect(() => {
      const sum = `${job.value?.name} ${job.value?.sum}`;
      if (sum === seen || !job.value) return;
      seen = sum;
      carry.followJob();
    });
  }, []);
  const told = carry.told.value;
  if (carry.trouble.value)
    return (
      <p class="trouble" role="alert">
        {carry.trouble.value}
      </p>
    );
  if (!job.value || !told) return <p role="status">Reckoning what it carries …</p>;
  if (!told.asked) return <NotAsked told={told} />;
  return (
    <div class="carry">
      <Answer told={told} />
      <CarryPayload told={told} />
      <CarrySetup told={told} />
      {told.gives.length > 0 && <Cases told={told} />}
      <Gives told={told} />
      <Findings told={told} />
      <Fixings told={told} />
      <CarryJoints joints={told.joints} />
      <CarrySaid told={told} />
      {told.gives.length > 0 && <CarryHelps />}
      {told.gives.length > 0 && <CarryTries />}
      {told.proof && <CarryProof proof={told.proof} />}
      <p class="caution">
        An estimate is no certificate. What the carrier and the vehicle may bear, local codes and licensed practice have
        the last word.
      </p>
    </div>
  );
}

type Props = { told: carry.CarryOut };

function Answer({ told }: Props) {
  const state = told.enough === null ? 'unknown' : told.enough ? 'enough' : 'short';
  const words = { unknown: '', enough: 'Enough for it.', short: 'Not enough for it.' }[state];
  return (
    <p class={`answer ${state}`} role="status" aria-busy={carry.asking.value}>
      {told.says} {words && <b>{words}</b>}
    </p>
  );
}

function Cases({ told }: Props) {
  const shown = told.cases[told.case];
  if (!shown) return null;
  return (
    <section aria-label="Load case">
      <div class="row">
        <label class="whole-row">
          Load case on the stage
          <select value={told.case} onChange={(event) => carry.showCase(Number(event.currentTarget.value))}>
            {told.cases.map((one, number) => (
              <option key={one.name} value={number}>
                {one.most_used ? `${one.name}: bars ${one.most_used} used` : one.name}
              </option>
            ))}
          </select>
        </label>
        <label class="tick">
          <input
            type="checkbox"
            checked={carry.bent.value}
            onChange={(event) => {
              carry.bent.value = event.currentTarget.checked;
            }}
          />
          bent, {told.drawn_times} times as large
        </label>
      </div>
      <p class="dim">
        {shown.felt}
        {shown.moves && <>; moves up to {shown.moves}</>}. From: {shown.source}.
      </p>
    </section>
  );
}

function Gives({ told }: Props) {
  if (!told.gives.length) return null;
  return (
    <section aria-label="What gives first">
      <h3>What gives first, as the load grows</h3>
      <ol class="gives">
        {told.gives.map((one) => (
          <li key={one.where}>
            <span class="gives-where">
              <b>{one.where}</b>
              <span class="dim">{one.case}</span>
            </span>
            <span class={`heat ${one.heat}`}>
              <b class="number">{one.used}</b> used, {carry.HEAT_WORDS[one.heat]}
            </span>
            <span class="gives-at">
              gives at <b class="number">{one.gives_at}</b>
            </span>
            <button
              type="button"
              class="plain"
              aria-label={`Show me where: ${one.where}`}
              onClick={() => {
                carry.pointAt({ at: one.at_mm, says: `${one.where}: ${one.used} used`, heat: one.heat });
              }}
            >
              Show me
            </button>
          </li>
        ))}
      </ol>
      <p class="dim">Press a bar on the stage for its numbers there. Safety is counted in.</p>
    </section>
  );
}

function Findings({ told }: Props) {
  const found = told.findings.filter((one) => one.code !== 'estimate-only' && one.code !== 'joints-to-confirm');
  if (!found.length) return null;
  return (
    <section aria-label="Findings about the load">
      <h3>What there is to say about it</h3>
      <ol class="findings">
        {found.map((finding) => (
          <li key={finding.says} class={`finding ${finding.level}`}>
            <Told finding={finding} />
          </li>
        ))}
      </ol>
    </section>
  );
}

function Fixings({ told }: Props) {
  if (!told.fixings.length) return null;
  return (
    <section aria-label="Fixings">
      <h3>What the fixings have to hold</h3>
      <table class="fixings">
        <thead>
          <tr>
            <th scope="col">Fixing</th>
            <th scope="col">Held</th>
            <th scope="col">At most</th>
          </tr>
        </thead>
        <tbody>
          {told.fixings.map((one) => (
            <tr key={one.name}>
              <th scope="row">{one.name}</th>
              <td>{one.held}</td>
              <td>{one.holds}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <p class="dim">Compare with what the maker of the carrier or the vehicle allows there.</p>
    </section>
  );
}

/** The payload that is guessed, with its unit. */
function guessed(start: readonly Change[]): string {
  const payload = start.find((one) => one.path[0] === 'payload')?.value;
  const mass = isTable(payload) ? payload.mass : '';
  return typeof mass === 'number' ? `${mass} kg` : String(mass);
}

function NotAsked({ told }: Props) {
  return (
    <div class="carry">
      <p>{told.says}</p>
      {told.start.length > 0 && (
        <>
          <p>
            Begin with a guess: {guessed(told.start)} on the most level piece, held at the lowest places. Then correct
            every number of it; the guess knows nothing of what you carry.
          </p>
          <p>
            <button type="button" onClick={() => void carry.take(told.start)}>
              Begin with a guess
            </button>
          </p>
        </>
      )}
      <p>
        <a class="onward" href={written({ at: 'job', job: job.value?.name ?? '', section: 'file' })}>
          Or write it in the file
        </a>
      </p>
    </div>
  );
}
