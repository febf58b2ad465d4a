// The frame under its load: bars as they bend, in the colours of how far they are used; fixings, payload, motions.
import {
  ArrowHelper,
  Box3,
  BoxGeometry,
  BufferGeometry,
  Color,
  ConeGeometry,
  CylinderGeometry,
  EdgesGeometry,
  Float32BufferAttribute,
  Group,
  Line,
  LineBasicMaterial,
  LineDashedMaterial,
  LineSegments,
  type Material,
  Mesh,
  MeshStandardMaterial,
  type Object3D,
  Sphere,
  SphereGeometry,
  Vector3,
} from 'three';
import type { BarSeen, CarryOut, Heat, Marked } from '../state/carry';
import { tabShape } from './carry-tab';
import type { Tag } from './labels';
import { type Colours, token } from './look';
import { barOf } from './tube';

const HEATS: readonly Heat[] = ['straw', 'brown', 'purple', 'blue', 'hit'];

export class CarryScene {
  readonly group = new Group();
  private readonly bars = new Group();
  private readonly around = new Group();
  private readonly mark = new Mesh(new SphereGeometry(1, 20, 14), new MeshStandardMaterial({ roughness: 0.4 }));
  private readonly round = new MeshStandardMaterial({ vertexColors: true, metalness: 0.1, roughness: 0.5 });
  private readonly flat = new MeshStandardMaterial({ vertexColors: true, flatShading: true, roughness: 0.55 });
  private told: CarryOut | null = null;
  private times = 0;
  private size = 100;
  private marked: Marked | null = null;
  private colours: Colours | null = null;

  constructor() {
    this.group.add(this.bars, this.around, this.mark);
    this.bars.userData.still = true;
    this.mark.visible = false;
  }

  show(told: CarryOut | null, times: number, marked: Marked | null): void {
    this.told = told;
    this.times = times;
    this.marked = marked;
    this.draw();
  }

  paint(colours: Colours): void {
    this.colours = colours;
    this.draw();
  }

  get meshes(): Mesh[] {
    return this.bars.children.filter((one): one is Mesh => one instanceof Mesh);
  }

  ball(): Sphere {
    const box = new Box3().setFromObject(this.bars);
    if (this.told?.payload) box.expandByObject(this.around);
    return box.isEmpty() ? new Sphere(new Vector3(), 200) : box.getBoundingSphere(new Sphere());
  }

  /** The nearest place of a bar that numbers are known of. */
  at(mesh: Object3D, point: Vector3): Marked | null {
    const bar = mesh.userData.bar as BarSeen | undefined;
    if (!bar) return null;
    let best = 0;
    let nearest = Number.POSITIVE_INFINITY;
    bar.places_mm.forEach((_, k) => {
      const away = this.place(bar, k).distanceTo(point);
      if (away < nearest) [nearest, best] = [away, k];
    });
    return { at: bar.places_mm[best] ?? [], says: bar.told[best] ?? bar.name, heat: bar.heats[best] ?? null };
  }

  tags(): Tag[] {
    const told = this.told;
    if (!told) return [];
    const below = new Vector3(0, 0, -0.09 * this.size);
    const found: Tag[] = told.fixings.map((one) => ({
      at: vector(one.at_mm).add(below),
      text: `${one.name}, ${one.held}`,
      look: 'straight',
      weight: 1,
    }));
    if (told.payload) {
      const { centre_mm, says } = told.payload;
      found.push({ at: vector(centre_mm), text: says, look: 'straight', weight: 2 });
    }
    for (const motion of told.motions) {
      const arrow = motion.arrows_mm[0]?.[1];
      if (arrow) found.push({ at: vector(arrow), text: motion.says, look: 'near hit', weight: 50 });
    }
    if (this.marked?.says)
      found.push({
        at: this.markedAt().sub(below),
        text: this.marked.says,
        look: `near ${this.marked.heat ?? ''}`,
        weight: 100,
      });
    return found;
  }

  dispose(): void {
    empty(this.bars);
    empty(this.around);
  }

  private place(bar: BarSeen, k: number): Vector3 {
    return vector(bar.places_mm[k]).addScaledVector(vector(bar.moves_mm[k]), this.times);
  }

  /** The marked place, where the bent bar has it. */
  markedAt(): Vector3 {
    const wanted = vector(this.marked?.at);
    let found = wanted;
    let nearest = Number.POSITIVE_INFINITY;
    for (const bar of this.told?.bars ?? []) {
      bar.places_mm.forEach((place, k) => {
        const away = vector(place).distanceTo(wanted);
        if (away < nearest) [nearest, found] = [away, this.place(bar, k)];
      });
    }
    return found;
  }

  private draw(): void {
    this.dispose();
    const told = this.told;
    const colours = this.colours;
    this.mark.visible = false;
    if (!told || !colours) return;
    const heats = new Map(HEATS.map((heat) => [heat, new Color(heat === 'hit' ? colours.stop : token(heat))]));
    const plain = new Color(colours.bar);
    for (const bar of told.bars) {
      const along = {
        places: bar.places_mm.map((_, k) => this.place(bar, k)),
        wide: bar.wide.map(vector),
        colours: bar.heats.map((heat) => (told.gives.length ? (heats.get(heat) ?? plain) : plain)),
      };
      const shape = barOf(along, [bar.half_mm[0] ?? 1, bar.half_mm[1] ?? 1], bar.is_round);
      const mesh = new Mesh(shape, bar.is_round ? this.round : this.flat);
      mesh.userData.bar = bar;
      this.bars.add(mesh);
    }
    for (const tab of told.tabs) this.bars.add(new Mesh(tabShape(tab, this.times, plain), this.flat));
    this.size = Math.max(40, new Box3().setFromObject(this.bars).getBoundingSphere(new Sphere()).radius);
    const size = this.size;
    this.fixings(told, size, colours);
    this.payload(told, size, colours);
    this.motions(told, size, colours);
    if (this.marked) {
      this.mark.visible = true;
      this.mark.scale.setScalar(size * 0.03);
      this.mark.position.copy(this.markedAt());
      (this.mark.material as MeshStandardMaterial).color.set(colours.chosen);
      for (const line of this.marked.lines ?? []) this.added(line, size * 0.014, colours);
    }
  }

  /** A bar that could be added. */
  private added(line: readonly (readonly number[])[], half: number, colours: Colours): void {
    const [from, to] = [vector(line[0]), vector(line[1])];
    const way = to.clone().sub(from);
    const shape = new CylinderGeometry(half, half, way.length(), 12);
    const mesh = new Mesh(shape, new MeshStandardMaterial({ color: colours.moving, roughness: 0.5 }));
    mesh.position.copy(from.add(to).multiplyScalar(0.5));
    mesh.quaternion.setFromUnitVectors(new Vector3(0, 1, 0), way.normalize());
    this.around.add(mesh);
  }

  private fixings(told: CarryOut, size: number, colours: Colours): void {
    const fill = new MeshStandardMaterial({ color: colours.tool, roughness: 0.7 });
    const side = size * 0.055;
    for (const one of told.fixings) {
      const shape = one.held === 'fixed' ? new BoxGeometry(side, side, side) : new ConeGeometry(side * 0.6, side, 4);
      const mesh = new Mesh(shape, fill);
      if (one.held !== 'fixed') mesh.rotation.x = Math.PI / 2;
      mesh.position.copy(vector(one.at_mm)).add(new Vector3(0, 0, one.held === 'fixed' ? 0 : -side / 2));
      this.around.add(mesh);
    }
  }

  private payload(told: CarryOut, size: number, colours: Colours): void {
    const one = told.payload;
    if (!one) return;
    const line = new LineBasicMaterial({ color: colours.moving });
    const centre = vector(one.centre_mm);
    if (one.size_mm) {
      const [x = 1, y = 1, z = 1] = one.size_mm;
      const box = new LineSegments(new EdgesGeometry(new BoxGeometry(x, y, z)), line);
      box.position.copy(centre);
      this.around.add(box);
    }
    const dot = new Mesh(new SphereGeometry(size * 0.022, 16, 12), new MeshStandardMaterial({ color: colours.moving }));
    dot.position.copy(centre);
    this.around.add(dot, new ArrowHelper(new Vector3(0, 0, -1), centre, size * 0.22, colours.moving));
    for (const strap of one.straps_mm) this.around.add(lineOf(strap.map(vector), line));
  }

  private motions(told: CarryOut, size: number, colours: Colours): void {
    for (const motion of told.motions) {
      if (motion.axis_mm) {
        const dashed = new LineDashedMaterial({ color: colours.stop, dashSize: size * 0.05, gapSize: size * 0.03 });
        const axis = lineOf(motion.axis_mm.map(vector), dashed);
        axis.computeLineDistances();
        this.around.add(axis);
      }
      for (const arrow of motion.arrows_mm) {
        const from = vector(arrow[0]);
        const way = vector(arrow[1]).sub(from);
        this.around.add(new ArrowHelper(way.clone().normalize(), from, way.length(), colours.stop));
      }
    }
  }
}

function lineOf(points: Vector3[], material: Material): Line {
  const shape = new BufferGeometry();
  shape.setAttribute(
    'position',
    new Float32BufferAttribute(
      points.flatMap((one) => one.toArray()),
      3,
    ),
  );
  return new Line(shape, material);
}

function empty(group: Group): void {
  group.traverse((one) => {
    if (one instanceof Mesh || one instanceof Line) one.geometry.dispose();
  });
  group.clear();
}

function vector(told: readonly number[] | undefined): Vector3 {
  return new Vector3(told?.[0] ?? 0, told?.[1] ?? 0, told?.[2] ?? 0);
}
