// Bar and tool at the bender, at one moment of one step.
import {
  BufferGeometry,
  Group,
  Line,
  LineBasicMaterial,
  Mesh,
  MeshStandardMaterial,
  type Object3D,
  Raycaster,
  Sphere,
  SphereGeometry,
  Vector3,
} from 'three';
import type { MotionOut, StepSeen } from '../api';
import { Bodies } from './bodies';
import type { Tag } from './labels';
import { type Colours, token } from './look';
import { bendRings, between, type Place } from './places';
import { Sweep } from './sweep';

const LEAST_BALL = 130; // mm
const MOST_BALL = 520;
const CLOSE = 95;
const CLOSE_HIT = 190; // to see what runs into what
/** From where the gap is looked at close by; those in front come first. */
const CLOSE_FROM = [
  [-0.3, -0.9, 0.45],
  [0.5, -0.8, 0.4],
  [-0.8, -0.5, 0.4],
  [0, -0.6, 0.9],
  [0.9, 0.1, 0.4],
  [-0.9, 0.3, 0.4],
  [0.3, 0.9, 0.45],
].map(([x, y, z]) => new Vector3(x, y, z).normalize());

export class BenderScene {
  readonly group = new Group();
  readonly bodies = new Bodies();
  private readonly bar = new MeshStandardMaterial({ metalness: 0.15, roughness: 0.5 });
  private readonly barHit = new MeshStandardMaterial({ metalness: 0.1, roughness: 0.5 });
  private readonly sides = { held: new Group(), free: new Group() };
  private readonly all = new Group();
  private readonly mark = new Group();
  private readonly thread = new LineBasicMaterial({ depthTest: false });
  private readonly dot = new MeshStandardMaterial({ depthTest: false });
  private sweeps: Sweep[] = [];
  private bend: Sweep | null = null;
  private step: StepSeen | null = null;
  private colours: Colours | null = null;

  constructor() {
    this.all.add(this.sides.held, this.sides.free);
    this.group.add(this.all, this.mark, ...Object.values(this.bodies.groups));
    this.mark.renderOrder = 10;
  }

  /** Show a step at a place between two of its keys. Returns what is to be written beside the picture. */
  at(motion: MotionOut, step: StepSeen, key: number, share: number): Tag[] {
    if (step !== this.step) this.build(motion, step);
    const here = between(step, key, share);
    const told = step.keys[share > 0.5 ? Math.min(key + 1, step.keys.length - 1) : key];
    if (!here || !told || !this.bend) return [];
    const rings = bendRings(step, here.bar);
    this.bend.write(rings);
    const last = here.bar.length - 3;
    put(this.sides.held, [here.bar[0] ?? 0, here.bar[1] ?? 0, here.bar[2] ?? 0]);
    put(this.sides.free, [here.bar[last] ?? 0, here.bar[last + 1] ?? 0, here.bar[last + 2] ?? 0]);
    this.all.position.fromArray(here.lift);
    put(this.bodies.groups.die, here.die);
    put(this.bodies.groups.arm, here.arm);
    const hits = told.heat === 'hit';
    const carried = told.when === 'put on' || told.when === 'lifted off';
    this.bodies.tell(new Set(hits && step.closest ? [step.closest.body, step.closest.by] : []), carried);
    for (const side of ['held', 'free'] as const) {
      const meets = hits && (step.closest?.by === side || step.closest?.body === 'bar');
      for (const mesh of this.sides[side].children) (mesh as Mesh).material = meets ? this.barHit : this.bar;
    }
    return this.nearest(step, key + share);
  }

  paint(colours: Colours): void {
    this.colours = colours;
    this.bar.color.set(colours.bar);
    this.barHit.color.set(colours.stop);
    this.bodies.paint(colours);
  }

  /** The ball round the two nearest points of the step that is shown, and from where the line between them is seen. */
  closeUp(): { ball: Sphere; from: Vector3 } | null {
    const found = this.step?.closest;
    if (!found) return null;
    const one = new Vector3().fromArray(found.one_mm);
    const other = new Vector3().fromArray(found.other_mm);
    const gap = one.distanceTo(other);
    const across = other.clone().sub(one).normalize();
    const middle = one.clone().lerp(other, 0.5);
    const square = (way: Vector3) => (gap > 0.1 ? 1 - Math.abs(way.dot(across)) : 1);
    const worth = CLOSE_FROM.map((way, k) => square(way) - 0.05 * k - (this.hidden(middle, way) ? 1 : 0));
    const from = CLOSE_FROM[worth.indexOf(Math.max(...worth))] ?? new Vector3(0, -0.7, 0.7);
    return { ball: new Sphere(middle, Math.max(found.heat === 'hit' ? CLOSE_HIT : CLOSE, 3 * gap)), from };
  }

  /** Whether something stands between a point and who looks at it from there. */
  private hidden(point: Vector3, from: Vector3): boolean {
    const things: Object3D[] = [];
    this.group.updateMatrixWorld(true);
    this.group.traverseVisible((thing) => {
      if (thing instanceof Mesh && thing.parent !== this.mark) things.push(thing);
    });
    return new Raycaster(point, from, 1, 500).intersectObjects(things, false).length > 0;
  }

  /** The ball round die and bar, so that the tool stays in sight however long the bar is. */
  ball(motion: MotionOut): Sphere {
    const points: Vector3[] = [new Vector3()];
    for (const step of motion.steps) {
      const bending = step.keys.filter((key) => key.when === 'bending');
      for (const key of [bending[0], bending.at(-1)]) {
        const first = key?.bar[0];
        const last = key?.bar.at(-1);
        if (first) points.push(...ends(step.held_rings, first));
        if (last) points.push(...ends(step.free_rings, last));
      }
    }
    const ball = new Sphere().setFromPoints(points);
    const radius = Math.min(MOST_BALL, Math.max(LEAST_BALL, ball.radius));
    const towards = ball.center.clone().multiplyScalar(Math.min(1, radius / Math.max(ball.radius, 1)) * 0.6);
    return new Sphere(towards, radius);
  }

  dispose(): void {
    this.bodies.dispose();
    this.empty();
  }

  private build(motion: MotionOut, step: StepSeen): void {
    this.empty();
    this.step = step;
    for (const side of ['held', 'free'] as const) {
      const rings = side === 'held' ? step.held_rings : step.free_rings;
      if (rings.length < 2) continue;
      const sweep = new Sweep(motion.outlines, rings.length, true);
      sweep.write(rings.flat());
      this.sweeps.push(sweep);
      this.sides[side].add(new Mesh(sweep.geometry, this.bar));
    }
    this.bend = new Sweep(motion.outlines, step.keys[0]?.bar.length ?? 0, false);
    const mesh = new Mesh(this.bend.geometry, this.bar);
    mesh.frustumCulled = false;
    this.all.add(mesh);
    this.sweeps.push(this.bend);
    this.bodies.show(step.bodies);
  }

  /** The line between the two nearest points, drawn about the moment when they are nearest. */
  private nearest(step: StepSeen, place: number): Tag[] {
    this.mark.clear();
    const found = step.closest;
    if (!found || Math.abs(place - found.key) > 1.5) return [];
    const one = new Vector3().fromArray(found.one_mm);
    const other = new Vector3().fromArray(found.other_mm);
    const colour = found.heat === 'hit' ? (this.colours?.stop ?? 'red') : token(found.heat);
    this.thread.color.set(colour);
    this.dot.color.set(colour);
    this.dot.emissive.set(colour);
    this.mark.add(new Line(new BufferGeometry().setFromPoints([one, other]), this.thread));
    const size = Math.min(3, Math.max(1.6, one.distanceTo(other) / 8));
    for (const point of [one, other]) {
      const ball = new Mesh(new SphereGeometry(size, 16, 12), this.dot);
      ball.position.copy(point);
      ball.renderOrder = 11;
      this.mark.add(ball);
    }
    const words = found.heat === 'hit' ? `${found.gap} into the ${found.body}` : `${found.gap} to the ${found.body}`;
    return [{ at: one.lerp(other, 0.5), text: words, look: `near ${found.heat}`, weight: 100 }];
  }

  private empty(): void {
    for (const sweep of this.sweeps) sweep.dispose();
    this.sweeps = [];
    this.sides.held.clear();
    this.sides.free.clear();
    this.all.clear();
    this.all.add(this.sides.held, this.sides.free);
    this.mark.clear();
    this.step = null;
  }
}

function put(group: Group, [x, y, turn]: Place): void {
  group.position.set(x, y, 0);
  group.rotation.set(0, 0, (turn * Math.PI) / 180);
}

function ends(rings: readonly (readonly number[])[], place: readonly number[]): Vector3[] {
  const turn = ((place[2] ?? 0) * Math.PI) / 180;
  return rings.map(([x = 0, y = 0, z = 0]) =>
    new Vector3(x, y, z).applyAxisAngle(new Vector3(0, 0, 1), turn).add(new Vector3(place[0], place[1], 0)),
  );
}
