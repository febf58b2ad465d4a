// The bar from its held end, as the person at the lever stands to it: where the scribed line is, and how to roll there.
import type { EndViewOut } from '../api';

const BAR = 58; // radius in the picture
const ARC = 80;

export function EndView({ view, says }: { view: EndViewOut; says: string }) {
  const rolls = view.line_was !== null && Math.abs(view.roll) > 0.05;
  return (
    <svg class="bench-end-view" viewBox="-190 -118 380 240" role="img" aria-label={says}>
      <text x="0" y="-92" class="way">
        up
      </text>
      <text x="0" y="116" class="way">
        down
      </text>
      <text x="-104" y="10" class="way left">
        away
      </text>
      <text x="104" y="10" class="way right">
        you
      </text>
      <g transform={`rotate(${view.line_at})`}>
        <Section view={view} />
        <path d={`M0 ${-half(view)}L-17 ${-half(view) - 24}H17z`} class="bench-line-now" />
        <line x1="0" y1={-half(view)} x2="0" y2="0" class="bench-line-now-stroke" />
      </g>
      {rolls && view.line_was !== null && (
        <>
          <g transform={`rotate(${view.line_was})`}>
            <line x1="0" y1={-half(view) - 24} x2="0" y2="0" class="bench-line-was" />
          </g>
          <path d={arc(view.line_was, view.roll)} class="bench-roll" />
          <path d="M0 -15L26 0L0 15z" class="bench-roll-tip" transform={tip(view.line_was + view.roll, view.roll)} />
        </>
      )}
    </svg>
  );
}

function Section({ view }: { view: EndViewOut }) {
  const hollow = view.kind === 'tube' || view.kind === 'square-tube';
  if (view.kind === 'round' || view.kind === 'tube') {
    return (
      <>
        <circle r={BAR} class="bar" />
        {hollow && <circle r={BAR * 0.72} class="hollow" />}
      </>
    );
  }
  const [depth, breadth] = [half(view), half(view) * (view.breadth / view.depth)];
  return (
    <>
      <rect x={-breadth} y={-depth} width={2 * breadth} height={2 * depth} class="bar" />
      {hollow && (
        <rect x={-0.72 * breadth} y={-0.72 * depth} width={1.44 * breadth} height={1.44 * depth} class="hollow" />
      )}
    </>
  );
}

/** Half of the bar's depth in the picture; its larger side fills the field. */
function half(view: EndViewOut): number {
  const larger = Math.max(view.depth, view.breadth);
  return larger > 0 ? Math.max(8, (BAR * view.depth) / larger) : BAR;
}

function at(clock: number, radius: number): string {
  const turn = (clock * Math.PI) / 180;
  return `${(radius * Math.sin(turn)).toFixed(1)} ${(-radius * Math.cos(turn)).toFixed(1)}`;
}

/** An arc clockwise from one place on the clock; it ends a little short, where the arrow's head begins. */
function arc(from: number, by: number): string {
  const short = by - Math.sign(by) * Math.min(14, Math.abs(by) / 2);
  const [large, clockwise] = [Math.abs(short) > 180 ? 1 : 0, by > 0 ? 1 : 0];
  return `M${at(from, ARC)}A${ARC} ${ARC} 0 ${large} ${clockwise} ${at(from + short, ARC)}`;
}

function tip(clock: number, by: number): string {
  const back = clock - Math.sign(by) * 16;
  const heading = back + (by > 0 ? 0 : 180);
  return `translate(${at(back, ARC).replace(' ', ',')}) rotate(${heading})`;
}
