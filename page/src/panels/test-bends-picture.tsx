// Springback over the angle that is left: the maker's points, what is known since, the handbook behind it.
import type { Picture } from '../state/test-bends';
import { type Axis, axis } from './axis';

const WIDE = 440;
const HIGH = 310;
const LEFT = 44;
const RIGHT = 20;
const TOP = 14;
const LOW = 44;

type Band = Picture['now'][number];

export function PullPicture({ picture, title }: { picture: Picture; title: string }) {
  const { now, handbook, points } = picture;
  const across = axis([...now.map((one) => one.angle_deg), ...points.map((one) => one.angle_deg)], LEFT, WIDE - RIGHT);
  const upward = axis(
    [...now, ...handbook, ...picture.job].flatMap((one) => [one.least_deg, one.most_deg]).concat(springbacks(picture)),
    HIGH - LOW,
    TOP,
  );
  const learnt = points.some((one) => one.counts);
  return (
    <figure class="pull-picture">
      <svg viewBox={`0 0 ${WIDE} ${HIGH}`} role="img" aria-label={inWords(picture, title)}>
        <Scales across={across} upward={upward} />
        <path class="band handbook" d={outline(handbook, across, upward)} />
        {learnt && <path class="band now" d={outline(now, across, upward)} />}
        <path class={learnt ? 'line now' : 'line handbook'} d={line(now, across, upward)} />
        {picture.job.length > 0 && <path class="line job" d={line(picture.job, across, upward)} />}
        {points.map((one) => {
          const x = across.place(one.angle_deg);
          const y = upward.place(one.springback_deg);
          return one.counts ? (
            <circle key={one.number} class="point" cx={x} cy={y} r={4.5} />
          ) : (
            <path key={one.number} class="point out" d={`M${x - 5} ${y - 5}l10 10m0 -10l-10 10`} />
          );
        })}
        {points.map((one) => {
          const x = across.place(one.angle_deg);
          const outside = x > WIDE - RIGHT - 24;
          return (
            <text
              key={one.number}
              class="number"
              x={outside ? x - 8 : x + 8}
              y={upward.place(one.springback_deg) - 7}
              text-anchor={outside ? 'end' : 'start'}
            >
              {one.number}
            </text>
          );
        })}
      </svg>
      <figcaption>
        <ul class="key">
          <li>
            <Swatch kind="handbook" /> the handbook alone, 9 in 10
          </li>
          {learnt && (
            <li>
              <Swatch kind="now" /> with your test bends, 9 in 10
            </li>
          )}
          {picture.job.length > 0 && (
            <li>
              <Swatch kind="job" /> as the job itself says
            </li>
          )}
          {learnt && (
            <li>
              <Dot /> your test bends
            </li>
          )}
          {points.some((one) => !one.counts) && (
            <li>
              <Cross /> left out
            </li>
          )}
        </ul>
        <AsTable picture={picture} title={title} />
      </figcaption>
    </figure>
  );
}

function Scales({ across, upward }: { across: Axis; upward: Axis }) {
  return (
    <g class="scales">
      {across.ticks.map((tick) => (
        <g key={tick}>
          <path d={`M${across.place(tick)} ${TOP}V${HIGH - LOW}`} />
          <text x={across.place(tick)} y={HIGH - LOW + 17} text-anchor="middle">
            {tick}°
          </text>
        </g>
      ))}
      {upward.ticks.map((tick) => (
        <g key={tick}>
          <path class={tick === 0 ? 'zero' : ''} d={`M${LEFT} ${upward.place(tick)}H${WIDE - RIGHT}`} />
          <text x={LEFT - 6} y={upward.place(tick) + 5} text-anchor="end">
            {tick}°
          </text>
        </g>
      ))}
      <text x={(LEFT + WIDE - RIGHT) / 2} y={HIGH - 6} text-anchor="middle">
        angle that is left
      </text>
      <text class="over" x={LEFT + 6} y={TOP + 13}>
        springs back by
      </text>
    </g>
  );
}

function AsTable({ picture, title }: { picture: Picture; title: string }) {
  const rows = picture.now.filter((one) => one.angle_deg % 15 === 0);
  return (
    <details>
      <summary>The picture as a table</summary>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: on a narrow screen it is scrolled, by keyboard too */}
      <section class="wide" aria-label={`Springback of ${title} by angle`} tabIndex={0}>
        <table>
          <thead>
            <tr>
              <th scope="col">angle left</th>
              <th scope="col">springs back by</th>
              <th scope="col">9 in 10</th>
              <th scope="col">handbook, 9 in 10</th>
            </tr>
          </thead>
          <tbody>
            {rows.map((one) => {
              const book = picture.handbook.find((other) => other.angle_deg === one.angle_deg);
              return (
                <tr key={one.angle_deg}>
                  <th scope="row">{one.angle_deg}°</th>
                  <td>{deg(one.likely_deg)}</td>
                  <td>{range(one)}</td>
                  <td>{book ? range(book) : ''}</td>
                </tr>
              );
            })}
          </tbody>
        </table>
      </section>
    </details>
  );
}

function Swatch({ kind }: { kind: 'handbook' | 'now' | 'job' }) {
  return (
    <svg viewBox="0 0 28 16" width="28" height="16" aria-hidden="true">
      {kind !== 'job' && <path class={`band ${kind}`} d="M1 3H27V13H1Z" />}
      <path class={`line ${kind}`} d="M1 8H27" />
    </svg>
  );
}

function Dot() {
  return (
    <svg viewBox="0 0 28 16" width="28" height="16" aria-hidden="true">
      <circle class="point" cx="14" cy="8" r="4.5" />
    </svg>
  );
}

function Cross() {
  return (
    <svg viewBox="0 0 28 16" width="28" height="16" aria-hidden="true">
      <path class="point out" d="M9 3l10 10m0 -10l-10 10" />
    </svg>
  );
}

function springbacks(picture: Picture): number[] {
  return picture.points.map((one) => one.springback_deg);
}

function line(band: readonly Band[], across: Axis, upward: Axis): string {
  return `M${band.map((one) => spot(one.angle_deg, one.likely_deg, across, upward)).join('L')}`;
}

function outline(band: readonly Band[], across: Axis, upward: Axis): string {
  const above = band.map((one) => spot(one.angle_deg, one.most_deg, across, upward));
  const below = band.map((one) => spot(one.angle_deg, one.least_deg, across, upward)).reverse();
  return `M${[...above, ...below].join('L')}Z`;
}

function spot(angle: number, springback: number, across: Axis, upward: Axis): string {
  return `${across.place(angle).toFixed(1)} ${upward.place(springback).toFixed(1)}`;
}

function deg(value: number): string {
  return `${value.toFixed(1)}°`;
}

function range(band: Band): string {
  return `${deg(band.least_deg)} to ${deg(band.most_deg)}`;
}

function inWords(picture: Picture, title: string): string {
  const right = picture.now.find((one) => one.angle_deg === 90);
  const at = right ? ` At 90° it springs back by ${deg(right.likely_deg)}, nine times in ten ${range(right)}.` : '';
  return `Springback of ${title} over the angle that is left.${at} The table below says the same.`;
}
