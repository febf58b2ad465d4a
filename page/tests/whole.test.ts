import { BoxGeometry, Group, Mesh, MeshStandardMaterial, SphereGeometry } from 'three';
import { expect, test } from 'vitest';
import { Whole } from '../src/scene/whole';

const [bar, chosen] = [new MeshStandardMaterial(), new MeshStandardMaterial()];

function frame() {
  const shape = new SphereGeometry();
  shape.userData.coarse = new BoxGeometry(2, 2, 2);
  const meshes = [0, 10, 20].map((at) => {
    const mesh = new Mesh(shape, bar);
    mesh.position.x = at;
    return mesh;
  });
  const marks = new Group();
  return { meshes, marks, group: new Group().add(...meshes, marks) };
}

test('bodies of one material are drawn as one, each in its place and its coarse shape', () => {
  const { meshes, marks, group } = frame();
  Object.assign(meshes[1] as Mesh, { material: chosen });
  const [first, second, ...rest] = new Whole().of(group) as Mesh[];
  expect(rest).toEqual([marks]);
  expect([first?.material, second?.material]).toEqual([bar, chosen]);
  first?.geometry.computeBoundingBox();
  expect(first?.geometry.boundingBox?.min.x).toBe(-1);
  expect(first?.geometry.boundingBox?.max.x).toBe(21);
  const corners = new BoxGeometry(2, 2, 2).getAttribute('position').count;
  expect(first?.geometry.getAttribute('position').count).toBe(2 * corners);
  expect(second?.geometry.getAttribute('position').count).toBe(corners);
  expect(group.children).toEqual([...meshes, marks]);
});

test('the one is made anew when a body comes, goes, is chosen or has another shape, and not before', () => {
  const { meshes, group } = frame();
  const whole = new Whole();
  let before = whole.of(group)[0];
  const changed = () => {
    const now = whole.of(group)[0];
    const is = now !== before;
    before = now;
    return is;
  };
  expect(changed()).toBe(false);
  group.remove(meshes[2] as Mesh);
  expect(changed()).toBe(true);
  Object.assign(meshes[0] as Mesh, { material: chosen });
  expect(changed()).toBe(true);
  Object.assign(meshes[0] as Mesh, { geometry: new BoxGeometry() });
  expect(changed()).toBe(true);
  expect(changed()).toBe(false);
});
