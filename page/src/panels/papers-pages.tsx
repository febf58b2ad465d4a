// Pages of a paper as pictures; those further down come when they are scrolled to. The browser's own printing prints
// them, and nothing else, at their size (look/print.css).
import { useMemo } from 'preact/hooks';
import { type Paper, pageAddress, pdfAddress, type Size } from '../state/papers';

const PX = 96 / 25.4; // of a millimetre

export function PaperPages({ name, paper, size, title }: { name: string; paper: Paper; size: Size; title: string }) {
  const state = useMemo(() => String(Date.now()), [paper]);
  const { kind, pages } = paper;
  return (
    <ol class="pages">
      {pages.map((page, index) => (
        <li
          key={`${kind}-${size}-${state}-${index}`}
          class={page.width_mm > page.height_mm ? `${size} on-its-side` : size}
        >
          <a href={`${pdfAddress(name, kind, size)}#page=${index + 1}`} target="_blank" rel="noreferrer">
            <img
              src={pageAddress(name, kind, index + 1, size, state)}
              width={Math.round(page.width_mm * PX)}
              height={Math.round(page.height_mm * PX)}
              loading={index === 0 ? 'eager' : 'lazy'}
              alt={`${title}, page ${index + 1} of ${pages.length}`}
            />
          </a>
        </li>
      ))}
    </ol>
  );
}
