// What the frame must fit: measured points and how sure they are, stays to them, room to be left, doors.
import { act } from '../state/edits';
import { job } from '../state/job';
import * as measure from '../state/measure';
import { Picture } from '../views/picture';
import { MeasureReadings } from './measure-readings';
import { MeasureSetup } from './measure-setup';
import { ShowPlace } from './show-place';
import { ToKnow, Trouble, useWithJob } from './told-of-job';
import '../look/measure.css';

export function MeasurePanel() {
  useWithJob(measure.ask);
  const told = measure.told.value;
  if (measure.trouble.value) return <Trouble says={measure.trouble.value} />;
  if (!job.value || !told) return <p role="status">Reckoning where the points are …</p>;
  return (
    <div class="measured">
      {!told.any && (
        <p>
          Nothing is measured yet. Name the points that the frame must meet, and enter what you read between them: where
          they are, and how surely, comes of it.
        </p>
      )}
      {told.picture && told.points.length > 0 && (
        <Picture drawn={told.picture} label="The frame with the measured points; what was read is dashed" />
      )}
      {told.points.length > 0 && <Points told={told} />}
      <MeasureReadings told={told} />
      {told.missing.length > 0 && <Missing told={told} />}
      {told.stays.map((one) => (
        <Stay key={one.name} one={one} />
      ))}
      <Rooms told={told} />
      <MeasureSetup told={told} />
      <ToKnow about="what it must fit" findings={told.findings} />
    </div>
  );
}

const LOOKS = { given: 'given', good: 'sure enough', loose: 'not sure enough', open: 'not told' } as const;

function Points({ told }: { told: measure.MeasureOut }) {
  return (
    <section aria-label="Measured points">
      <h3>Points</h3>
      <ul class="points">
        {told.points.map((point) => (
          <li key={point.name}>
            <b>{point.name}</b> <span class="number">{point.place}</span>{' '}
            <span class={`sure ${point.look}`}>
              {point.look === 'given' || point.look === 'open' ? point.sure : `${point.sure}, ${LOOKS[point.look]}`}
            </span>{' '}
            <ShowPlace at={point.at_mm} says={point.name} />
          </li>
        ))}
      </ul>
      {told.held && <p class="dim">{told.held}</p>}
      {told.sides.map((line) => (
        <p key={line}>{sentence(line)}</p>
      ))}
    </section>
  );
}

function Missing({ told }: { told: measure.MeasureOut }) {
  return (
    <section aria-label="To measure next">
      <h3>To measure next</h3>
      <ol class="missing">
        {told.missing.map((one) => {
          const kind = told.kinds.find((known) => known.kind === one.kind);
          return (
            <li key={one.says}>
              {sentence(one.says)}{' '}
              {kind && (
                <button
                  type="button"
                  class="plain"
                  aria-label={`Enter it: ${one.says}`}
                  onClick={() => void act(() => measure.newReading(kind, one.of, one.about))}
                >
                  Enter it
                </button>
              )}
            </li>
          );
        })}
      </ol>
    </section>
  );
}

function Stay({ one }: { one: measure.StayOut }) {
  return (
    <section aria-label={`Stay ${one.name}`}>
      <h3>{one.name}</h3>
      <p class="stay-facts">{sentence(one.facts)}</p>
      {one.lines.map((line) => (
        <p key={line}>{sentence(line)}</p>
      ))}
      {one.ends.map((end, number) => (
        <p key={number}>
          <b>End {number ? 'B' : 'A'}</b> {sentence(end)}
        </p>
      ))}
      {one.pair && <p>{sentence(one.pair)}</p>}
      <ShowPlace at={one.at_mm} says={`${one.name}, end B`} />
    </section>
  );
}

const ROOM = { good: 'clear', near: 'too near', hit: 'in the way' } as const;

function Rooms({ told }: { told: measure.MeasureOut }) {
  if (!told.rooms.length && !told.ways.length) return null;
  return (
    <section aria-label="Room to be left">
      <h3>Room</h3>
      <ul class="points">
        {told.rooms.map((one) => (
          <li key={one.name}>
            <b>{one.name}</b> <span class={`sure ${one.look}`}>{ROOM[one.look]}</span> {sentence(one.says)}{' '}
            <ShowPlace at={one.at_mm} says={one.name} />
          </li>
        ))}
        {told.ways.map((one) => (
          <li key={one.name}>
            <b>{one.name}</b>{' '}
            <span class={`sure ${one.fits ? 'good' : 'hit'}`}>{one.fits ? 'goes' : 'does not go'}</span>{' '}
            {sentence(one.says)}
          </li>
        ))}
      </ul>
      {told.box && <p class="dim">{told.box}</p>}
    </section>
  );
}

function sentence(text: string): string {
  const ended = text.endsWith('.') ? text : `${text}.`;
  return ended.charAt(0).toUpperCase() + ended.slice(1);
}
