// What buying goes by beside the bars: spare lengths, prices, primers and paints.
import { act } from '../state/edits';
import { keyChange } from '../state/keys';
import { freeName, isTable, remove, set, type Table, tables } from '../state/tables';
import { FaultsAt, Field } from './field';
import { Form, type Item } from './form';
import '../look/carry.css';

const PRICES: readonly Item[] = [
  { key: 'filler_price', label: 'Price of a kilogram of filler', kind: 'number' },
  { key: 'disc_price', label: 'Price of an abrasive disc', kind: 'number' },
];
const COAT: readonly Item[] = [
  { key: 'coverage', label: 'One litre covers', kind: 'number', unit: 'm²', must: true, hint: 'as its tin says' },
  { key: 'coats', label: 'Coats', kind: 'whole', usual: '1' },
  { key: 'loss', label: 'Share that is lost', kind: 'number', usual: '0.3', hint: '0.3 is three tenths' },
  { key: 'price', label: 'Price of a litre', kind: 'number' },
];

export function Shop({ shop }: { shop: Table }) {
  const spares = isTable(shop.spares) ? shop.spares : {};
  const made = [...new Set([...tables('piece'), ...tables('crossbar'), ...tables('stay')].map(([name]) => name))];
  return (
    <>
      <details class="setup">
        <summary>Spare lengths, prices</summary>
        <p class="hint">Lengths to cut beyond what is made, for the piece that goes wrong.</p>
        <div class="fields">
          {[...made, ...Object.keys(spares).filter((name) => !made.includes(name))].map((name) => (
            <Field
              key={name}
              at={['shop', 'spares', name]}
              label={`Spares of ${name}`}
              kind="whole"
              value={spares[name]}
              usual="0"
              optional
              changes={(value) => spareChange(spares, name, value)}
            />
          ))}
          <Form at={['shop']} value={shop} items={PRICES} />
        </div>
        <FaultsAt at={['shop', 'spares']} />
      </details>
      <Paints />
    </>
  );
}

/** The spare lengths of one piece; the table goes with the last of them. */
function spareChange(spares: Table, name: string, value: unknown) {
  const { [name]: had, ...rest } = spares;
  const now = value === undefined ? rest : { ...rest, [name]: value };
  if (value === had) return [];
  return keyChange(['shop', 'spares'], Object.keys(now).length ? now : undefined);
}

function Paints() {
  const paints = tables('paint');
  const add = (): void => {
    const names = paints.map(([name]) => name);
    const wanted = names.length ? 'paint' : 'primer';
    void act([set(['paint', freeName(wanted, names)], { coverage: wanted === 'primer' ? 8 : 10 })]);
  };
  return (
    <details class="setup">
      <summary>Primers and paints</summary>
      {!paints.length && <p class="hint">None said: a coat of primer and two of paint are reckoned, as is usual.</p>}
      {paints.map(([name, table]) => (
        <section key={name} class="thing" aria-label={`Paint ${name}`}>
          <h3>{name}</h3>
          <div class="fields">
            <Form at={['paint', name]} value={table} items={COAT} />
          </div>
          <FaultsAt at={['paint', name]} />
          <button type="button" class="plain" onClick={() => void act([remove(['paint', name])])}>
            Remove {name}
          </button>
        </section>
      ))}
      <button type="button" class="plain" onClick={add}>
        Add a {paints.length ? 'paint' : 'primer'}
      </button>
    </details>
  );
}
