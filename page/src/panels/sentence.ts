// What the server says in part of a sentence, made a whole one.

/** A capital before it, and a full stop where it has no end of its own. */
export function sentence(text: string): string {
  const ended = /[.:!?]$/.test(text) ? text : `${text}.`;
  return ended.charAt(0).toUpperCase() + ended.slice(1);
}
