// The strip along the top: where one is, what can be undone, day or workshop light.
import type { ComponentChildren } from 'preact';
import '../look/print.css';
import { theme, turnTheme } from '../state/theme';

export function Top({ title, children }: { title: string; children?: ComponentChildren }) {
  const dark = theme.value === 'plate';
  return (
    <header class="top">
      <a class="mark" href="/" aria-label="Bentwork, all jobs">
        <Mark />
        <span>Bentwork</span>
      </a>
      {title && <h1 class="top-title">{title}</h1>}
      <div class="top-tools">
        {children}
        <button type="button" class="plain" onClick={turnTheme} aria-label={dark ? 'Light page' : 'Dark page'}>
          {dark ? '☀' : '☾'}
        </button>
      </div>
    </header>
  );
}

function Mark() {
  return (
    <svg viewBox="0 0 32 32" width="26" height="26" aria-hidden="true">
      <path d="M4 26h9a11 11 0 0 0 11-11V4" fill="none" stroke="currentColor" stroke-width="5" />
      <path d="M14 20v11" stroke="var(--straw)" stroke-width="2" />
    </svg>
  );
}
