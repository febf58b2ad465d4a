// A section swept along rings: the skin of a bar that keeps its shape, or of the bend that grows.
import { BufferAttribute, BufferGeometry } from 'three';

/** Points and outward normals round a section: x, y, nx, ny. */
export type Outline = readonly (readonly number[])[];

/** Origin, width and height of a section in space: nine numbers a ring. */
export class Sweep {
  readonly geometry = new BufferGeometry();
  private readonly points: Float32Array;
  private readonly normals: Float32Array;
  private readonly size: number;

  constructor(
    private readonly outlines: readonly Outline[],
    private readonly rings: number,
    capped: boolean,
  ) {
    const outer = outlines[0]?.length ?? 0;
    this.size = outer;
    const cap = capped ? outlines.reduce((sum, one) => sum + one.length, 0) : 0;
    this.points = new Float32Array(3 * (rings * outer + cap));
    this.normals = new Float32Array(3 * (rings * outer + cap));
    this.geometry.setAttribute('position', new BufferAttribute(this.points, 3));
    this.geometry.setAttribute('normal', new BufferAttribute(this.normals, 3));
    this.geometry.setIndex([...this.sides(), ...(capped ? this.end() : [])]);
  }

  /** Write the rings; ``told`` holds nine numbers for each. */
  write(told: ArrayLike<number>): void {
    const outer = this.outlines[0] ?? [];
    for (let ring = 0; ring < this.rings; ring += 1) {
      for (let k = 0; k < outer.length; k += 1) this.put(ring * this.size + k, told, ring * 9, outer[k] ?? []);
    }
    this.cap(told, (this.rings - 1) * 9);
    for (const name of ['position', 'normal'] as const) this.geometry.getAttribute(name).needsUpdate = true;
    this.geometry.computeBoundingSphere();
  }

  dispose(): void {
    this.geometry.dispose();
  }

  private put(vertex: number, told: ArrayLike<number>, from: number, point: readonly number[]): void {
    const [x = 0, y = 0, nx = 0, ny = 0] = point;
    for (let axis = 0; axis < 3; axis += 1) {
      const wide = told[from + 3 + axis] ?? 0;
      const high = told[from + 6 + axis] ?? 0;
      this.points[3 * vertex + axis] = (told[from + axis] ?? 0) + x * wide + y * high;
      this.normals[3 * vertex + axis] = nx * wide + ny * high;
    }
  }

  /** The end face: flat, so that it has points of its own. */
  private cap(told: ArrayLike<number>, from: number): void {
    let vertex = this.rings * this.size;
    if (3 * vertex >= this.points.length) return;
    const w = [told[from + 3] ?? 0, told[from + 4] ?? 0, told[from + 5] ?? 0] as const;
    const h = [told[from + 6] ?? 0, told[from + 7] ?? 0, told[from + 8] ?? 0] as const;
    const out = [w[1] * h[2] - w[2] * h[1], w[2] * h[0] - w[0] * h[2], w[0] * h[1] - w[1] * h[0]] as const;
    for (const outline of this.outlines) {
      for (const point of outline) {
        this.put(vertex, told, from, point);
        this.normals.set(out, 3 * vertex);
        vertex += 1;
      }
    }
  }

  private sides(): number[] {
    const found: number[] = [];
    for (let ring = 0; ring + 1 < this.rings; ring += 1) {
      for (let k = 0; k < this.size; k += 1) {
        const a = ring * this.size + k;
        const b = ring * this.size + ((k + 1) % this.size);
        found.push(a, b, b + this.size, a, b + this.size, a + this.size);
      }
    }
    return found;
  }

  private end(): number[] {
    const first = this.rings * this.size;
    const inner = this.outlines[1]?.length ?? 0;
    const found: number[] = [];
    if (inner === 0) {
      for (let k = 1; k + 1 < this.size; k += 1) found.push(first, first + k, first + k + 1);
      return found;
    }
    // Outside and inside may have different counts of points: each quarter is joined in proportion.
    const count = Math.max(this.size, inner);
    const outside = (k: number) => first + (Math.floor((k * this.size) / count) % this.size);
    const inside = (k: number) => first + this.size + (Math.floor((k * inner) / count) % inner);
    for (let k = 0; k < count; k += 1) {
      found.push(outside(k), outside(k + 1), inside(k + 1), outside(k), inside(k + 1), inside(k));
    }
    return found;
  }
}
