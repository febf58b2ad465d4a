// A file let fall anywhere on the page. Not looked after, the browser would leave the page and open the file itself.
import { useEffect } from 'preact/hooks';
import { dropped, held } from '../state/take-off';

/** A file that is let fall waits in `dropped` until a take-off takes it. */
export function useDropped(): void {
  useEffect(() => {
    const over = (event: DragEvent): void => {
      if (!event.dataTransfer?.types.includes('Files')) return;
      event.preventDefault();
      held.value = true;
    };
    const gone = (event: DragEvent): void => {
      if (!event.relatedTarget) held.value = false;
    };
    const drop = (event: DragEvent): void => {
      held.value = false;
      const file = event.dataTransfer?.files[0];
      if (!file) return;
      event.preventDefault();
      dropped.value = file;
    };
    addEventListener('dragover', over);
    addEventListener('dragleave', gone);
    addEventListener('drop', drop);
    return () => {
      removeEventListener('dragover', over);
      removeEventListener('dragleave', gone);
      removeEventListener('drop', drop);
    };
  }, []);
}
