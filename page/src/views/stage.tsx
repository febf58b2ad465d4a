// Where the frame is looked at.
import { effect } from '@preact/signals';
import { useEffect, useRef, useState } from 'preact/hooks';
import { Stage } from '../scene/stage';
import { chosen, showMe } from '../state/chosen';
import { job } from '../state/job';
import { theme } from '../state/theme';

export function StageView() {
  const place = useRef<HTMLDivElement>(null);
  const [trouble, setTrouble] = useState('');
  useEffect(() => {
    const into = place.current;
    if (!into) return undefined;
    let stage: Stage;
    try {
      stage = new Stage(into);
    } catch {
      setTrouble('This browser shows no 3D pictures (WebGL is off). Everything else works.');
      return undefined;
    }
    const ends = [
      effect(() => void stage.show(job.value?.name ?? '', job.value?.scene ?? [])),
      effect(() => stage.choose(chosen.value)),
      effect(() => {
        if (showMe.value) stage.lookAtChosen();
      }),
      effect(() => stage.paint(theme.value)),
    ];
    return () => {
      for (const end of ends) end();
      stage.dispose();
    };
  }, []);
  return (
    <div class="stage" ref={place}>
      {trouble && <p class="trouble">{trouble}</p>}
    </div>
  );
}
