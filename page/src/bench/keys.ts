// What is keyed in at the bench: letters of large keys in, a reading out; and whether it is worth a question.

export type Field = 'angle' | 'rotation' | 'off';
export type Key = '0' | '1' | '2' | '3' | '4' | '5' | '6' | '7' | '8' | '9' | '.' | '±' | '⌫' | '/' | ' ';

const LONGEST = 9;

/** Return the text after a key was pressed; a key that makes no sense there changes nothing. */
export function pressed(text: string, key: Key): string {
  const bare = text.replace(/^−/, '');
  if (key === '⌫') return bare.length <= 1 ? '' : text.slice(0, -1);
  if (key === '±') return text.startsWith('−') ? bare : `−${text}`;
  if (bare.length >= LONGEST) return text;
  if (key === '.')
    return /[./]/.test(bare.split(' ').at(-1) ?? '') ? text : `${text}${bare.endsWith(' ') || !bare ? '0' : ''}.`;
  if (key === '/') return /\d$/.test(bare) && !/[./]/.test(bare.split(' ').at(-1) ?? '') ? `${text}/` : text;
  if (key === ' ') return /^\d+$/.test(bare) ? `${text} ` : text;
  return bare === '0' ? text.replace(/0$/, key) : text + key;
}

/** Return the number that an angle or a rotation reads as; null where it is none yet. */
export function reading(text: string): number | null {
  const plain = text.replace('−', '-');
  if (!/^-?\d+(\.\d*)?$/.test(plain)) return null;
  return Number(plain);
}

/** Return the number that a distance reads as: 1, 1.5, 1/16, 1 1/16; null where it cannot be sent yet. */
export function distance(text: string): number | null {
  const found = /^(−?)(?:(\d+(?:\.\d*)?)|(?:(\d+) )?(\d+)\/([1-9]\d*))$/.exec(text);
  if (!found) return null;
  const [, sign, plain, whole, over, under] = found;
  const size = plain ? Number(plain) : Number(whole ?? 0) + Number(over) / Number(under);
  return sign ? -size : size;
}

/** Return the number that a field reads as; null where it is none yet. */
export function numberOf(field: Field, text: string): number | null {
  return field === 'off' ? distance(text) : reading(text);
}

export interface Span {
  least: number;
  most: number;
}

export function isWithin(value: number, span: Span): boolean {
  return value >= span.least && value <= span.most;
}

/** Return what may have been meant where a reading is far from the drawing: slips of fingers and of finders. */
export function meant(text: string, span: Span, field: Field = 'angle'): string[] {
  const sign = text.startsWith('−') ? '−' : '';
  const bare = text.replace(/^−/, '');
  const value = numberOf(field, text);
  if (value === null) return [];
  if (bare.includes('/')) return isWithin(-value, span) ? [sign ? bare : `−${bare}`] : [];
  const found: string[] = [];
  for (let at = 0; at + 1 < bare.length; at += 1) {
    const [a, b] = [bare[at], bare[at + 1]];
    if (a !== '.' && b !== '.' && a !== b) found.push(`${sign}${bare.slice(0, at)}${b}${a}${bare.slice(at + 2)}`);
  }
  if (!bare.includes('.') && bare.length > 1) found.push(`${sign}${bare.slice(0, -1)}.${bare.slice(-1)}`); // a point was missed
  if (field !== 'off') found.push(shown(180 - value)); // read off the other leg of the finder
  found.push(shown(-value));
  const right = found.filter((one) => {
    const number = numberOf(field, one);
    return number !== null && !/^−?0\d/.test(one) && isWithin(number, span);
  });
  return [...new Set(right)].slice(0, 2);
}

function shown(value: number): string {
  return String(Number(value.toFixed(2))).replace('-', '−');
}
