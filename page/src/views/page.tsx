import { Bench } from '../bench/bench';
import { address } from '../state/address';
import { JobView } from './job';
import { Jobs } from './jobs';

export function Page() {
  const at = address.value;
  if (at.at === 'job') return <JobView key={at.job} name={at.job} section={at.section} />;
  if (at.at === 'bench') return <Bench at={at} />;
  return <Jobs />;
}
