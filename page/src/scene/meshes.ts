// Triangles from the server, each set fetched once.
import { BufferAttribute, BufferGeometry } from 'three';
import { client, got, type MeshOut } from '../api';

const kept = new Map<string, Promise<BufferGeometry>>();
const MOST = 300;
const DARK = 60; // of 255: what light is left within a bore or a hole

export function geometry(name: string): Promise<BufferGeometry> {
  const known = kept.get(name);
  if (known) return known;
  const asked = got(client.GET('/api/meshes/{name}', { params: { path: { name } } })).then(unpacked);
  kept.set(name, asked);
  asked.catch(() => kept.delete(name));
  for (const old of kept.keys()) {
    if (kept.size <= MOST) break;
    kept.delete(old);
  }
  return asked;
}

/** The triangles of a body, and with it those that are enough while it moves. */
export function unpacked(mesh: MeshOut): BufferGeometry {
  const made = triangles(mesh);
  made.userData.coarse = triangles(mesh.coarse);
  return made;
}

function triangles(mesh: Omit<MeshOut, 'coarse'>): BufferGeometry {
  const made = new BufferGeometry();
  made.setAttribute('position', new BufferAttribute(new Float32Array(bytes(mesh.points)), 3));
  made.setAttribute('normal', new BufferAttribute(new Float32Array(bytes(mesh.normals)), 3));
  const lit = new Uint8Array(bytes(mesh.inside)).map((inside) => (inside ? DARK : 255));
  made.setAttribute('color', new BufferAttribute(threefold(lit), 3, true));
  made.setIndex(new BufferAttribute(new Uint32Array(bytes(mesh.triangles)), 1));
  made.computeBoundingSphere();
  return made;
}

function threefold(grey: Uint8Array): Uint8Array {
  const found = new Uint8Array(3 * grey.length);
  for (let i = 0; i < found.length; i += 1) found[i] = grey[Math.floor(i / 3)] ?? 255;
  return found;
}

function bytes(text: string): ArrayBuffer {
  const raw = atob(text);
  const found = new Uint8Array(raw.length);
  for (let i = 0; i < raw.length; i += 1) found[i] = raw.charCodeAt(i);
  return found.buffer;
}
