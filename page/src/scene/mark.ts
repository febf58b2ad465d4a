// A ball at a place of the frame that is pointed at.
import { Mesh, MeshStandardMaterial, SphereGeometry } from 'three';
import type { Marked } from '../state/carry';
import type { Colours } from './look';

const SIZE = 0.035; // of the frame's

export class Mark {
  readonly ball = new Mesh(new SphereGeometry(1, 20, 14), new MeshStandardMaterial({ roughness: 0.4 }));

  constructor() {
    this.ball.visible = false;
  }

  show(marked: Marked | null, size: number): void {
    this.ball.visible = marked !== null;
    if (!marked) return;
    const [x = 0, y = 0, z = 0] = marked.at;
    this.ball.position.set(x, y, z);
    this.ball.scale.setScalar(SIZE * size);
  }

  paint(colours: Colours): void {
    this.ball.material.color.set(colours.chosen);
  }
}
