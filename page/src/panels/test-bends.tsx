// What is known of every bar of the job on its bender, the next test bend, entry of one, and the list of them.
import { useEffect } from 'preact/hooks';
import '../look/test-bends.css';
import { job } from '../state/job';
import {
  asMeant,
  type Known,
  loadTestBends,
  type Meant,
  type Picture,
  readTwice,
  testBends,
  told,
  trouble,
} from '../state/test-bends';
import { TestBendEntry } from './test-bends-entry';
import { TestBendList } from './test-bends-list';
import { PullPicture } from './test-bends-picture';

export function TestBendsPanel() {
  const now = job.value;
  useEffect(() => {
    if (now) void loadTestBends(now.name);
  }, [now]);
  useEffect(
    () => () => {
      told.value = '';
      testBends.value = null;
    },
    [now?.name],
  );
  if (trouble.value) return <p class="trouble">{trouble.value}</p>;
  const found = testBends.value;
  if (!now) return null;
  if (!found) return <p class="dim">looking up what is known …</p>;
  return (
    <div class="test-bends">
      <p class="dim">
        A bar springs back when you let go. Two or three bends in scrap of the same bar make the numbers yours.
      </p>
      <p role="status" class="told">
        {told.value}
      </p>
      {found.pairs.length === 0 && (
        <p>No piece of this job is bent. Give a piece a bender, and what is known of its bar is here.</p>
      )}
      {found.pairs.map((pair) => (
        <Pair key={`${pair.stock}/${pair.bender}/${pair.way}`} pair={pair} />
      ))}
    </div>
  );
}

function Pair({ pair }: { pair: Known }) {
  const found = testBends.value;
  if (!found) return null;
  return (
    <section class="pair" aria-label={pair.title}>
      <h3>{pair.title}</h3>
      <p class="dim">{pair.bar}</p>
      <p class="says">{pair.says}</p>
      {pair.nothing && <p>{pair.nothing}</p>}
      {pair.doubts.map((doubt) => (
        <div key={doubt.says} class="finding watch">
          <p>
            <span class="level watch">Watch</span> {doubt.says}
          </p>
          {doubt.meant && doubt.number !== null && <AsMeant number={doubt.number} meant={doubt.meant} />}
          {doubt.may_be_sure && doubt.number !== null && <Sure number={doubt.number} />}
        </div>
      ))}
      {pair.pulls.length > 0 && <Pulls pair={pair} />}
      {pair.picture && <PullPicture picture={pair.picture} title={pair.title} />}
      {pair.picture && <Narrowing picture={pair.picture} />}
      {pair.sizes.length > 0 && (
        <ul class="learnt">
          {pair.sizes.map((line) => (
            <li key={line}>{line}</li>
          ))}
        </ul>
      )}
      {pair.advice && <p>{pair.advice}</p>}
      {pair.next && (
        <div class="next">
          <p class="says">{pair.next.says}</p>
          <p>{found.how}</p>
          <ul class="cautions">
            {found.cautions.map((caution) => (
              <li key={caution}>{caution}</li>
            ))}
          </ul>
        </div>
      )}
      {!pair.nothing && <TestBendEntry pair={pair} today={found.today} unit={found.unit} />}
      <TestBendList pair={pair} unit={found.unit} />
    </section>
  );
}

/** One press puts a misread test bend right. */
function AsMeant({ number, meant }: { number: number; meant: Meant }) {
  return (
    <p class="row">
      <button type="button" class="plain" onClick={() => void asMeant(job.value?.name ?? '', number, meant)}>
        I meant {meant.pulled_deg}° pulled, {meant.left_deg}° left
      </button>
    </p>
  );
}

/** One press lets an odd one count. */
function Sure({ number }: { number: number }) {
  return (
    <p class="row">
      <button type="button" class="plain" onClick={() => void readTwice(job.value?.name ?? '', number)}>
        Yes, I read it twice: let test bend {number} count
      </button>
    </p>
  );
}

function Pulls({ pair }: { pair: Known }) {
  return (
    <div>
      <table class="pulls">
        <caption>How far to pull{pair.source === 'job' ? ', by test bends and handbook' : ''}</caption>
        <thead>
          <tr>
            <th scope="col">to leave</th>
            <th scope="col">pull to</th>
            <th scope="col">9 in 10</th>
          </tr>
        </thead>
        <tbody>
          {pair.pulls.map((one) => (
            <tr key={one.angle_deg}>
              <th scope="row">{one.angle_deg.toFixed(1)}°</th>
              <td>{one.bend_to_deg.toFixed(1)}°</td>
              <td>
                {one.least_deg.toFixed(1)}° to {one.most_deg.toFixed(1)}°
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

/** How the range narrowed from one test bend to the next; longer is less known. */
function Narrowing({ picture }: { picture: Picture }) {
  const widest = Math.max(...picture.narrowed.map((one) => one.half_width_deg));
  return (
    <div class="narrowing">
      <h4>How well the pull for {picture.narrowed_at_deg.toFixed(0)}° was known</h4>
      <ol>
        {picture.narrowed.map((one) => (
          <li key={one.entered}>
            <span>{entered(one.entered)}</span>
            <span class="reach" aria-hidden="true">
              <span style={{ width: `${(100 * one.half_width_deg) / widest}%` }} />
            </span>
            <span class="number">± {one.half_width_deg.toFixed(1)}°</span>
          </li>
        ))}
      </ol>
    </div>
  );
}

function entered(count: number): string {
  if (count === 0) return 'handbook';
  return count === 1 ? '1 test bend' : `${count} test bends`;
}
