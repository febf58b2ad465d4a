// A coarser picture laid over the fine one while something moves, for machines that cannot draw the fine one fast enough.
import { type Camera, type Scene, WebGLRenderer } from 'three';

export class Quick {
  readonly canvas: HTMLCanvasElement;
  readonly renderer: WebGLRenderer;

  /** @param fine the canvas at rest: it keeps hand, finger and key, and is seen through while this one is shown. */
  constructor(private readonly fine: HTMLCanvasElement) {
    this.renderer = new WebGLRenderer({ antialias: false, alpha: true });
    this.canvas = this.renderer.domElement;
    this.canvas.className = 'quick';
    this.canvas.setAttribute('aria-hidden', 'true');
    fine.after(this.canvas);
  }

  /** Draw a picture with so many points for one of the screen, and show it. */
  draw(scene: Scene, camera: Camera, ratio: number): void {
    const { clientWidth, clientHeight } = this.fine;
    if (this.renderer.getPixelRatio() !== ratio) this.renderer.setPixelRatio(ratio);
    const width = Math.floor(clientWidth * ratio);
    if (this.canvas.width !== width || this.canvas.height !== Math.floor(clientHeight * ratio)) {
      this.renderer.setSize(clientWidth, clientHeight);
    }
    this.renderer.render(scene, camera);
    this.shown(true);
  }

  /** Let the fine picture be seen again. */
  hide(): void {
    this.shown(false);
  }

  dispose(): void {
    this.hide();
    this.renderer.dispose();
    this.canvas.remove();
  }

  private shown(is: boolean): void {
    this.canvas.style.visibility = is ? 'visible' : 'hidden';
    this.fine.style.opacity = is ? '0' : '1'; // not hidden: what is hidden feels no finger
  }
}
