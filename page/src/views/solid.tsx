// One solid of a model: what it is, or why it is no bar, its outline, and whether it is taken.
import type { Solid } from '../api';
import { pick, picked } from '../state/take-off';
import { Picture } from './picture';

const KINDS = { piece: 'piece', joined: 'several bars joined', curve: 'free curve', other: 'no bar' } as const;

export function OneSolid({ solid }: { solid: Solid }) {
  const title = `${solid.index}${solid.name ? ` ${solid.name}` : ''}`;
  const can = solid.kind !== 'other';
  const what = solid.kind === 'joined' && solid.bars.length === 1 ? 'one bar and something else' : KINDS[solid.kind];
  return (
    <label class="solid">
      <input
        type="checkbox"
        checked={picked.value.has(solid.index)}
        disabled={!can}
        onChange={(event) => pick(solid.index, event.currentTarget.checked)}
      />
      <span class="solid-told">
        <strong>{title}</strong> <span class="dim">{what}</span>
        {solid.same_as !== null && <span class="dim">the same as {solid.same_as}</span>}
        {solid.mirror_of !== null && <span class="dim">mirror image of {solid.mirror_of}</span>}
        {solid.bars.map((bar, index) => (
          <span key={index}>
            {[bar.section, bar.length, `${bar.bends} ${bar.bends === 1 ? 'bend' : 'bends'}`, bar.closed && 'closed']
              .filter(Boolean)
              .join(', ')}
          </span>
        ))}
        {solid.reason && <span class="reason">{solid.reason}</span>}
      </span>
      <span class="solid-pictures">
        {solid.bars.map((bar, index) => (
          <Picture key={index} drawn={bar.picture} label={`Outline of solid ${title}`} />
        ))}
      </span>
    </label>
  );
}
