// Saving papers beside the job. What we made and nobody changed is replaced; for a file of the maker's own we ask.
import { useEffect, useState } from 'preact/hooks';
import { ALL, PAPERS, type PaperKind, type Saved, type Size, said, savePapers } from '../state/papers';
import { Press } from './press';

interface SaveProps {
  name: string;
  kind: PaperKind;
  size: Size;
  folder: string;
}

export function SavePapers({ name, kind, size, folder }: SaveProps) {
  const [saved, setSaved] = useState<Saved | null>(null);
  const [asked, setAsked] = useState<readonly PaperKind[]>([]);
  const [busy, setBusy] = useState(false);
  const [trouble, setTrouble] = useState('');
  useEffect(() => {
    setSaved(null);
    setTrouble('');
  }, [name, size]);
  const save = async (kinds: readonly PaperKind[], replace: readonly string[] = []): Promise<void> => {
    setBusy(true);
    setAsked(kinds);
    setTrouble('');
    try {
      setSaved(await savePapers(name, size, kinds, replace));
    } catch (error) {
      setTrouble(said(error));
    } finally {
      setBusy(false);
    }
  };
  const title = PAPERS.find((one) => one.kind === kind)?.title ?? kind;
  const inTheWay = saved?.in_the_way ?? [];
  return (
    <details class="save">
      <summary>Save beside the job</summary>
      <p class="dim">
        Saved as PDF beside the job, in the folder {folder}. Papers of an older version are replaced; a file of your own
        is not.
      </p>
      <p class="row">
        <Press not={busy} onPress={() => void save(ALL)}>
          Save all papers
        </Press>
        <Press class="plain" not={busy} onPress={() => void save([kind])}>
          Save {title.toLowerCase()} only
        </Press>
      </p>
      <p role="status">{busy ? 'setting and saving …' : saved ? kept(saved) : ''}</p>
      {trouble && <p class="trouble">{trouble}</p>}
      {inTheWay.length > 0 && (
        <div class="refusal" role="alert">
          <p>
            {inTheWay.join(', ')} in {folder} was not made by Bentwork, or was changed since. Nothing was written.
          </p>
          <p class="row">
            <Press not={busy} onPress={() => void save(asked, inTheWay)}>
              Write over {inTheWay.length === 1 ? 'it' : 'them'}
            </Press>
            <button type="button" class="plain" onClick={() => setSaved(null)}>
              Leave {inTheWay.length === 1 ? 'it' : 'them'}
            </button>
          </p>
        </div>
      )}
    </details>
  );
}

function kept({ folder, written, in_the_way }: Saved): string {
  if (in_the_way.length) return '';
  return written.length ? `Saved in ${folder}: ${written.join(', ')}.` : 'There was nothing to save.';
}
