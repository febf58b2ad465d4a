// The frame in space. It is drawn only when something changed, so that it costs nothing while one reads.
import {
  Box3,
  Color,
  DirectionalLight,
  Group,
  HemisphereLight,
  Mesh,
  MeshStandardMaterial,
  PerspectiveCamera,
  Raycaster,
  Scene,
  Sphere,
  Vector2,
  Vector3,
  WebGLRenderer,
} from 'three';
import { OrbitControls } from 'three/addons/controls/OrbitControls.js';
import type { SceneBody } from '../api';
import { type Chosen, choose } from '../state/chosen';
import type { Theme } from '../state/theme';
import { geometry } from './meshes';
import { nearestRun } from './runs';

const FIELD = 32; // degrees
const FROM = new Vector3(-0.55, -1, 0.62).normalize();

interface Shown {
  body: SceneBody;
  meshes: Mesh[];
}

const COLOURS: Record<Theme, { bar: string; chosen: string; sky: string; ground: string }> = {
  plate: { bar: '#b9bfc2', chosen: '#e8c96a', sky: '#eef3f5', ground: '#3a3f42' },
  paper: { bar: '#8d9498', chosen: '#a4570d', sky: '#ffffff', ground: '#9c978a' },
};

export class Stage {
  private readonly renderer: WebGLRenderer;
  private readonly scene = new Scene();
  private readonly camera = new PerspectiveCamera(FIELD, 1, 1, 1e5);
  private readonly controls: OrbitControls;
  private readonly frame = new Group();
  private readonly bar = new MeshStandardMaterial({ metalness: 0.15, roughness: 0.55 });
  private readonly barChosen = new MeshStandardMaterial({ metalness: 0.1, roughness: 0.5 });
  private readonly sky = new HemisphereLight(0xffffff, 0x444444, 1.7);
  private readonly sun = new DirectionalLight(0xffffff, 1.9);
  private readonly watch: ResizeObserver;
  private shown: Shown[] = [];
  private chosen: Chosen | null = null;
  private job = '';
  private turn = 0;
  private asked = false;

  constructor(private readonly place: HTMLElement) {
    this.renderer = new WebGLRenderer({ antialias: true, alpha: true });
    this.renderer.setPixelRatio(Math.min(devicePixelRatio, 2));
    const canvas = this.renderer.domElement;
    canvas.tabIndex = 0;
    canvas.setAttribute('role', 'img');
    canvas.setAttribute('aria-label', 'The frame. Drag to turn it, or use the arrow keys.');
    place.prepend(canvas);
    this.camera.up.set(0, 0, 1);
    this.scene.add(this.frame, this.sky, this.sun);
    this.controls = new OrbitControls(this.camera, canvas);
    this.controls.enableDamping = false;
    this.controls.zoomToCursor = true;
    this.controls.addEventListener('change', () => this.draw());
    this.watch = new ResizeObserver(() => this.fit());
    this.watch.observe(place);
    this.listen(canvas);
    this.fit();
  }

  /** Show the bodies of a job; the camera stays unless it is another job. */
  async show(job: string, bodies: readonly SceneBody[]): Promise<void> {
    this.turn += 1;
    const own = this.turn;
    const made = await Promise.all(bodies.filter((body) => body.mesh).map((body) => this.made(body)));
    if (own !== this.turn) return;
    this.frame.clear();
    this.shown = made;
    for (const one of made) this.frame.add(...one.meshes);
    this.choose(this.chosen);
    if (job !== this.job) {
      this.job = job;
      this.lookAt(this.bounds(this.shown), FROM);
    }
    this.draw();
  }

  choose(chosen: Chosen | null): void {
    this.chosen = chosen;
    for (const { body, meshes } of this.shown) {
      const is = chosen?.piece === body.piece && chosen.asDrawn === body.as_drawn;
      for (const mesh of meshes) mesh.material = is ? this.barChosen : this.bar;
    }
    this.draw();
  }

  lookAtChosen(): void {
    const own = this.shown.filter((one) => one.body.piece === this.chosen?.piece);
    if (own.length) this.lookAt(this.bounds(own), this.direction());
  }

  paint(theme: Theme): void {
    const colours = COLOURS[theme];
    this.bar.color = new Color(colours.bar);
    this.barChosen.color = new Color(colours.chosen);
    this.sky.color = new Color(colours.sky);
    this.sky.groundColor = new Color(colours.ground);
    this.draw();
  }

  dispose(): void {
    this.watch.disconnect();
    this.controls.dispose();
    this.renderer.dispose();
    this.renderer.domElement.remove();
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

  private bounds(shown: readonly Shown[]): Sphere {
    const box = new Box3();
    for (const one of shown) for (const mesh of one.meshes) box.expandByObject(mesh);
    return box.isEmpty() ? new Sphere(new Vector3(), 200) : box.getBoundingSphere(new Sphere());
  }

  private direction(): Vector3 {
    return this.camera.position.clone().sub(this.controls.target).normalize();
  }

  private lookAt(ball: Sphere, from: Vector3): void {
    const half = (FIELD * Math.PI) / 360;
    const narrow = Math.min(half, Math.atan(Math.tan(half) * this.camera.aspect));
    const away = (ball.radius * 1.08) / Math.sin(narrow);
    this.controls.target.copy(ball.center);
    this.camera.position.copy(ball.center).addScaledVector(from, away);
    this.camera.near = Math.max(1, away - ball.radius * 4);
    this.camera.far = away + ball.radius * 40;
    this.camera.updateProjectionMatrix();
    this.controls.update();
    this.draw();
  }

  private fit(): void {
    const { clientWidth: width, clientHeight: height } = this.place;
    if (!width || !height) return;
    this.renderer.setSize(width, height);
    this.camera.aspect = width / height;
    this.camera.updateProjectionMatrix();
    this.draw();
  }

  private draw(): void {
    if (this.asked) return;
    this.asked = true;
    requestAnimationFrame(() => {
      this.asked = false;
      this.sun.position.copy(this.camera.position).addScaledVector(this.camera.up, 300);
      this.renderer.render(this.scene, this.camera);
    });
  }

  private listen(canvas: HTMLCanvasElement): void {
    let down = new Vector2();
    canvas.addEventListener('pointerdown', (event) => {
      down = new Vector2(event.clientX, event.clientY);
    });
    canvas.addEventListener('pointerup', (event) => {
      if (down.distanceTo(new Vector2(event.clientX, event.clientY)) < 5) this.pick(event);
    });
    canvas.addEventListener('keydown', (event) => {
      const step = ({ ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] } as const)[
        event.key as 'ArrowLeft'
      ];
      if (step) {
        event.preventDefault();
        this.orbit(step[0] * 0.12, step[1] * 0.12);
      } else if (event.key === '+' || event.key === '-') {
        this.nearer(event.key === '+' ? 0.85 : 1 / 0.85);
      } else if (event.key === 'Home') {
        this.lookAt(this.bounds(this.shown), FROM);
      }
    });
  }

  private orbit(round: number, up: number): void {
    const arm = this.camera.position.clone().sub(this.controls.target);
    const away = arm.length();
    const height = Math.min(1.5, Math.max(-1.5, Math.asin(arm.z / away) + up));
    const turn = Math.atan2(arm.y, arm.x) + round;
    arm.set(Math.cos(turn) * Math.cos(height), Math.sin(turn) * Math.cos(height), Math.sin(height));
    this.camera.position.copy(this.controls.target).addScaledVector(arm, away);
    this.controls.update();
    this.draw();
  }

  private nearer(by: number): void {
    const arm = this.camera.position.clone().sub(this.controls.target).multiplyScalar(by);
    this.camera.position.copy(this.controls.target).add(arm);
    this.controls.update();
    this.draw();
  }

  private pick(event: PointerEvent): void {
    const field = this.renderer.domElement.getBoundingClientRect();
    const at = new Vector2(
      ((event.clientX - field.left) / field.width) * 2 - 1,
      1 - ((event.clientY - field.top) / field.height) * 2,
    );
    const ray = new Raycaster();
    ray.setFromCamera(at, this.camera);
    const hit = ray.intersectObjects(this.frame.children, false)[0];
    if (!hit) return;
    const body = hit.object.userData.body as SceneBody;
    const place = hit.point.clone().sub(hit.object.position);
    const run = nearestRun(body.runs, [place.x, place.y, place.z]);
    choose(body.piece, run && { kind: run.kind, number: run.number }, body.as_drawn);
  }
}
