// What to buy, how the bars are cut, what the saw takes, and the frame on the scales.
import { useId, useState } from 'preact/hooks';
import * as buy from '../state/buy';
import { job } from '../state/job';
import { isTable } from '../state/tables';
import { Bars } from './buy-bars';
import { Shop } from './buy-shop';
import { FaultsAt, Field } from './field';
import { sentence } from './sentence';
import { ToKnow, Trouble, useWithJob } from './told-of-job';
import '../look/buy.css';

export function BuyPanel() {
  useWithJob(buy.ask);
  const told = buy.told.value;
  if (buy.trouble.value) return <Trouble says={buy.trouble.value} />;
  if (!job.value || !told) return <p role="status">Reckoning what to buy …</p>;
  return (
    <div class="buy">
      {told.goods.length ? <List told={told} /> : <p>Nothing can be bought for it: no piece of it fits.</p>}
      <Spares told={told} />
      {told.stocks.map((one) => (
        <Bars key={one.stock} cut={one} />
      ))}
      <Saw />
      <Scales told={told} />
      <ToKnow about="buying" findings={told.findings} />
    </div>
  );
}

function List({ told }: { told: buy.BuyOut }) {
  const priced = told.goods.some((good) => good.price);
  return (
    <section aria-label="What to buy">
      <h3>Buy</h3>
      <table class="goods">
        <thead>
          <tr>
            <th scope="col" class="right">
              how much
            </th>
            <th scope="col">what</th>
            <th scope="col" class="right">
              {told.mass_unit}
            </th>
            {priced && (
              <th scope="col" class="right">
                price
              </th>
            )}
          </tr>
        </thead>
        <tbody>
          {told.goods.map((good, index) => (
            <tr key={index}>
              <td class="right">{good.amount}</td>
              <td>
                {good.name}
                {good.why && <span class="hint">{good.why}</span>}
              </td>
              <td class="right">{good.mass}</td>
              {priced && <td class="right">{good.price || <span class="dim">not known</span>}</td>}
            </tr>
          ))}
        </tbody>
      </table>
      {told.comes_to.map((line, index) => (
        <p key={line} class={index ? 'dim' : 'comes-to'}>
          {sentence(line)}
        </p>
      ))}
    </section>
  );
}

function Spares({ told }: { told: buy.BuyOut }) {
  const id = useId();
  return (
    <div>
      <p class="tick">
        <input
          id={id}
          type="checkbox"
          checked={buy.spares.value}
          onChange={(event) => {
            buy.spares.value = event.currentTarget.checked;
            void buy.ask();
          }}
        />
        <label for={id}>Count the spare lengths that fit-up advises; that takes some seconds</label>
      </p>
      <p class="hint" role="status">
        {buy.asking.value ? 'reckoning …' : told.spares.length ? `Spares: ${told.spares.join(', ')}.` : 'No spares.'}
      </p>
    </div>
  );
}

function Saw() {
  const table = job.value?.data.shop;
  const shop = isTable(table) ? table : {};
  const unit = job.value?.units;
  return (
    <section aria-label="The saw">
      <h3>The saw</h3>
      <div class="fields">
        <Field at={['shop', 'kerf']} label="Width of a cut" unit={unit} value={shop.kerf} usual="0" optional />
        <Field
          at={['shop', 'bar_ends']}
          label="Cut off every bar to begin with"
          unit={unit}
          value={shop.bar_ends}
          usual="0"
          optional
        />
        <Field
          at={['shop', 'test_bends']}
          label="Lengths for test bends"
          kind="whole"
          value={shop.test_bends}
          usual="2"
          hint="none where it was learnt"
          optional
        />
      </div>
      <FaultsAt at={['shop']} />
      <Shop shop={shop} />
      <p class="caution">
        Clamp the bar on both sides of the cut, wear eye and ear protection, take the burr off before it is handled.
      </p>
    </section>
  );
}

function Scales({ told }: { told: buy.BuyOut }) {
  const id = useId();
  const [text, setText] = useState(buy.typedWeight.value);
  const unit = job.value?.mass ?? { name: 'kg', size: 1 };
  const mass = buy.massOf(text, unit.size);
  const wrong = text.trim() !== '' && mass === null;
  const weigh = (event: Event): void => {
    event.preventDefault();
    buy.weighed.value = mass;
    buy.typedWeight.value = text;
    void buy.ask();
  };
  return (
    <section aria-label="On the scales">
      <h3>On the scales</h3>
      <form class="row" onSubmit={weigh}>
        <div class="field">
          <label for={id}>
            The finished frame weighs<span class="dim">, {unit.name}</span>
          </label>
          <input
            id={id}
            class="number"
            inputMode="decimal"
            autocomplete="off"
            value={text}
            aria-invalid={wrong}
            aria-describedby={wrong ? `${id}-wrong` : undefined}
            onInput={(event) => setText(event.currentTarget.value)}
          />
          {wrong && (
            <span class="wrong" id={`${id}-wrong`}>
              wanted a mass above 0 and up to {Math.floor(5000 / unit.size)} {unit.name}
            </span>
          )}
        </div>
        <button type="submit" class="plain" disabled={mass === null}>
          Compare
        </button>
      </form>
      <div role="status">
        {told.scales.map((line) => (
          <p key={line}>{line.startsWith('- ') ? line : sentence(line)}</p>
        ))}
      </div>
    </section>
  );
}
