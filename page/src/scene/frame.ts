// The frame: every body where it stands, the one that is chosen, and its dimensions.
import { Box3, BufferGeometry, Group, Mesh, MeshStandardMaterial, Sphere, Vector3 } from 'three';
import type { Run, SceneBody } from '../api';
import type { Chosen } from '../state/chosen';
import type { Tag } from './labels';
import type { Colours } from './look';
import { geometry } from './meshes';
import { nearestRun } from './runs';

interface Shown {
  body: SceneBody;
  meshes: Mesh[];
}

export class Frame {
  readonly group = new Group();
  private readonly bar = new MeshStandardMaterial({ vertexColors: true, metalness: 0.15, roughness: 0.55 });
  private readonly opposite = new MeshStandardMaterial({ vertexColors: true, metalness: 0.15, roughness: 0.55 });
  private readonly barChosen = new MeshStandardMaterial({ vertexColors: true, metalness: 0.1, roughness: 0.5 });
  private readonly run = new MeshStandardMaterial({
    metalness: 0.1,
    roughness: 0.45,
    polygonOffset: true,
    polygonOffsetFactor: -2,
    polygonOffsetUnits: -2,
  });
  private readonly marked = new Group();
  private shown: Shown[] = [];
  private turn = 0;

  constructor() {
    this.group.add(this.marked);
    this.group.userData.still = true;
  }

  /** Show the bodies of a job; false when newer ones came meanwhile. */
  async show(bodies: readonly SceneBody[]): Promise<boolean> {
    this.turn += 1;
    const own = this.turn;
    const made = await Promise.all(bodies.filter((body) => body.mesh).map((body) => this.made(body)));
    if (own !== this.turn) return false;
    this.group.clear();
    this.shown = made;
    for (const one of made) for (const mesh of one.meshes) this.group.add(mesh);
    this.group.add(this.marked);
    return true;
  }

  get meshes(): Mesh[] {
    return this.shown.flatMap((one) => one.meshes);
  }

  choose(chosen: Chosen | null): void {
    for (const geometryOfRun of this.marked.children) (geometryOfRun as Mesh).geometry.dispose();
    this.marked.clear();
    for (const { body, meshes } of this.shown) {
      const is = chosen?.piece === body.piece && chosen.asDrawn === body.as_drawn;
      for (const mesh of meshes) {
        mesh.material = is && !chosen.run ? this.barChosen : body.as_drawn ? this.bar : this.opposite;
        if (is && chosen.run) this.mark(body, mesh, chosen.run);
      }
    }
  }

  /** What a chosen body measures, told at its runs. */
  tags(chosen: Chosen | null): Tag[] {
    const own = this.of(chosen);
    const first = own?.meshes[0];
    if (!own || !first) return [];
    const lengths = own.body.runs.map((run) => run.points_mm.length);
    const most = Math.max(...lengths, 1);
    return own.body.runs.map((run) => {
      const is = chosen?.run?.kind === run.kind && chosen.run.number === run.number;
      const words = run.kind === 'bend' ? `${run.number}: ${run.text}` : run.text;
      const look = `${run.kind}${is ? ' is' : ''}`;
      return {
        at: middle(run).add(first.position),
        text: words,
        look,
        weight: (is ? 10 : 0) + run.points_mm.length / most,
      };
    });
  }

  /** The ball round everything, or round what is chosen: its run, or the whole piece. */
  ball(chosen: Chosen | null): Sphere {
    const own = this.of(chosen);
    const first = own?.meshes[0];
    if (own && first && chosen?.run) {
      const run = own.body.runs.find((one) => one.kind === chosen.run?.kind && one.number === chosen.run.number);
      const whole = new Box3().expandByObject(first).getBoundingSphere(new Sphere());
      if (run) {
        const ball = new Box3().setFromPoints(run.points_mm.map(vector)).getBoundingSphere(new Sphere());
        ball.center.add(first.position);
        ball.radius = Math.max(ball.radius * 1.7, whole.radius * 0.35);
        return ball;
      }
    }
    const box = new Box3();
    for (const mesh of own?.meshes ?? this.meshes) box.expandByObject(mesh);
    return box.isEmpty() ? new Sphere(new Vector3(), 200) : box.getBoundingSphere(new Sphere());
  }

  /** The body and run that a place on a mesh belongs to. */
  at(mesh: Mesh, point: Vector3): Chosen {
    const body = mesh.userData.body as SceneBody;
    const place = point.clone().sub(mesh.position);
    const run = nearestRun(body.runs, [place.x, place.y, place.z]);
    return { piece: body.piece, asDrawn: body.as_drawn, run: run && { kind: run.kind, number: run.number } };
  }

  paint(colours: Colours): void {
    this.bar.color.set(colours.bar);
    this.opposite.color.set(colours.opposite);
    this.barChosen.color.set(colours.chosen);
    this.run.color.set(colours.chosen);
  }

  private of(chosen: Chosen | null): Shown | undefined {
    return this.shown.find((one) => one.body.piece === chosen?.piece && one.body.as_drawn === chosen.asDrawn);
  }

  private async made(body: SceneBody): Promise<Shown> {
    const shape = await geometry(body.mesh);
    const meshes = body.copies.map((copy) => {
      const mesh = new Mesh(shape, this.bar);
      mesh.position.fromArray(copy.shift_mm);
      mesh.userData.body = body;
      return mesh;
    });
    return { body, meshes };
  }

  /** Lay the triangles of one run over a body: the same points, fewer triangles. */
  private mark(body: SceneBody, mesh: Mesh, run: NonNullable<Chosen['run']>): void {
    const shape = new BufferGeometry();
    for (const name of ['position', 'normal']) shape.setAttribute(name, mesh.geometry.getAttribute(name));
    shape.setIndex(trianglesOf(mesh.geometry, body.runs, run));
    const over = new Mesh(shape, this.run);
    over.position.copy(mesh.position);
    this.marked.add(over);
  }
}

function trianglesOf(shape: BufferGeometry, runs: readonly Run[], wanted: NonNullable<Chosen['run']>): number[] {
  const index = shape.getIndex();
  const points = shape.getAttribute('position');
  const found: number[] = [];
  for (let i = 0; index && i < index.count; i += 3) {
    const corners = [index.getX(i), index.getX(i + 1), index.getX(i + 2)] as const;
    const sum = (axis: 'getX' | 'getY' | 'getZ') => corners.reduce((all, k) => all + points[axis](k), 0) / 3;
    const run = nearestRun(runs, [sum('getX'), sum('getY'), sum('getZ')]);
    if (run?.kind === wanted.kind && run.number === wanted.number) found.push(...corners);
  }
  return found;
}

function vector(told: readonly number[]): Vector3 {
  return new Vector3(told[0], told[1], told[2]);
}

function middle(run: Run): Vector3 {
  const points = run.points_mm.map(vector);
  const half = (points.length - 1) / 2;
  const a = points[Math.floor(half)] ?? new Vector3();
  return a.clone().lerp(points[Math.ceil(half)] ?? a, 0.5);
}
