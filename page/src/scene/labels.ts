// Words laid over the picture: small tags that do not lie on one another.
import type { Vector3 } from 'three';
import type { View } from './view';

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
    this.view.draw();
  }

  /** Put every tag where its point is seen; one that finds no room is left out. */
  lay(): void {
    if (!this.spans.length) return;
    const taken = this.covered();
    const { clientWidth, clientHeight } = this.layer;
    // Everything is measured before anything is moved: the browser then lays the page out once.
    const sizes = this.spans.map((span) => [span.offsetWidth, span.offsetHeight] as const);
    this.spans.forEach((span, index) => {
      const tag = this.tags[index];
      const seen = tag && this.view.onStage(tag.at, clientWidth, clientHeight);
      const [width, height] = sizes[index] ?? [0, 0];
      const lift = tag?.look.startsWith('near') ? LIFT : 0;
      const free =
        seen &&
        WAYS.map(([x, y]) => {
          const wanted = seen.x + x * height;
          const across = tag.weight >= ASKED ? within(wanted, width, clientWidth) : wanted;
          return boxAt(across, seen.y - lift + y * height, width, height);
        }).find((box) => inside(box, clientWidth, clientHeight) && !taken.some((other) => meet(box, other)));
      span.style.visibility = free ? 'visible' : 'hidden';
      if (!free) return;
      taken.push(free);
      span.style.transform = `translate(${Math.round(free.left)}px, ${Math.round(free.top)}px)`;
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
  }
}

function alike(one: Tag, other: Tag | undefined): boolean {
  return one.text === other?.text && one.look === other.look;
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
