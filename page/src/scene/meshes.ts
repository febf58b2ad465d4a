// Triangles from the server, each set fetched once.
import { BufferAttribute, BufferGeometry } from 'three';
import { client, got, type MeshOut } from '../api';

const kept = new Map<string, Promise<BufferGeometry>>();
const MOST = 300;

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
  made.setIndex(new BufferAttribute(new Uint32Array(bytes(mesh.triangles)), 1));
  made.computeBoundingSphere();
  return made;
}

function bytes(text: string): ArrayBuffer {
  const raw = atob(text);
  const found = new Uint8Array(raw.length);
  for (let i = 0; i < raw.length; i += 1) found[i] = raw.charCodeAt(i);
  return found.buffer;
}
