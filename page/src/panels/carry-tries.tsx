// The bars of one stock made of something else: a picture of weight against load, and a table to take one from.
import { useState } from 'preact/hooks';
import * as carry from '../state/carry';
import { job } from '../state/job';
import { MM_OF } from '../state/typed';
import { TriesPicture } from './carry-tries-picture';
import { Press } from './press';

const MOST = 14;
const BENDS = {
  yes: 'your bender bends it',
  'other die': 'wants another die',
  no: 'your bender does not bend it',
  unknown: '',
} as const;
const FROM = { 'test bends': 'by your test bends', job: 'as the job says', handbook: '', nothing: '' } as const;

export function CarryTries() {
  const [radius, setRadius] = useState('');
  const found = carry.tries.value;
  const wanted = Number(radius.replace(',', '.')) * MM_OF[job.value?.units ?? 'mm'];
  const bend = radius.trim() && Number.isFinite(wanted) && wanted > 0 ? wanted : null;
  const ask = (stock: string | null): void => void carry.askTries(stock, bend);
  return (
    <section class="tries" aria-label="What if it were made of something else">
      <h3>What if it were made of something else?</h3>
      <div class="row">
        {found && found.stocks.length > 1 && (
          <label>
            Stock
            <select value={found.stock} onChange={(event) => ask(event.currentTarget.value)}>
              {found.stocks.map((one) => (
                <option key={one}>{one}</option>
              ))}
            </select>
          </label>
        )}
        <label>
          Another bend radius too, {job.value?.units}
          <input
            type="text"
            inputMode="decimal"
            size={6}
            value={radius}
            onInput={(event) => setRadius(event.currentTarget.value)}
          />
        </label>
        <Press class="plain" not={carry.trying.value} onPress={() => ask(found?.stock ?? null)}>
          {carry.trying.value ? 'Trying …' : found ? 'Try again' : 'Try other sections and metals'}
        </Press>
      </div>
      {carry.triesTrouble.value && (
        <p class="trouble" role="alert">
          {carry.triesTrouble.value}
        </p>
      )}
      {found && found.tries.length > 0 && <Tries found={found} />}
    </section>
  );
}

function Tries({ found }: { found: carry.TriesOut }) {
  const [all, setAll] = useState(false);
  const [picked, setPicked] = useState<string | null>(null);
  const good = found.tries.filter((one) => one.enough && one.bends !== 'no');
  const few = found.tries.filter((one) => one.now || good.slice(0, MOST).includes(one) || one.says === picked);
  const shown = all ? found.tries : few;
  return (
    <>
      <TriesPicture found={found} picked={picked} pick={setPicked} />
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a table wider than the screen is moved by keys */}
      <section class="wide" tabIndex={0} aria-label={`${found.stock} of something else`}>
        <table>
          <thead>
            <tr>
              <th scope="col">{found.stock} of</th>
              <th scope="col">
                <span class="hidden">Take it</span>
              </th>
              <th scope="col">Frame</th>
              <th scope="col">Carries</th>
              <th scope="col">Moves</th>
            </tr>
          </thead>
          <tbody>
            {shown.map((one) => (
              <Row key={one.says} one={one} is={one.says === picked} pick={() => setPicked(one.says)} />
            ))}
          </tbody>
        </table>
      </section>
      <p class="dim">
        {found.tries.length} were tried: metal, welds and bolts, buckling only in those with a ★. ★ nothing else is
        lighter, stronger and stiffer at once. Springback is by the handbook where nothing else is said. Take one and
        everything is reckoned for it.{' '}
        <button type="button" class="to-line" onClick={() => setAll(!all)}>
          {all ? 'Show few' : 'Show all'}
        </button>
      </p>
    </>
  );
}

function Row({ one, is, pick }: { one: carry.TryOut; is: boolean; pick: () => void }) {
  return (
    <tr class={`${is ? 'is' : ''} ${one.enough ? '' : 'short'}`} onMouseEnter={pick}>
      <th scope="row">
        {one.best && (
          <span role="img" aria-label="nothing else is lighter, stronger and stiffer at once">
            ★{' '}
          </span>
        )}
        {one.says}
        <span class="dim bends">{bendsWords(one)}</span>
      </th>
      <td class="take">
        {one.now ? (
          <span class="dim">now</span>
        ) : (
          one.changes.length > 0 && (
            <button
              type="button"
              class="plain"
              aria-label={`Take this: ${one.says}`}
              onFocus={pick}
              onClick={() => void carry.take(one.changes)}
            >
              Take this
            </button>
          )
        )}
      </td>
      <td class="number" data-of="Frame">
        {one.mass}
      </td>
      <td class="number" data-of="Carries">
        {one.carries}
        {!one.enough && <span class="dim"> too little</span>}
      </td>
      <td class="number" data-of="Moves">
        {one.moves}
      </td>
    </tr>
  );
}

/** What the bender says to it, in a line: whether it bends it, how hard it is pulled, how far it springs, its price. */
export function bendsWords(
  one: Pick<carry.TryOut, 'bends' | 'lever' | 'springback' | 'springback_from' | 'price'>,
): string {
  const from = FROM[one.springback_from];
  return [
    BENDS[one.bends],
    one.lever && `${one.lever} at the lever`,
    one.springback && `springs ${one.springback}${from && ` ${from}`}`,
    one.price && `costs ${one.price}`,
  ]
    .filter(Boolean)
    .join(', ');
}
