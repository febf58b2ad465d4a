// The eye: camera, lights, turning by hand, finger and key. It draws only when something changed.
import {
  DirectionalLight,
  HemisphereLight,
  type Object3D,
  PerspectiveCamera,
  Raycaster,
  Scene,
  type Sphere,
  Vector2,
  Vector3,
} from 'three';
import { OrbitControls } from 'three/addons/controls/OrbitControls.js';
import { opaque, Squares } from './ground';
import type { Colours } from './look';
import { type LEVELS, Pace } from './pace';
import { Plain } from './plain';
import { Quick } from './quick';

const FIELD = 32; // degrees
const MOVE = 420; // ms that the camera takes to another place
const STILL = 150; // ms without a picture: nothing moves any more

export const FROM = {
  corner: new Vector3(-0.55, -1, 0.62).normalize(),
  front: new Vector3(0, -1, 0.001).normalize(),
  side: new Vector3(-1, 0, 0.001).normalize(),
  above: new Vector3(0, -0.002, 1).normalize(),
  lever: new Vector3(-0.16, -0.8, 0.66).normalize(),
} as const;

const quiet = matchMedia('(prefers-reduced-motion: reduce)');

export class View {
  readonly scene = new Scene();
  readonly canvas: HTMLCanvasElement;
  /** Called before every picture, to lay words over it; or in it, with so many points for one of the page. */
  words: (ratio: number | null) => void = () => undefined;
  private readonly renderer = opaque(true);
  private readonly camera = new PerspectiveCamera(FIELD, 1, 1, 1e5);
  private readonly controls: OrbitControls;
  private readonly sky = new HemisphereLight(0xffffff, 0x444444, 1.7);
  private readonly sun = new DirectionalLight(0xffffff, 1.9);
  private readonly squares = new Squares();
  private readonly watch: ResizeObserver;
  private readonly pace = new Pace();
  private quick: Quick | null = null;
  private asked: 'once' | 'moving' | null = null;
  /** When the last picture was drawn, ms; null while nothing moves. */
  private last: number | null = null;
  private how: (typeof LEVELS)[number] = 'fine';
  private back = '#000000';
  private moving = 0;
  private gone = false;
  private home: () => void = () => undefined;

  constructor(private readonly place: HTMLElement) {
    this.renderer.setPixelRatio(finest());
    this.canvas = this.renderer.domElement;
    this.canvas.tabIndex = 0;
    this.canvas.setAttribute('role', 'img');
    place.prepend(this.canvas);
    this.camera.up.set(0, 0, 1);
    this.scene.add(this.sky, this.sun, this.squares.lines);
    this.controls = new OrbitControls(this.camera, this.canvas);
    this.controls.enableDamping = false;
    this.controls.zoomToCursor = true;
    this.controls.addEventListener('change', () => this.draw('moving'));
    this.controls.addEventListener('start', () => {
      this.moving += 1;
    });
    this.watch = new ResizeObserver(() => this.fit());
    this.watch.observe(place);
    this.canvas.addEventListener('keydown', (event) => this.key(event));
    this.fit();
  }

  label(words: string, home: () => void): void {
    this.canvas.setAttribute('aria-label', words);
    this.home = home;
  }

  paint(colours: Colours): void {
    this.back = colours.back;
    this.squares.paint(colours);
    this.renderer.setClearColor(this.back);
    this.sky.color.set(colours.sky);
    this.sky.groundColor.set(colours.ground);
    this.draw();
  }

  get direction(): Vector3 {
    return this.camera.position.clone().sub(this.controls.target).normalize();
  }

  /** Look at a ball from a direction; smoothly unless at once is asked for or the maker wants no motion. */
  lookAt(ball: Sphere, from: Vector3, smooth: boolean): void {
    const half = (FIELD * Math.PI) / 360;
    const narrow = Math.min(half, Math.atan(Math.tan(half) * this.camera.aspect));
    const away = (ball.radius * 1.08) / Math.sin(narrow);
    this.camera.near = Math.max(1, away / 200);
    this.camera.far = away * 12 + ball.radius * 60;
    this.camera.updateProjectionMatrix();
    const start = { target: this.controls.target.clone(), way: this.direction, away: this.away };
    this.moving += 1;
    const own = this.moving;
    const began = performance.now();
    const go = (time: number): void => {
      if (own !== this.moving) return;
      const part = smooth && !quiet.matches ? Math.min(1, (time - began) / MOVE) : 1;
      const eased = part * part * (3 - 2 * part);
      this.controls.target.lerpVectors(start.target, ball.center, eased);
      const way = start.way.clone().lerp(from, eased).normalize();
      const length = start.away + (away - start.away) * eased;
      this.camera.position.copy(this.controls.target).addScaledVector(way, length);
      this.controls.update();
      this.draw('moving');
      if (part < 1) requestAnimationFrame(go);
    };
    go(began);
  }

  /** Draw with the next picture of the screen; coarser while something moves, where the machine cannot keep up. */
  draw(why: 'once' | 'moving' = 'once'): void {
    const still = this.last === null && this.asked === null;
    if (this.asked !== 'moving') this.asked = why;
    if (still) requestAnimationFrame((time) => this.next(time, time));
  }

  /** Where a point is on a stage of this size, in pixels; null behind the eye. */
  onStage(point: Vector3, width: number, height: number): { x: number; y: number } | null {
    const seen = point.clone().project(this.camera);
    if (seen.z > 1 || seen.z < -1) return null;
    return { x: ((seen.x + 1) / 2) * width, y: ((1 - seen.y) / 2) * height };
  }

  /** What lies under a place on the screen, nearest first. */
  under(x: number, y: number, things: Object3D[]) {
    const field = this.canvas.getBoundingClientRect();
    const place = new Vector2(((x - field.left) / field.width) * 2 - 1, 1 - ((y - field.top) / field.height) * 2);
    const ray = new Raycaster();
    ray.setFromCamera(place, this.camera);
    return ray.intersectObjects(things, false);
  }

  dispose(): void {
    this.gone = true;
    this.watch.disconnect();
    this.quick?.dispose();
    this.squares.dispose();
    this.controls.dispose();
    this.renderer.dispose();
    this.canvas.remove();
  }

  /** Every picture of the screen from the first that is drawn until nothing has moved for a while. */
  private next(time: number, before: number): void {
    if (this.gone) return;
    if (this.last === null) this.pace.begin(time);
    else if (this.last === before) this.pace.drew(time - before, time);
    if (this.asked) {
      this.picture(this.asked === 'moving' || this.last !== null ? this.pace.now : 'fine');
      this.asked = null;
      this.last = time;
    } else if (time - (this.last ?? 0) > STILL) {
      if (this.how !== 'fine') this.picture('fine');
      this.last = null;
      return;
    }
    requestAnimationFrame((later) => this.next(later, time));
  }

  /** Draw as fine as at rest, or plainer. */
  private picture(how: (typeof LEVELS)[number]): void {
    const began = performance.now();
    this.sun.position.copy(this.camera.position).addScaledVector(this.camera.up, 300);
    this.camera.updateMatrixWorld();
    const ratio = how === 'fine' ? null : how === 'coarse' ? 1 : finest();
    this.words(ratio);
    if (ratio === null) {
      this.renderer.render(this.scene, this.camera);
      this.quick?.hide();
    } else {
      this.quick ??= new Quick(this.canvas, new Plain(this.sun, this.sky));
      this.quick.draw(this.scene, this.camera, this.back, ratio);
    }
    this.how = how;
    // What a picture costs, for who measures it: milliseconds of script, calls, triangles; and how fine it was.
    const { calls, triangles } = ((how !== 'fine' && this.quick?.renderer) || this.renderer).info.render;
    this.canvas.dataset.cost = `${(performance.now() - began).toFixed(2)} ${calls} ${triangles} ${how}`;
  }

  private get away(): number {
    return this.camera.position.distanceTo(this.controls.target);
  }

  private fit(): void {
    const { clientWidth: width, clientHeight: height } = this.place;
    if (!width || !height) return;
    this.renderer.setSize(width, height);
    this.squares.fit(width, height);
    this.camera.aspect = width / height;
    this.camera.updateProjectionMatrix();
    this.draw();
  }

  private key(event: KeyboardEvent): void {
    const step = ({ ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] } as const)[
      event.key as 'ArrowLeft'
    ];
    if (step) this.orbit(step[0] * 0.12, step[1] * 0.12);
    else if (event.key === '+' || event.key === '=') this.nearer(0.85);
    else if (event.key === '-') this.nearer(1 / 0.85);
    else if (event.key === 'Home') this.home();
    else return;
    event.preventDefault();
  }

  private orbit(round: number, up: number): void {
    this.moving += 1;
    const arm = this.direction;
    const away = this.away;
    const height = Math.min(1.55, Math.max(-1.55, Math.asin(arm.z) + up));
    const turn = Math.atan2(arm.y, arm.x) + round;
    arm.set(Math.cos(turn) * Math.cos(height), Math.sin(turn) * Math.cos(height), Math.sin(height));
    this.camera.position.copy(this.controls.target).addScaledVector(arm, away);
    this.controls.update();
    this.draw('moving');
  }

  private nearer(by: number): void {
    this.moving += 1;
    const arm = this.camera.position.clone().sub(this.controls.target).multiplyScalar(by);
    this.camera.position.copy(this.controls.target).add(arm);
    this.controls.update();
    this.draw('moving');
  }
}

/** Points of a picture for one of the page. */
function finest(): number {
  return Math.min(devicePixelRatio, 2);
}
