// The stage: the frame, or bar and tool at the bender.
import { Sphere, Vector2, Vector3 } from 'three';
import type { MotionOut, SceneBody, StepSeen } from '../api';
import { type CarryOut, type Marked, marked as markedByHand } from '../state/carry';
import { type Chosen, choose, chosen as chosenByHand } from '../state/chosen';
import type { Theme } from '../state/theme';
import { BenderScene } from './bender';
import { CarryScene } from './carry';
import { Frame } from './frame';
import { KeepOuts } from './keep-outs';
import { Labels } from './labels';
import { COLOURS } from './look';
import { Mark } from './mark';
import { FROM, View } from './view';

export type Standpoint = keyof typeof FROM;

const NEAR = 0.5; // of the frame's size: what is seen round a place that is pointed at

export class Stage {
  readonly view: View;
  private readonly frame = new Frame();
  private readonly bender = new BenderScene();
  private readonly load = new CarryScene();
  private readonly mark = new Mark();
  private readonly outs = new KeepOuts();
  private readonly labels: Labels;
  private chosen: Chosen | null = null;
  private motion: MotionOut | null = null;
  private carries: CarryOut | null = null;
  private marked: Marked | null = null;
  private job = '';

  constructor(place: HTMLElement) {
    this.view = new View(place);
    this.labels = new Labels(place, this.view);
    this.view.words = (ratio) => this.labels.lay(ratio);
    const { group } = this.frame;
    this.view.scene.add(group, this.bender.group, this.load.group, this.mark.ball, this.outs.lines, this.labels.mesh);
    this.bender.group.visible = false;
    this.load.group.visible = false;
    this.listen(this.view.canvas);
    this.name();
  }

  /** Show the bodies of a job; the camera stays unless it is another job. */
  async show(job: string, bodies: readonly SceneBody[]): Promise<void> {
    if (!(await this.frame.show(bodies))) return;
    this.choose(this.chosen);
    if (job !== this.job) {
      this.job = job;
      if (!this.motion) this.stand('corner', false);
    }
    this.view.draw();
  }

  choose(chosen: Chosen | null): void {
    this.chosen = chosen;
    this.frame.choose(chosen);
    if (!this.motion && !this.carries) this.labels.show(this.frame.tags(chosen));
    this.view.draw();
  }

  /** Show the frame under its load; null for the frame as it is. */
  carry(told: CarryOut | null, times: number, marked: Marked | null): void {
    const other = !this.carries !== !told;
    this.carries = told;
    this.load.group.visible = !!told;
    this.frame.group.visible = !told && !this.motion;
    this.load.show(told, times, marked);
    this.marked = marked;
    this.mark.show(told || this.motion ? null : marked, this.frame.ball(null).radius);
    if (told) this.labels.show(this.load.tags());
    else if (other && !this.motion) this.labels.show(this.frame.tags(this.chosen));
    if (other && told) {
      this.name();
      this.stand('corner', false);
    }
    this.view.draw();
  }

  /** Show room that the frame must leave: rows of places. */
  keepOut(rows: readonly (readonly (readonly number[])[])[]): void {
    this.outs.show(rows);
    this.view.draw();
  }

  lookAtChosen(): void {
    if (!this.motion) this.view.lookAt(this.frame.ball(this.chosen), this.view.direction, true);
  }

  /** Go near to the place that is pointed at. */
  lookAtMarked(): void {
    if (!this.marked || this.motion) return;
    const whole = this.carries ? this.load.ball() : this.frame.ball(null);
    const there = this.carries ? this.load.markedAt() : vectorOf(this.marked.at);
    this.view.lookAt(new Sphere(there, NEAR * whole.radius), this.view.direction, true);
  }

  /** Show a moment at the bender; null for the frame again. */
  work(motion: MotionOut | null, step: StepSeen | null, key: number, share: number): void {
    const other = !this.motion !== !motion || this.motion?.piece !== motion?.piece;
    this.motion = motion;
    this.frame.group.visible = !motion && !this.carries;
    this.bender.group.visible = !!motion;
    if (motion && step) this.labels.show(this.bender.at(motion, step, key, share));
    else if (!this.carries) this.labels.show(this.frame.tags(this.chosen));
    if (other) {
      this.name();
      this.stand(motion ? 'lever' : 'corner', false);
    }
    this.view.draw();
  }

  /** Go near to where the step comes closest to something. */
  lookClose(): void {
    const near = this.motion && this.bender.closeUp();
    if (near) this.view.lookAt(near.ball, near.from, true);
  }

  /** Look at everything from a place. */
  stand(from: Standpoint, smooth = true): void {
    const motion = this.motion;
    const way = FROM[from].clone();
    const ball = motion ? this.bender.ball(motion) : this.carries ? this.load.ball() : this.frame.ball(null);
    this.view.lookAt(ball, way, smooth);
  }

  paint(theme: Theme): void {
    this.frame.paint(COLOURS[theme]);
    this.bender.paint(COLOURS[theme]);
    this.load.paint(COLOURS[theme]);
    this.mark.paint(COLOURS[theme]);
    this.outs.paint(COLOURS[theme]);
    this.view.paint(COLOURS[theme]);
  }

  dispose(): void {
    this.bender.dispose();
    this.load.dispose();
    this.outs.dispose();
    this.labels.dispose();
    this.view.dispose();
  }

  private name(): void {
    const what = this.motion ? 'The bar at the bender.' : this.carries ? 'The frame under its load.' : 'The frame.';
    this.view.label(`${what} Drag to turn it, or use the arrow keys, plus and minus.`, () =>
      this.stand(this.motion ? 'lever' : 'corner'),
    );
  }

  private listen(canvas: HTMLCanvasElement): void {
    let down = new Vector2();
    canvas.addEventListener('pointerdown', (event) => {
      down = new Vector2(event.clientX, event.clientY);
    });
    canvas.addEventListener('pointerup', (event) => {
      if (!this.motion && down.distanceTo(new Vector2(event.clientX, event.clientY)) < 5) this.pick(event);
    });
  }

  private pick(event: PointerEvent): void {
    if (this.carries) {
      const hit = this.view.under(event.clientX, event.clientY, this.load.meshes)[0];
      markedByHand.value = hit ? this.load.at(hit.object, hit.point) : null;
      return;
    }
    markedByHand.value = null;
    const meshes = this.frame.meshes;
    const hit = this.view.under(event.clientX, event.clientY, meshes)[0];
    const mesh = meshes.find((one) => one === hit?.object);
    if (!hit || !mesh) {
      chosenByHand.value = null;
      return;
    }
    const found = this.frame.at(mesh, hit.point);
    choose(found.piece, found.run, found.asDrawn);
  }
}

function vectorOf([x = 0, y = 0, z = 0]: readonly number[]): Vector3 {
  return new Vector3(x, y, z);
}
