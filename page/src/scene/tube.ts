// A bar along places in space, in colours that go over into one another: round, or with the outline of a rectangle.
import { BufferGeometry, type Color, Float32BufferAttribute, Line3, Vector3 } from 'three';

const SIDES = 12;
const FEW_SIDES = 8;
const MOVING_ERROR = 1.2; // mm: a place this near to the line between others is left out while the bar moves

interface Places {
  places: readonly Vector3[];
  /** The way its width lies at every place. */
  wide: readonly Vector3[];
  colours: readonly Color[];
}

/** Triangles round a bar, and with them those that are enough while it moves; `half` is its half sizes. */
export function barOf(along: Places, half: readonly [number, number], isRound: boolean): BufferGeometry {
  const made = tubeOf(along, half, isRound ? circle(SIDES) : RECTANGLE);
  const few = enough(along.places, along.colours);
  const kept = <One>(all: readonly One[]) => few.flatMap((k) => all[k] ?? []);
  const coarse = { places: kept(along.places), wide: kept(along.wide), colours: kept(along.colours) };
  made.userData.coarse = tubeOf(coarse, half, isRound ? circle(FEW_SIDES) : RECTANGLE);
  return made;
}

/** Which places are enough while a bar moves: its ends, where its colour changes, and what is off the line between. */
export function enough(places: readonly Vector3[], colours: readonly Color[]): number[] {
  const kept = [0];
  for (let last = 0, next = 1; next < places.length - 1; next += 1) {
    const changes = [next - 1, next + 1].some((k) => colours[next]?.getHex() !== colours[k]?.getHex());
    if (
      !changes &&
      places.slice(last + 1, next + 1).every((one) => away(one, places[last], places[next + 1]) < MOVING_ERROR)
    )
      continue;
    kept.push(next);
    last = next;
  }
  return places.length > 1 ? [...kept, places.length - 1] : kept;
}

function away(place: Vector3, from: Vector3 = place, to: Vector3 = place): number {
  return new Line3(from, to).closestPointToPoint(place, true, new Vector3()).distanceTo(place);
}

function tubeOf(
  { places, wide, colours }: Places,
  half: readonly [number, number],
  outline: readonly (readonly [number, number])[],
): BufferGeometry {
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

function circle(sides: number): readonly (readonly [number, number])[] {
  return Array.from({ length: sides }, (_, k) => {
    const turn = (2 * Math.PI * k) / sides;
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
