// Room that the frame must leave, as lines round it.
import { BufferGeometry, Float32BufferAttribute, LineBasicMaterial, LineSegments } from 'three';
import type { Colours } from './look';

type Places = readonly (readonly number[])[];

export class KeepOuts {
  readonly lines = new LineSegments(new BufferGeometry(), new LineBasicMaterial());

  show(rows: readonly Places[]): void {
    this.lines.geometry.dispose();
    this.lines.geometry = new BufferGeometry();
    this.lines.geometry.setAttribute('position', new Float32BufferAttribute(segments(rows), 3));
    this.lines.visible = rows.length > 0;
  }

  paint(colours: Colours): void {
    this.lines.material.color.set(colours.stop);
  }

  dispose(): void {
    this.lines.geometry.dispose();
    this.lines.material.dispose();
  }
}

/** Rows of places as single lines, end after end. */
export function segments(rows: readonly Places[]): number[] {
  return rows.flatMap((row) => row.slice(1).flatMap((place, k) => [...(row[k] ?? []), ...place]));
}
