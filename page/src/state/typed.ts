// What was typed, as it goes into the file.
const NUMBER = /^[+-]?(\d+\.?\d*|\.\d+)$/;
/** A decimal comma: one, and not followed by three digits, which may be meant as thousands. */
const COMMA = /^([+-]?(?:0|\d*)),(\d+)$/;

/** A number where what was typed is one; the text as it is otherwise, for the server to read or to refuse. */
export function typedValue(text: string): string | number {
  const plain = text.trim().replace(/^[−–]/, '-');
  const [, whole, rest] = COMMA.exec(plain) ?? [];
  const sure = rest !== undefined && (rest.length !== 3 || /^[+-]?0*$/.test(whole ?? ''));
  const number = sure ? `${whole}.${rest}` : plain;
  return NUMBER.test(number) ? Number(number) : text.trim();
}

/** Millimetres of the unit that lengths of a job are in. */
export const MM_OF = { mm: 1, in: 25.4 } as const;

/** A length as a number in the job's units: to a hundredth of a millimetre, a thousandth of an inch. */
export function inUnits(mm: number, units: 'mm' | 'in' = 'mm'): number {
  const least = units === 'in' ? 1000 : 100;
  return Math.round((mm / MM_OF[units]) * least) / least;
}

/** A usual length as the job's units say it: to a hundredth of an inch where these are inches. */
export function usualLength(mm: number, units: 'mm' | 'in'): string {
  return units === 'in' ? `${Number((mm / MM_OF.in).toFixed(2))} in` : `${mm} mm`;
}

/** A number stepped up or down; undefined where what is typed is no plain number. */
export function stepped(text: string, by: number): string | undefined {
  const value = typedValue(text);
  return typeof value === 'number' ? String(Number((value + by).toFixed(6))) : undefined;
}

/** A typed length in the other units; what says its unit itself, or is no number yet, stays as it is. */
export function inOtherUnits(text: string, from: 'mm' | 'in', to: 'mm' | 'in'): string {
  const [, whole, over, under] = /^(?:(\d+)\s+)?(\d+)\/([1-9]\d*)$/.exec(text.trim()) ?? [];
  const value = under === undefined ? typedValue(text) : Number(whole ?? 0) + Number(over) / Number(under);
  return typeof value === 'number' ? String(inUnits(value * MM_OF[from], to)) : text;
}
