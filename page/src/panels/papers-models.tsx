// Files for other programs and machines: made when asked for, one by one or all of a kind in one file.
import { useEffect, useState } from 'preact/hooks';
import { inBytes, MODELS, type ModelKind, type Models, makeModels, modelAddress, said } from '../state/papers';
import { Press } from './press';

export function ModelFiles({ name, job }: { name: string; job: object }) {
  const [made, setMade] = useState<Models | null>(null);
  const [making, setMaking] = useState<ModelKind | null>(null);
  const [trouble, setTrouble] = useState('');
  useEffect(() => {
    setMade(null);
    setTrouble('');
  }, [name, job]);
  const make = async (kind: ModelKind): Promise<void> => {
    setMaking(kind);
    setMade(null);
    setTrouble('');
    try {
      setMade(await makeModels(name, kind));
    } catch (error) {
      setTrouble(said(error));
    } finally {
      setMaking(null);
    }
  };
  return (
    <details class="models">
      <summary>Files for other programs and machines: STEP, DXF, STL and more</summary>
      <ul class="model-kinds">
        {MODELS.map((one) => (
          <li key={one.kind}>
            <Press class="plain" not={making !== null} onPress={() => void make(one.kind)}>
              Make {one.title}
            </Press>
            <span class="dim">{one.about}</span>
          </li>
        ))}
      </ul>
      <p role="status">{making ? `making ${making.toUpperCase()} …` : made ? counted(made) : ''}</p>
      {trouble && <p class="trouble">{trouble}</p>}
      {made && <Made name={name} made={made} />}
    </details>
  );
}

function Made({ name, made }: { name: string; made: Models }) {
  return (
    <div class="made">
      {made.notes.map((note) => (
        <p key={note} class="finding note">
          {note}
        </p>
      ))}
      {made.files.length > 1 && (
        <p>
          <a class="button" href={modelAddress(name, made.kind)} download={made.zip}>
            All in one file, {made.zip}
          </a>
        </p>
      )}
      <ul>
        {made.files.map((file) => (
          <li key={file.name}>
            <a href={modelAddress(name, made.kind, file.name)} download={file.name}>
              {file.name}
            </a>{' '}
            <span class="dim">{inBytes(file.bytes)}</span>
          </li>
        ))}
      </ul>
    </div>
  );
}

function counted({ kind, files }: Models): string {
  if (!files.length) return `No ${kind.toUpperCase()} file can be made of this job.`;
  return files.length === 1 ? '1 file' : `${files.length} files`;
}
