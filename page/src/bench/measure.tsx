// What did you get? Large keys; a reading far from the drawing is asked about, and never refused.
import { useState } from 'preact/hooks';
import type { BenchOut, Card } from '../api';
import { log } from './bar';
import { type Field, isWithin, type Key, meant, numberOf, pressed, reading, type Span } from './keys';
import { Pad, takesKeys, typed } from './pad';

const NAMES: Record<Field, string> = { angle: 'Angle', rotation: 'Rotation', off: 'Off the mark' };
export function MeasureScreen({ now, card, close }: { now: BenchOut; card: Card; close: () => void }) {
  const [field, setField] = useState<Field>('angle');
  const [texts, setTexts] = useState<Record<Field, string>>({ angle: '', rotation: '', off: '' });
  const [asked, setAsked] = useState<Field | null>(null);
  const [right, setRight] = useState<readonly Field[]>([]); // those that were asked about and are right
  const fields: Field[] = card.rotation_deg === null ? ['angle', 'off'] : ['angle', 'rotation', 'off'];
  const text = texts[field];
  const put = (where: Field, to: (was: string) => string) => {
    setTexts((so) => ({ ...so, [where]: to(so[where]) }));
    setRight((so) => so.filter((one) => one !== where));
  };
  const wrong = fields.find((one) => texts[one] !== '' && !isReading(one, texts[one]));
  const why = wrong ? whyNot(wrong, texts[wrong]) : texts.angle ? '' : 'Key in the angle: the rest may stay empty.';
  const ready = texts.angle !== '' && !wrong && Number(reading(texts.angle)) > 0;
  const keep = (sure: boolean) => {
    log(card, Number(reading(texts.angle)), texts.rotation ? reading(texts.rotation) : null, texts.off, sure);
    close();
  };
  const pad = {
    units: now.units,
    isOfUse: (key: Key) => isOfUse(key, field, now),
    press: (key: Key) => put(field, (was) => pressed(was, key)),
  };
  const check = (sure: readonly Field[] = right) => {
    const far = fields.find((one) => !sure.includes(one) && isFar(card, one, texts[one]));
    setRight(sure);
    if (far) setAsked(far);
    else keep(sure.length > 0);
  };
  if (asked) {
    return (
      <Question
        key={asked}
        now={now}
        card={card}
        field={asked}
        text={texts[asked]}
        right={() => check([...right, asked])}
        other={(to) => {
          put(asked, () => to);
          setAsked(null);
        }}
        again={() => {
          setField(asked);
          put(asked, () => '');
          setAsked(null);
        }}
      />
    );
  }
  return (
    <section
      ref={takesKeys}
      tabIndex={-1}
      class="bench-measure"
      aria-label={`Bend ${card.bend}: what did you get?`}
      onKeyDown={(event) => typed(event, { ...pad, keep: () => ready && check(), back: close })}
    >
      <p class="bench-measure-head">
        <b>Bend {card.bend}: what did you get?</b>
      </p>
      <output class="bench-reading" aria-live="polite" aria-label={NAMES[field]}>
        <b class={text.length > 5 ? 'long' : ''}>{text || '–'}</b>
        <span class="bench-beside">
          <span>{unitOf(field, now)}</span>
          <span class="dim">{hintOf(field, card)}</span>
        </span>
      </output>
      <fieldset class="bench-fields" aria-label="What is measured">
        {fields.map((one) => (
          <button
            key={one}
            type="button"
            class={`bench-key ${one === field ? 'on' : 'plain'}`}
            aria-pressed={one === field}
            onClick={() => setField(one)}
          >
            {NAMES[one]}
            {one !== field && texts[one] && <small>{texts[one]}</small>}
          </button>
        ))}
      </fieldset>
      {why && (
        <p class="bench-small bench-why" role="status">
          {why}
        </p>
      )}
      <Pad {...pad} />
      <div class="bench-measure-end">
        <button type="button" class="bench-key plain" onClick={close}>
          Back
        </button>
        <button type="button" class="bench-key go" disabled={!ready} onClick={() => check()}>
          Keep
        </button>
      </div>
    </section>
  );
}

interface Asked {
  now: BenchOut;
  card: Card;
  field: Field;
  text: string;
  right: () => void;
  other: (text: string) => void;
  again: () => void;
}

function Question({ now, card, field, text, right, other, again }: Asked) {
  const perhaps = meant(text, spanOf(card, field), field);
  const told = (one: string) => (field === 'off' ? toldOff(one, now) : `${one}°`);
  return (
    <section ref={takesKeys} tabIndex={-1} class="bench-question" aria-label="Is that right?">
      <h2>{perhaps.length ? `Did you mean ${told(perhaps[0] ?? '')} or ${told(text)}?` : `Is ${told(text)} right?`}</h2>
      <p>
        Bend {card.bend} {drawnAs(card, field)}.
      </p>
      <div class="bench-answers">
        {perhaps.map((one) => (
          <button key={one} type="button" class="bench-key go" onClick={() => other(one)}>
            {told(one)}
          </button>
        ))}
        <button type="button" class={`bench-key go ${perhaps.length ? 'plain' : ''}`} onClick={right}>
          {told(text)} is right
        </button>
        <button type="button" class="bench-key plain" onClick={again}>
          Measure again
        </button>
      </div>
    </section>
  );
}

function isReading(field: Field, text: string): boolean {
  const value = numberOf(field, text);
  return value !== null && (field === 'off' || Math.abs(value) < limit(field));
}

/** Why a reading cannot be kept. */
function whyNot(field: Field, text: string): string {
  if (field === 'off') return `${text} is no length yet.`;
  if (reading(text) === null) return `${text} is no number yet.`;
  return `${NAMES[field]}: ${text}° cannot be; below ${field === 'angle' ? 360 : 180}°.`;
}

function limit(field: Field): number {
  return field === 'angle' ? 360 : 180.0001;
}

function isFar(card: Card, field: Field, text: string): boolean {
  const value = numberOf(field, text);
  return value !== null && !isWithin(value, spanOf(card, field));
}

/** A distance off the mark, with the way that it goes. */
function toldOff(text: string, now: BenchOut): string {
  const end = text.startsWith('−') ? 'A' : 'B';
  return `${text.replace('−', '')} ${now.units} towards end ${end}`;
}

function drawnAs(card: Card, field: Field): string {
  if (field === 'off') return 'should begin on its mark: that is far off it';
  if (field === 'angle') return `is drawn with an angle of ${plain(card.angle_deg)}°`;
  return `is drawn with a rotation of ${plain(card.rotation_deg ?? 0)}°`;
}

function spanOf(card: Card, field: Field): Span {
  if (field === 'off') return { least: card.off_least, most: card.off_most };
  if (field === 'angle') return { least: card.angle_least_deg, most: card.angle_most_deg };
  return { least: card.rotation_least_deg ?? -180, most: card.rotation_most_deg ?? 180 };
}

function isOfUse(key: Key, field: Field, now: BenchOut): boolean {
  if (key === '±') return field !== 'angle';
  if (key === '/' || key === ' ') return field === 'off' && now.units === 'in';
  return true;
}

function unitOf(field: Field, now: BenchOut): string {
  return field === 'off' ? `${now.units} towards end B` : 'degrees';
}

function hintOf(field: Field, card: Card): string {
  if (field === 'angle') return `drawn ${plain(card.angle_deg)}°, let go`;
  if (field === 'rotation')
    return `drawn ${plain(card.rotation_deg ?? 0)}°, against bend ${card.against ?? card.bend - 1}`;
  return '± for towards end A';
}

function plain(value: number): string {
  return String(Number(value.toFixed(1))).replace('-', '−');
}
