// The job file itself. What is typed here is kept on this machine until it is saved or thrown away.
import { signal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { job, replaceText } from '../state/job';

const draft = signal<string | null>(null);

function key(name: string): string {
  return `bentwork.draft.${name}`;
}

export function FilePanel() {
  const now = job.value;
  const name = now?.name ?? '';
  useEffect(() => {
    draft.value = name ? localStorage.getItem(key(name)) : null;
  }, [name]);
  if (!now) return null;
  const text = draft.value ?? now.text;
  const type = (typed: string): void => {
    draft.value = typed === now.text ? null : typed;
    if (draft.value === null) localStorage.removeItem(key(name));
    else localStorage.setItem(key(name), typed);
  };
  const save = async (): Promise<void> => {
    if (draft.value !== null && (await replaceText(draft.value))) {
      localStorage.removeItem(key(name));
      draft.value = null;
    }
  };
  return (
    <form
      class="file"
      onSubmit={(event) => {
        event.preventDefault();
        void save();
      }}
    >
      <label for="file-text">{name}.toml</label>
      <textarea
        id="file-text"
        spellcheck={false}
        value={text}
        onInput={(event) => type(event.currentTarget.value)}
        onKeyDown={(event) => {
          if ((event.ctrlKey || event.metaKey) && event.key === 's') {
            event.preventDefault();
            void save();
          }
        }}
      />
      <p class="row">
        <button type="submit" disabled={draft.value === null}>
          Save
        </button>
        <button type="button" class="plain" disabled={draft.value === null} onClick={() => type(now.text)}>
          Throw away what I typed
        </button>
      </p>
    </form>
  );
}
