import {
  BoxGeometry,
  DirectionalLight,
  Group,
  HemisphereLight,
  Mesh,
  MeshStandardMaterial,
  Scene,
  ShaderMaterial,
  SphereGeometry,
} from 'three';
import { expect, test } from 'vitest';
import { Plain } from '../src/scene/plain';

test('a moving picture is drawn plain and coarse, and everything is as before afterwards', () => {
  const [fine, coarse] = [new SphereGeometry(1, 24, 12), new SphereGeometry(1, 12, 6)];
  fine.userData.coarse = coarse;
  const bar = new Mesh(fine, new MeshStandardMaterial({ color: '#c3c9cb', transparent: true, opacity: 0.4 }));
  const alone = new Mesh(new BoxGeometry(), bar.material);
  const flat = new Mesh(new BoxGeometry(), new MeshStandardMaterial({ flatShading: true }));
  const before = [bar, alone, flat].map((mesh) => [mesh.material, mesh.geometry]);
  const scene = new Scene().add(bar, alone, flat);
  const plain = new Plain(new DirectionalLight(), new HemisphereLight());
  const worn: unknown[] = [];
  for (let k = 0; k < 2; k += 1) {
    plain.worn(scene, () => {
      expect(bar.geometry).toBe(coarse);
      expect(alone.geometry).toBe(before[1]?.[1]);
      expect(bar.material).toBeInstanceOf(ShaderMaterial);
      expect(alone.material).toBe(bar.material);
      expect(bar.material.transparent).toBe(true);
      expect(flat.material).toBe(before[2]?.[0]);
      worn.push(bar.material);
    });
    expect([bar, alone, flat].map((mesh) => [mesh.material, mesh.geometry])).toEqual(before);
  }
  expect(worn[0]).toBe(worn[1]);
});

test('what stands still is drawn as one, and is what it was afterwards', () => {
  const bars = [0, 1].map(() => new Mesh(new BoxGeometry(), new MeshStandardMaterial()));
  const shared = bars[0]?.material;
  for (const bar of bars) Object.assign(bar, { material: shared });
  const group = new Group().add(...bars);
  group.userData.still = true;
  const scene = new Scene().add(group);
  new Plain(new DirectionalLight(), new HemisphereLight()).worn(scene, () => {
    expect(group.children.length).toBe(1);
    expect((group.children[0] as Mesh).material).toBeInstanceOf(ShaderMaterial);
  });
  expect(group.children).toEqual(bars);
  expect(bars.map((bar) => bar.material)).toEqual([shared, shared]);
});
