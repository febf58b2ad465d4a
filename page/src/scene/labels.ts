// Words laid over the picture: small tags that do not lie on one another.
import type { Vector3 } from 'three';
import type { View } from './view';
import { type Spot, Written } from './written';

export interface Tag {
  at: Vector3;
  text: string;
  /** A class for its look. */
  look: string;
  /** Tags of greater weight keep their place; others make way. */
  weight: number;
}

interface Box {
  left: number;
  top: number;
  right: number;
  bottom: number;
}

const GAP = 4; // px
/** Weight from which a tag was asked for by the maker: it is moved off the edge of the stage rather than left out. */
const ASKED = 50;
/** How far over its place a tag of a near thing stands, px: what it points at stays to be seen. */
const LIFT = 38;
/** Where a tag may move to when its own place is taken, in heights of a tag. */
const WAYS = [
  [0, 0],
  [0, -1.2],
  [0, 1.2],
  [1.6, 0],
  [-1.6, 0],
] as const;

export class Labels {
  private readonly layer = document.createElement('div');
  private tags: readonly Tag[] = [];
  private spans: HTMLSpanElement[] = [];
  private readonly written = new Written();
  /** Whether the tags are drawn in the picture, with so many points for one of the page; null where they need not be. */
  private drawn: { ratio: number; is: boolean } | null = null;

  constructor(
    private readonly place: HTMLElement,
    private readonly view: View,
  ) {
    this.layer.className = 'tags';
    this.layer.setAttribute('aria-hidden', 'true');
    place.append(this.layer);
    document.fonts.addEventListener('loadingdone', this.again);
  }

  /** A face that came late has other widths. */
  private readonly again = (): void => this.view.draw();

  /** The tags while they are drawn in the picture. */
  get mesh() {
    return this.written.mesh;
  }

  show(tags: readonly Tag[]): void {
    const before = this.tags;
    this.tags = [...tags].sort((a, b) => b.weight - a.weight);
    if (this.tags.length === before.length && this.tags.every((tag, k) => alike(tag, before[k]))) return;
    this.spans = this.tags.map((tag) => {
      const span = document.createElement('span');
      span.className = `tag ${tag.look}`;
      span.textContent = tag.text;
      return span;
    });
    this.layer.replaceChildren(...this.spans);
    // Words that change while something moves cost less on the page than written anew into every picture.
    if (this.drawn) this.drawn.is = false;
    this.view.draw();
  }

  /**
   * Put every tag where its point is seen; one that finds no room is left out.
   *
   * @param ratio points of the picture for one of the page, to draw the tags into it; null to lay them over it.
   */
  lay(ratio: number | null): void {
    const { clientWidth, clientHeight } = this.layer;
    const spots = this.spots(clientWidth, clientHeight);
    if (ratio === null) this.drawn = null;
    else if (this.drawn?.ratio !== ratio) this.drawn = { ratio, is: this.written.write(this.spans, ratio) };
    const is = this.drawn?.is ?? false;
    this.mesh.visible = is;
    this.layer.style.opacity = is ? '0' : '1';
    if (is) this.written.lay(spots, clientWidth, clientHeight);
    else for (const [k, span] of this.spans.entries()) put(span, spots[k] ?? null);
  }

  /** Where each of the tags goes, px; null for one that is left out. */
  private spots(width: number, height: number): (Spot | null)[] {
    const taken = this.spans.length ? this.covered() : [];
    return this.spans.map((span, index) => {
      const tag = this.tags[index];
      const seen = tag && this.view.onStage(tag.at, width, height);
      if (!seen) return null;
      const [own, high] = [span.offsetWidth, span.offsetHeight];
      const lift = tag.look.startsWith('near') ? LIFT : 0;
      const free = WAYS.map(([x, y]) => {
        const wanted = seen.x + x * high;
        const across = tag.weight >= ASKED ? within(wanted, own, width) : wanted;
        return boxAt(across, seen.y - lift + y * high, own, high);
      }).find((box) => inside(box, width, height) && !taken.some((other) => meet(box, other)));
      if (!free) return null;
      taken.push(free);
      return { left: Math.round(free.left), top: Math.round(free.top) };
    });
  }

  /** What else lies over the picture: buttons are to be pressed and words to be read. */
  private covered(): Box[] {
    const stage = this.layer.getBoundingClientRect();
    return [...this.place.querySelectorAll('button, p, li')].map((one) => {
      const { left, top, right, bottom } = one.getBoundingClientRect();
      return { left: left - stage.left, top: top - stage.top, right: right - stage.left, bottom: bottom - stage.top };
    });
  }

  dispose(): void {
    document.fonts.removeEventListener('loadingdone', this.again);
    this.layer.remove();
    this.written.dispose();
  }
}

function alike(one: Tag, other: Tag | undefined): boolean {
  return one.text === other?.text && one.look === other.look;
}

function put(span: HTMLElement, spot: Spot | null): void {
  span.style.visibility = spot ? 'visible' : 'hidden';
  if (spot) span.style.transform = `translate(${spot.left}px, ${spot.top}px)`;
}

function boxAt(x: number, y: number, width: number, height: number): Box {
  return { left: x - width / 2, top: y - height / 2, right: x + width / 2, bottom: y + height / 2 };
}

function within(x: number, width: number, most: number): number {
  return width < most ? Math.min(Math.max(x, width / 2), most - width / 2) : x;
}

function inside(box: Box, width: number, height: number): boolean {
  return box.left >= 0 && box.top >= 0 && box.right <= width && box.bottom <= height;
}

function meet(a: Box, b: Box): boolean {
  return a.left < b.right + GAP && b.left < a.right + GAP && a.top < b.bottom + GAP && b.top < a.bottom + GAP;
}
