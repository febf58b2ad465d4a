// Small parts: straight bars that end on others, the jig that sets them, tabs; and what the file asks of them.
import { job } from '../state/job';
import * as parts from '../state/parts';
import { PartCard } from './part-card';
import { PartsSetup } from './parts-setup';
import { sentence } from './sentence';
import { ShowPlace } from './show-place';
import { ToKnow, Trouble, useWithJob } from './told-of-job';
import '../look/parts.css';

export function PartsPanel() {
  useWithJob(parts.ask);
  const told = parts.told.value;
  if (parts.trouble.value) return <Trouble says={parts.trouble.value} />;
  if (!job.value || !told) return <p role="status">Looking where bars end …</p>;
  const none = !told.crossbars.length && !told.tabs.length;
  return (
    <div class="small-parts">
      {none && <p>No bar of this frame ends on another, and it has no tabs yet.</p>}
      {told.crossbars.map((one) => (
        <Crossbars key={one.name} one={one} />
      ))}
      {told.of_tube && <p class="dim">{told.of_tube}</p>}
      {told.rows.map((row) => (
        <Row key={row.where} row={row} />
      ))}
      {told.tabs.map((tab) => (
        <Tab key={tab.name} tab={tab} />
      ))}
      {told.cautions.length > 0 && <p class="caution">{told.cautions.join(' ')}</p>}
      {!none && <p class="hint">Templates and patterns at 1:1 are among the papers; DXF is among the files.</p>}
      <PartsSetup told={told} />
      <ToKnow about="small parts" findings={told.findings} />
    </div>
  );
}

function Crossbars({ one }: { one: parts.CrossbarsOut }) {
  return (
    <section aria-label={`Bars ${one.name}`}>
      <h3>{one.name}</h3>
      <p class="part-facts">{one.facts}</p>
      {one.ends.map((end) => (
        <div key={end.end} class="part-end">
          <div>
            <div class="part-head">
              <b>End {end.end}</b>
              <ShowPlace at={end.at_mm} says={`${one.name}, end ${end.end}`} />
            </div>
            <p>{sentence(end.says)}</p>
            {end.filing && <p class="dim">{sentence(end.filing)}</p>}
          </div>
          {end.card && <PartCard card={end.card} />}
        </div>
      ))}
      {one.lines.map((line) => (
        <p key={line}>{sentence(line)}</p>
      ))}
    </section>
  );
}

function Row({ row }: { row: parts.RowOut }) {
  return (
    <section aria-label={`Bars along ${row.where}`}>
      <h3>{row.where}</h3>
      <p class="dim">{row.bars}</p>
      {row.lines.map((line) => (
        <p key={line}>{line}</p>
      ))}
      {row.stacks.length > 0 && (
        <table class="goods">
          <thead>
            <tr>
              <th scope="col">room between bars</th>
              <th scope="col">blocks</th>
            </tr>
          </thead>
          <tbody>
            {row.stacks.map((stack) => (
              <tr key={stack.room}>
                <td>
                  {stack.room}
                  {stack.times > 1 && <span class="dim"> {stack.times} times</span>}
                </td>
                <td>{stack.blocks}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </section>
  );
}

function Tab({ tab }: { tab: parts.TabOut }) {
  return (
    <section aria-label={`Tab ${tab.name}`}>
      <h3>{tab.name}</h3>
      <p class="part-facts">{tab.facts}</p>
      <div class="part-end">
        <div>
          {tab.lines.map((line) => (
            <p key={line}>{line}</p>
          ))}
          <p class="row">
            {tab.at_mm.map((at, number) => (
              <ShowPlace
                key={at.join()}
                at={at}
                says={tab.at_mm.length > 1 ? `${tab.name} ${number + 1}` : tab.name}
                numbered={tab.at_mm.length > 1 ? number + 1 : 0}
              />
            ))}
          </p>
        </div>
        <PartCard card={tab.card} />
      </div>
    </section>
  );
}
