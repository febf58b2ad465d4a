// Bodies that stand still, drawn as one: to begin with another body costs a weak machine as much as many triangles.
import { type BufferGeometry, type Material, Mesh, type Object3D } from 'three';
import { mergeGeometries } from 'three/addons/utils/BufferGeometryUtils.js';

type Part = readonly [mesh: Mesh, material: Material, shape: BufferGeometry];

export class Whole {
  private parts: readonly Part[] = [];
  private made: Mesh[] = [];

  /** What is in a group, bodies of the same material in one and in their coarse shape; made anew when any of them changed. */
  of(group: Object3D): Object3D[] {
    const parts: Part[] = [];
    const others: Object3D[] = [];
    for (const one of group.children) {
      if (one instanceof Mesh) parts.push([one, one.material, one.geometry]);
      else others.push(one);
    }
    if (
      parts.length !== this.parts.length ||
      parts.some((part, k) => part.some((own, i) => own !== this.parts[k]?.[i]))
    ) {
      for (const mesh of this.made) mesh.geometry.dispose();
      this.parts = parts;
      this.made = [...new Set(parts.map(([, material]) => material))].map((material) => {
        const own = parts.filter((part) => part[1] === material);
        return new Mesh(shapeOf(own), material);
      });
    }
    return [...this.made, ...others];
  }
}

function shapeOf(parts: readonly Part[]): BufferGeometry {
  return mergeGeometries(
    parts.map(([mesh, , shape]) => {
      mesh.updateMatrix();
      return ((shape.userData.coarse as BufferGeometry | undefined) ?? shape).clone().applyMatrix4(mesh.matrix);
    }),
  );
}
