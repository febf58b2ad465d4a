// Tags drawn into the picture instead of over it: the browser then need not put each in its place on the page.
import {
  BufferAttribute,
  BufferGeometry,
  CanvasTexture,
  DynamicDrawUsage,
  Mesh,
  NearestFilter,
  ShaderMaterial,
  Vector2,
} from 'three';

export interface Spot {
  left: number;
  top: number;
}

const VERTEX = `
uniform vec2 size;
varying vec2 at;
void main() {
  at = uv;
  gl_Position = vec4(2.0 * position.x / size.x - 1.0, 1.0 - 2.0 * position.y / size.y, 0.0, 1.0);
}`;

const FRAGMENT = `
uniform sampler2D drawn;
varying vec2 at;
void main() { gl_FragColor = texture2D(drawn, at); }`;

export class Written {
  readonly mesh: Mesh<BufferGeometry, ShaderMaterial>;
  private readonly sheet = document.createElement('canvas');
  private readonly size = { value: new Vector2(1, 1) };
  private readonly drawn = { value: this.texture() };
  private sizes: readonly (readonly [number, number])[] = [];

  constructor() {
    const material = new ShaderMaterial({
      uniforms: { size: this.size, drawn: this.drawn },
      vertexShader: VERTEX,
      fragmentShader: FRAGMENT,
      transparent: true,
      premultipliedAlpha: true,
      depthTest: false,
      depthWrite: false,
    });
    this.mesh = new Mesh(new BufferGeometry(), material);
    this.mesh.frustumCulled = false;
    this.mesh.renderOrder = 1000;
    this.mesh.visible = false;
  }

  /**
   * Write tags as they look on the page, one under the other, with so many points for one of the page.
   *
   * @returns false where there is nothing to write, or a tag that has several lines or is not shown.
   */
  write(tags: readonly HTMLElement[], ratio: number): boolean {
    if (!(tags.length && tags.every(isOneLine))) return false;
    this.sizes = tags.map((tag) => [tag.offsetWidth, tag.offsetHeight] as const);
    const width = Math.max(...this.sizes.map(([one]) => one));
    const height = this.sizes.reduce((sum, [, one]) => sum + one, 0);
    this.sheet.width = Math.ceil(width * ratio);
    this.sheet.height = Math.ceil(height * ratio);
    const pen = this.sheet.getContext('2d');
    if (!pen) return false;
    pen.scale(ratio, ratio);
    const sheet: number[] = [];
    let down = 0;
    tags.forEach((tag, k) => {
      const [wide, high] = this.sizes[k] ?? [0, 0];
      write(pen, tag, down, wide, high);
      const right = (wide * ratio) / this.sheet.width;
      const [top, foot] = [down, down + high].map((at) => 1 - (at * ratio) / this.sheet.height) as [number, number];
      sheet.push(0, top, right, top, right, foot, 0, foot);
      down += high;
    });
    this.drawn.value.dispose();
    this.drawn.value = this.texture();
    this.shape(sheet);
    return true;
  }

  /** Lay the tags on a stage of this size, px of the page; null for one that is left out. */
  lay(spots: readonly (Spot | null)[], width: number, height: number): void {
    this.size.value.set(width, height);
    const places = this.mesh.geometry.getAttribute('position') as BufferAttribute;
    spots.forEach((spot, k) => {
      const [wide, high] = spot ? (this.sizes[k] ?? [0, 0]) : [0, 0];
      const { left, top } = spot ?? { left: 0, top: 0 };
      places.setXY(4 * k, left, top).setXY(4 * k + 1, left + wide, top);
      places.setXY(4 * k + 2, left + wide, top + high).setXY(4 * k + 3, left, top + high);
    });
    places.needsUpdate = true;
  }

  dispose(): void {
    this.drawn.value.dispose();
    this.mesh.geometry.dispose();
    this.mesh.material.dispose();
  }

  private texture(): CanvasTexture {
    const made = new CanvasTexture(this.sheet);
    made.premultiplyAlpha = true;
    made.generateMipmaps = false;
    made.minFilter = NearestFilter;
    made.magFilter = NearestFilter;
    return made;
  }

  private shape(sheet: number[]): void {
    const count = sheet.length / 8;
    this.mesh.geometry.dispose();
    const shape = new BufferGeometry();
    const places = new BufferAttribute(new Float32Array(12 * count), 3);
    places.setUsage(DynamicDrawUsage);
    shape.setAttribute('position', places);
    shape.setAttribute('uv', new BufferAttribute(new Float32Array(sheet), 2));
    shape.setIndex(Array.from({ length: count }, (_, k) => [0, 3, 1, 1, 3, 2].map((corner) => 4 * k + corner)).flat());
    this.mesh.geometry = shape;
  }
}

/** Whether a tag is shown with a single line: its edges take 8 px at most. */
function isOneLine(tag: HTMLElement): boolean {
  return tag.offsetHeight > 0 && tag.offsetHeight < 2 * Number.parseFloat(getComputedStyle(tag).fontSize) + 8;
}

/** Draw one tag on the sheet as its style has it, its words where the page has them. */
function write(pen: CanvasRenderingContext2D, tag: HTMLElement, top: number, width: number, height: number): void {
  const style = getComputedStyle(tag);
  const edge = Number.parseFloat(style.borderTopWidth);
  pen.beginPath();
  pen.roundRect(edge / 2, top + edge / 2, width - edge, height - edge, Number.parseFloat(style.borderTopLeftRadius));
  pen.fillStyle = style.backgroundColor;
  pen.fill();
  pen.lineWidth = edge;
  pen.strokeStyle = style.borderTopColor;
  pen.stroke();
  pen.font = `${style.fontWeight} ${style.fontSize} ${style.fontFamily}`;
  pen.fillStyle = style.color;
  const words = document.createRange();
  words.selectNodeContents(tag);
  const [own, whole] = [words.getBoundingClientRect(), tag.getBoundingClientRect()];
  const above = Math.round(pen.measureText(tag.textContent).fontBoundingBoxAscent);
  pen.fillText(tag.textContent, own.left - whole.left, top + Math.round(own.top - whole.top + above));
}
