import { afterEach, describe, expect, it } from 'vitest';
import { job } from '../src/state/job';
import { finishChange } from '../src/state/weld-finish';

/** A job with this [finish], as far as these changes look at it. */
function withFinish(finish: unknown): void {
  job.value = { data: finish === undefined ? {} : { finish } } as unknown as typeof job.value;
}

afterEach(() => {
  job.value = null;
});

describe('a change of the finish', () => {
  it('is the same where there is no table: the server makes it', () => {
    withFinish(undefined);
    expect(finishChange('system', 'powder')).toMatchObject([{ path: ['finish', 'system'], value: 'powder' }]);
  });

  it('changes the key where the table stands', () => {
    withFinish({ system: 'paint' });
    expect(finishChange('system', 'powder')).toMatchObject([{ path: ['finish', 'system'], value: 'powder' }]);
  });

  it('takes a key out when it is emptied, and nothing where it is not there', () => {
    withFinish({ colour: 'grey' });
    expect(finishChange('colour', undefined)).toMatchObject([{ path: ['finish', 'colour'], how: 'remove' }]);
    expect(finishChange('two_pack', undefined)).toEqual([]);
    withFinish(undefined);
    expect(finishChange('colour', '')).toEqual([]);
  });
});
