// What everything stands before: plain plate, or paper with faint squares. Nothing is seen through it, so that the
// browser need not mix the picture into the page; and to fill it costs nothing, which no pattern would.
import { BufferGeometry, Color, Float32BufferAttribute, LineSegments, ShaderMaterial, WebGLRenderer } from 'three';
import type { Colours } from './look';

const SQUARE = 24; // px of the page

/** What draws into a canvas of its own that nothing is seen through. */
export function opaque(antialias: boolean): WebGLRenderer {
  const canvas = document.createElement('canvas');
  const context = canvas.getContext('webgl2', { alpha: false, antialias });
  return new WebGLRenderer({ canvas, ...(context && { context }) }); // without one it tells what is wrong
}

/** Lines of a picture, whatever it is looked at from. */
export class Squares {
  readonly lines: LineSegments<BufferGeometry, ShaderMaterial>;
  private readonly colour = { value: new Color() };

  constructor() {
    const material = new ShaderMaterial({
      uniforms: { colour: this.colour },
      vertexShader: 'void main() { gl_Position = vec4(position, 1.0); }',
      fragmentShader:
        'uniform vec3 colour; void main() { gl_FragColor = vec4(colour, 1.0); \n#include <colorspace_fragment>\n }',
      depthTest: false,
      depthWrite: false,
    });
    this.lines = new LineSegments(new BufferGeometry(), material);
    this.lines.frustumCulled = false;
    this.lines.renderOrder = -1;
  }

  /** For a stage of this size, px. */
  fit(width: number, height: number): void {
    this.lines.geometry.setAttribute('position', new Float32BufferAttribute(squares(width, height), 3));
  }

  paint(colours: Colours): void {
    this.lines.visible = colours.squares !== null;
    if (colours.squares) this.colour.value.set(colours.squares);
  }

  dispose(): void {
    this.lines.geometry.dispose();
    this.lines.material.dispose();
  }
}

/** Ends of the lines through the middles of points, from the top left; the picture reaches from -1 to 1 each way. */
export function squares(width: number, height: number): number[] {
  const found: number[] = [];
  for (let x = 0.5; x < width; x += SQUARE) found.push((2 * x) / width - 1, -1, 0, (2 * x) / width - 1, 1, 0);
  for (let y = 0.5; y < height; y += SQUARE) found.push(-1, 1 - (2 * y) / height, 0, 1, 1 - (2 * y) / height, 0);
  return found;
}
