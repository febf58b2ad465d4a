// What the stage shows of a frame under its load: which case, how much larger its bending is drawn, what the colours say.
import * as carry from '../state/carry';
import '../look/carry.css';

const SCALE: readonly (readonly [carry.Heat, string])[] = [
  ['straw', 'to 40 %'],
  ['brown', 'to 65 %'],
  ['purple', 'to 85 %'],
  ['blue', 'to 100 %'],
  ['hit', 'over'],
];

export function CarryWords() {
  const told = carry.told.value;
  if (!told?.asked) return null;
  if (told.motions.length)
    return (
      <div class="load-words">
        <p class="load-case">This frame can move</p>
        {told.motions.map((motion) => (
          <p key={motion.says}>{motion.says}: see the arrows</p>
        ))}
      </div>
    );
  if (told.enough === null && !told.gives.length) return null;
  const times = carry.times.value;
  return (
    <div class="load-words">
      <p class="load-case">{told.cases[told.case]?.name}</p>
      <p>{times ? `its bending drawn ${times} times as large` : 'drawn as it stands'}</p>
      <ul class="load-scale" aria-label="Colours: share of the strength that is used, safety counted in">
        {SCALE.map(([heat, words]) => (
          <li key={heat} class={`heat ${heat}`}>
            {words}
          </li>
        ))}
      </ul>
    </div>
  );
}
