// Bender and surroundings as bodies with drawn edges.
import {
  BoxGeometry,
  type BufferGeometry,
  CapsuleGeometry,
  Color,
  CylinderGeometry,
  EdgesGeometry,
  Group,
  LineBasicMaterial,
  LineSegments,
  Matrix4,
  Mesh,
  MeshStandardMaterial,
  Vector3,
} from 'three';
import type { BodySeen } from '../api';
import type { Colours } from './look';

const HIT = 0.6; // how much of the stop colour a body takes on: the bar that runs into it stays to be seen
const MOST = 3000; // mm; a floor reaches further, but nobody needs to see it

export class Bodies {
  readonly groups = { room: new Group(), die: new Group(), arm: new Group() };
  private readonly made: { body: BodySeen; mesh: Mesh; edges: LineSegments; fill: MeshStandardMaterial }[] = [];
  private readonly edge = new LineBasicMaterial();
  private colours: Colours | null = null;

  show(bodies: readonly BodySeen[]): void {
    this.dispose();
    for (const body of bodies) {
      const shape = shapeOf(body);
      const fill = new MeshStandardMaterial({ metalness: 0.05, roughness: 0.75 });
      if (body.sketched || seenThrough(body)) {
        fill.transparent = true;
        fill.opacity = body.sketched ? 0.55 : 0.4;
        fill.depthWrite = false;
      }
      const mesh = new Mesh(shape, fill);
      const edges = new LineSegments(new EdgesGeometry(shape, 30), this.edge);
      const [x, y, z] = body.axes.map((axis) => new Vector3().fromArray(axis));
      const turn = new Matrix4().makeBasis(
        x ?? new Vector3(1, 0, 0),
        y ?? new Vector3(0, 1, 0),
        z ?? new Vector3(0, 0, 1),
      );
      for (const one of [mesh, edges]) {
        one.setRotationFromMatrix(turn);
        one.position.fromArray(body.middle_mm);
      }
      this.groups[body.moves].add(mesh, edges);
      this.made.push({ body, mesh, edges, fill });
    }
    if (this.colours) this.paint(this.colours);
  }

  /** Tell which bodies are hit just now, and whether follower and arm are taken away. */
  tell(hit: ReadonlySet<string>, carried: boolean): void {
    for (const { body, mesh, edges, fill } of this.made) {
      const there = !(carried && body.away);
      mesh.visible = there;
      edges.visible = there;
      fill.color.set(this.own(body));
      if (this.colours && hit.has(body.name)) fill.color.lerp(new Color(this.colours.stop), HIT);
    }
  }

  paint(colours: Colours): void {
    this.colours = colours;
    this.edge.color.set(colours.edge);
    for (const { body, fill } of this.made) fill.color.set(this.own(body));
  }

  dispose(): void {
    for (const { mesh, edges, fill } of this.made) {
      mesh.geometry.dispose();
      edges.geometry.dispose();
      fill.dispose();
    }
    this.made.length = 0;
    for (const group of Object.values(this.groups)) group.clear();
  }

  private own(body: BodySeen): string {
    const colours = this.colours;
    if (!colours) return '#888888';
    if (body.away) return colours.moving;
    if (body.name === 'bench') return colours.bench;
    return body.moves === 'die' || body.name === 'plate' ? colours.tool : colours.room;
  }
}

function seenThrough(body: BodySeen): boolean {
  return (
    body.name === 'arm' ||
    (body.moves === 'room' && !['vise', 'bench', 'plate', 'roller', 'follower'].includes(body.name))
  );
}

function shapeOf(body: BodySeen): BufferGeometry {
  const [a = 1, b = 1, c = 1] = body.half_mm.map((half) => Math.min(half, MOST));
  if (body.shape === 'box') return new BoxGeometry(2 * a, 2 * b, 2 * c);
  const round =
    body.shape === 'cylinder' ? new CylinderGeometry(a, a, 2 * c, 48) : new CapsuleGeometry(a, 2 * c, 8, 32);
  return round.rotateX(Math.PI / 2); // theirs lie along y, ours along z
}
