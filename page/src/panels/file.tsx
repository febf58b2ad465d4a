// The job file itself, also one that is wrong. What is typed here is kept until it is saved or thrown away.
import { useEffect, useRef } from 'preact/hooks';
import { address } from '../state/address';
import {
  before,
  broken,
  draft,
  forget,
  lookAtBroken,
  mend,
  placeOfLine,
  readDraft,
  type,
  wantedLine,
} from '../state/file';
import { job, replaceText } from '../state/job';

const LOOK_EVERY = 1500; // ms

export function FilePanel() {
  const at = address.value;
  const name = at.at === 'job' ? at.job : '';
  const now = job.value?.name === name ? job.value : null;
  const place = useRef<HTMLTextAreaElement>(null);
  useEffect(() => readDraft(name), [name]);
  useEffect(() => {
    if (now || !name) return undefined;
    void lookAtBroken(name);
    const timer = setInterval(() => void lookAtBroken(name), LOOK_EVERY);
    return () => clearInterval(timer);
  }, [now === null, name]);
  const stands = now?.text ?? (broken.value?.name === name ? broken.value.text : null);
  const wanted = wantedLine.value;
  useEffect(() => {
    if (wanted && place.current) select(place.current, wanted.line);
  }, [wanted, stands === null]);
  useEffect(() => {
    if (draft.value !== null && draft.value === stands) forget(name); // put over the other's by the maker's own word
  }, [stands]);
  if (stands === null) return null;
  const text = draft.value ?? stands;
  const save = async (): Promise<void> => {
    const typed = draft.value;
    if (typed !== null && (await (now ? replaceText(typed, before(name)) : mend(typed)))) forget(name);
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
        ref={place}
        spellcheck={false}
        autocapitalize="off"
        value={text}
        onInput={(event) => type(name, event.currentTarget.value, stands)}
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
        <button type="button" class="plain" disabled={draft.value === null} onClick={() => forget(name)}>
          Throw away what I typed
        </button>
      </p>
    </form>
  );
}

/** Select a line and bring it to the middle of what is seen. */
function select(text: HTMLTextAreaElement, line: number): void {
  const [start, end] = placeOfLine(text.value, line);
  text.focus();
  text.setSelectionRange(start, end);
  const height = Number.parseFloat(getComputedStyle(text).lineHeight);
  text.scrollTop = Math.max(0, (line - 0.5) * height - text.clientHeight / 2);
}
