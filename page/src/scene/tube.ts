// A bar along places in space, in colours that go over into one another: round, or with the outline of a rectangle.
import { BufferGeometry, type Color, Float32BufferAttribute, Vector3 } from 'three';

const SIDES = 12;

/** Triangles round a bar; `wide` is the way its width lies at every place, `half` its half sizes. */
export function tubeOf(
  places: readonly Vector3[],
  wide: readonly Vector3[],
  half: readonly [number, number],
  isRound: boolean,
  colours: readonly Color[],
): BufferGeometry {
  const outline = isRound ? circle() : RECTANGLE;
  const positions: number[] = [];
  const normals: number[] = [];
  const shades: number[] = [];
  places.forEach((place, k) => {
    const ahead = alongAt(places, k);
    const across = (wide[k] ?? new Vector3(1, 0, 0)).clone();
    across.addScaledVector(ahead, -across.dot(ahead)).normalize();
    const up = ahead.clone().cross(across);
    const colour = colours[k];
    for (const [u, v] of outline) {
      const out = across
        .clone()
        .multiplyScalar(u * half[0])
        .addScaledVector(up, v * half[1]);
      positions.push(...place.clone().add(out).toArray());
      normals.push(...out.normalize().toArray());
      shades.push(colour?.r ?? 0.5, colour?.g ?? 0.5, colour?.b ?? 0.5);
    }
  });
  const shape = new BufferGeometry();
  shape.setAttribute('position', new Float32BufferAttribute(positions, 3));
  shape.setAttribute('normal', new Float32BufferAttribute(normals, 3));
  shape.setAttribute('color', new Float32BufferAttribute(shades, 3));
  shape.setIndex(triangles(places.length, outline.length));
  return shape;
}

const RECTANGLE: readonly (readonly [number, number])[] = [
  [1, 1],
  [-1, 1],
  [-1, -1],
  [1, -1],
];

function circle(): readonly (readonly [number, number])[] {
  return Array.from({ length: SIDES }, (_, k) => {
    const turn = (2 * Math.PI * k) / SIDES;
    return [Math.cos(turn), Math.sin(turn)] as const;
  });
}

function alongAt(places: readonly Vector3[], k: number): Vector3 {
  const before = places[Math.max(0, k - 1)] ?? new Vector3();
  const after = places[Math.min(places.length - 1, k + 1)] ?? new Vector3(1, 0, 0);
  return after.clone().sub(before).normalize();
}

function triangles(rings: number, sides: number): number[] {
  const found: number[] = [];
  for (let k = 0; k + 1 < rings; k += 1) {
    for (let side = 0; side < sides; side += 1) {
      const a = k * sides + side;
      const b = k * sides + ((side + 1) % sides);
      found.push(a, b, a + sides, b, b + sides, a + sides);
    }
  }
  for (const first of [0, (rings - 1) * sides]) {
    for (let side = 1; side + 1 < sides; side += 1) {
      const corners = [first, first + side, first + side + 1];
      found.push(...(first ? corners : corners.reverse()));
    }
  }
  return found;
}
