// How the bars of one stock are cut: every bar to one scale, and the lengths that are on sale or in the workshop.
import type { BarOut, StockCut } from '../state/buy';
import { barsOf, lengthsOf } from '../state/buy';
import { job } from '../state/job';
import { isTable, list, set, tables } from '../state/tables';
import { changed, Field } from './field';

const WIDE = 1000; // of the drawing, in its own units
const HIGH = 84;
const LETTER = 0.56; // of the size of type, an ordinary letter

export function Bars({ cut }: { cut: StockCut }) {
  return (
    <section class="cuts" aria-label={`Cuts of ${cut.stock}`}>
      <h3>Cut from {cut.title}</h3>
      <p class="dim">{cut.says}</p>
      {cut.bars.map((bar, index) => (
        <figure key={index}>
          <figcaption>
            <b>{bar.says}</b>: {bar.cuts}
          </figcaption>
          <Drawn bar={bar} longest={cut.longest_mm} />
        </figure>
      ))}
      <Lengths stock={cut.stock} />
    </section>
  );
}

/** One bar; what it shows stands in words above it. */
function Drawn({ bar, longest }: { bar: BarOut; longest: number }) {
  const scale = WIDE / longest;
  const size = 30;
  const end = bar.length_mm * scale;
  const last = bar.spans[bar.spans.length - 1];
  const taken = [-1, -1, -1];
  return (
    <svg class="bar-plan" viewBox={`-2 -2 ${WIDE + 4} ${HIGH + 102}`} aria-hidden="true">
      <rect class="left" x={0} y={0} width={end} height={HIGH} />
      {bar.spans.map((span, index) => {
        const x = span.from_mm * scale;
        const wide = (span.to_mm - span.from_mm) * scale;
        const fits = (text: string): boolean => text.length * size * LETTER < wide - 4;
        const both = fits(span.name) && fits(span.length);
        return (
          <g key={index}>
            <rect class="piece" x={x} y={0} width={wide} height={HIGH} />
            {both && (
              <text x={x + wide / 2} y={34} font-size={size}>
                {span.name}
              </text>
            )}
            {fits(span.length) && (
              <text class="length" x={x + wide / 2} y={both ? 70 : 52} font-size={size}>
                {span.length}
              </text>
            )}
          </g>
        );
      })}
      {last && end - last.to_mm * scale > bar.rest.length * size * LETTER + 6 && (
        <text x={(end + last.to_mm * scale) / 2} y={52} font-size={size}>
          {bar.rest}
        </text>
      )}
      <rect class="outline" x={0} y={0} width={end} height={HIGH} />
      {bar.spans.map((span, index) => {
        const x = span.to_mm * scale;
        const half = (span.saw_at.length * size * LETTER) / 2;
        const at = Math.min(Math.max(x, half), WIDE - half);
        const row = taken.findIndex((used) => at - half > used);
        if (row >= 0) taken[row] = at + half + 6;
        const down = HIGH + 8 + Math.max(row, 0) * 30;
        return (
          <g key={index}>
            <line x1={x} x2={x} y1={HIGH} y2={down} />
            {row >= 0 && (
              <text x={at} y={down + 28} font-size={size}>
                {span.saw_at}
              </text>
            )}
          </g>
        );
      })}
    </svg>
  );
}

/** What is on sale and what is there, as far as this job describes the stock itself. */
function Lengths({ stock }: { stock: string }) {
  const table = tables('stock').find(([name]) => name === stock)?.[1];
  if (!table) return null;
  const unit = job.value?.units;
  const bars = list(table.bars).filter(isTable);
  const onSale = bars.map((bar) => (bar.price === undefined ? `${bar.length}` : `${bar.length} at ${bar.price}`));
  const path = (key: string): string[] => ['stock', stock, key];
  return (
    <div class="fields">
      <Field at={path('bar_length')} label="Length on sale" unit={unit} value={table.bar_length} optional />
      <Field at={path('price')} label="Price of that bar" kind="number" value={table.price} optional />
      <Field
        at={path('bars')}
        label="Other lengths on sale"
        kind="text"
        unit={unit}
        hint={`such as ${unit === 'in' ? '240 at 26.50, 48' : '6000 at 26.50, 1000'} at 6`}
        value={onSale.join(', ') || undefined}
        optional
        changes={(value) =>
          value === undefined
            ? changed(path('bars'), undefined, table.bars !== undefined)
            : [set(path('bars'), barsOf(String(value)))]
        }
      />
      <Field
        at={path('offcuts')}
        label="Offcuts in the workshop"
        kind="text"
        unit={unit}
        hint={`such as ${unit === 'in' ? '32, 12 1/2, 12' : '820, 300, 300'}`}
        value={list(table.offcuts).join(', ') || undefined}
        optional
        changes={(value) =>
          value === undefined
            ? changed(path('offcuts'), undefined, table.offcuts !== undefined)
            : [set(path('offcuts'), lengthsOf(String(value)))]
        }
      />
    </div>
  );
}
