// The proof load: what to put where, what to measure, when to reject.
import type { CarryOut } from '../state/carry';

export function CarryProof({ proof }: { proof: NonNullable<CarryOut['proof']> }) {
  return (
    <section class="proof" aria-label="Proof load">
      <h3>Prove it before it is trusted</h3>
      <ul class="cautions">
        {proof.cautions.map((one) => (
          <li key={one}>{one}</li>
        ))}
      </ul>
      <ol class="plain-list">
        <li>Measure, without the load, the places named below.</li>
        <li>Put on {proof.load}</li>
        {proof.shortfall && <li class="watch">{proof.shortfall}</li>}
        <li>
          Measure again, under the load:
          <ul>
            {proof.readings.map((one) => (
              <li key={one}>{one}</li>
            ))}
          </ul>
        </li>
        {proof.sideways && <li>{proof.sideways}</li>}
        <li>Take it off and measure again. Look for cracks and dents at {proof.look_at.join('; ')}.</li>
      </ol>
      <p>
        <b>Reject it when</b> {proof.rejects.join('; or when ')}.
      </p>
    </section>
  );
}
