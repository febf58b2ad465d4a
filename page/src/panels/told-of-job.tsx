// What sections that ask the server have in common: asking with every state of the job, what went wrong, what to know.
import { effect } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { components } from '../api.gen';
import { job } from '../state/job';
import { Told } from './findings';

/** Ask now, and again whenever the job is another. */
export function useWithJob(ask: () => unknown): void {
  useEffect(() => {
    let seen = '';
    return effect(() => {
      const sum = `${job.value?.name} ${job.value?.sum}`;
      if (sum === seen || !job.value) return;
      seen = sum;
      void ask();
    });
  }, [ask]);
}

export function Trouble({ says }: { says: string }) {
  return (
    <p class="trouble" role="alert">
      {says}
    </p>
  );
}

/** Findings of a section; nothing where there are none. */
export function ToKnow({
  about,
  findings,
}: {
  about: string;
  findings: readonly components['schemas']['FindingOut'][];
}) {
  if (!findings.length) return null;
  return (
    <section aria-label={`To know about ${about}`}>
      <h3>To know</h3>
      <ol class="findings">
        {findings.map((finding, index) => (
          <li key={index} class={`finding ${finding.level}`}>
            <Told finding={finding} />
          </li>
        ))}
      </ol>
    </section>
  );
}
