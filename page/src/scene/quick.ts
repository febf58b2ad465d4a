// A plainer picture laid over the fine one while something moves, for machines that cannot draw the fine one fast enough.
import type { Camera, ColorRepresentation, Scene, WebGLRenderer } from 'three';
import { opaque } from './ground';
import type { Plain } from './plain';

export class Quick {
  readonly renderer: WebGLRenderer = opaque(false);
  private readonly canvas = this.renderer.domElement;

  /** @param fine the canvas at rest: it keeps hand, finger and key. */
  constructor(
    private readonly fine: HTMLCanvasElement,
    private readonly plain: Plain,
  ) {
    this.canvas.className = 'quick';
    this.canvas.setAttribute('aria-hidden', 'true');
    fine.after(this.canvas);
  }

  /** Draw a picture with so many points for one of the page, and show it. */
  draw(scene: Scene, camera: Camera, ground: ColorRepresentation, ratio: number): void {
    const { clientWidth, clientHeight } = this.fine;
    if (this.renderer.getPixelRatio() !== ratio) this.renderer.setPixelRatio(ratio);
    const width = Math.floor(clientWidth * ratio);
    if (this.canvas.width !== width || this.canvas.height !== Math.floor(clientHeight * ratio)) {
      this.renderer.setSize(clientWidth, clientHeight);
    }
    this.renderer.setClearColor(ground);
    this.plain.worn(scene, () => this.renderer.render(scene, camera));
    this.canvas.style.visibility = 'visible';
  }

  /** Let the fine picture be seen again. */
  hide(): void {
    this.canvas.style.visibility = 'hidden';
  }

  dispose(): void {
    this.renderer.dispose();
    this.canvas.remove();
  }
}
