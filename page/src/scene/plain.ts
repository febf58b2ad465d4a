// The light of a fine picture, reckoned at the corners of the triangles instead of at every point of the picture.
import {
  type BufferGeometry,
  Color,
  type DirectionalLight,
  type HemisphereLight,
  Mesh,
  MeshStandardMaterial,
  type Object3D,
  type Scene,
  ShaderMaterial,
  Vector3,
} from 'three';
import { Whole } from './whole';

// As three.js lights a standard material: matt after Lambert; gloss after Trowbridge and Reitz (GGX), shadowed after
// Smith, with Schlick's share of what is thrown back.
const VERTEX = `
uniform vec3 sun, sunColour, sky, skyColour, groundColour, colour, glow;
uniform float metal, rough;
varying vec3 seen;
void main() {
  vec4 place = modelMatrix * vec4(position, 1.0);
  vec3 n = normalize(mat3(modelMatrix) * normal);
  vec3 v = normalize(cameraPosition - place.xyz);
  vec3 own = colour;
  #ifdef USE_COLOR
    own *= color;
  #endif
  vec3 matt = own * (1.0 - metal);
  vec3 light = matt * mix(groundColour, skyColour, 0.5 * dot(n, sky) + 0.5);
  float nl = dot(n, sun);
  if (nl > 0.0) {
    vec3 h = normalize(sun + v);
    float nv = clamp(dot(n, v), 0.0, 1.0), nh = clamp(dot(n, h), 0.0, 1.0), vh = clamp(dot(v, h), 0.0, 1.0);
    float a2 = pow(rough, 4.0), rest = 1.0 - a2, spread = 1.0 - nh * nh * rest;
    float open = nl * sqrt(a2 + rest * nv * nv) + nv * sqrt(a2 + rest * nl * nl);
    vec3 back = mix(mix(vec3(0.04), own, metal), vec3(1.0), exp2((-5.55473 * vh - 6.98316) * vh));
    light += nl * sunColour * (matt + back * 0.5 * a2 / (spread * spread * max(open, 1e-6)));
  }
  light = light / 3.14159265 + glow;
  seen = mix(1.055 * pow(light, vec3(1.0 / 2.4)) - 0.055, 12.92 * light, vec3(lessThan(light, vec3(0.0031308))));
  gl_Position = projectionMatrix * viewMatrix * place;
}`;

const FRAGMENT = `
uniform float opacity;
varying vec3 seen;
void main() { gl_FragColor = vec4(seen, opacity); }`;

export class Plain {
  private readonly made = new WeakMap<MeshStandardMaterial, ShaderMaterial>();
  private readonly wholes = new WeakMap<Object3D, Whole>();
  private readonly lights = {
    sun: { value: new Vector3() },
    sunColour: { value: new Color() },
    sky: { value: new Vector3() },
    skyColour: { value: new Color() },
    groundColour: { value: new Color() },
  };

  constructor(
    private readonly sun: DirectionalLight,
    private readonly sky: HemisphereLight,
  ) {}

  /**
   * Draw while all that is seen has plain light and coarse shape; those with flat faces have corners of no use. What
   * is in a group that says of itself that it stands still is drawn as one.
   */
  worn(scene: Scene, draw: () => void): void {
    this.lights.sun.value.copy(this.sun.position).normalize();
    this.lights.sunColour.value.copy(this.sun.color).multiplyScalar(this.sun.intensity);
    this.lights.sky.value.copy(this.sky.position).normalize();
    this.lights.skyColour.value.copy(this.sky.color).multiplyScalar(this.sky.intensity);
    this.lights.groundColour.value.copy(this.sky.groundColor).multiplyScalar(this.sky.intensity);
    const changed: [Mesh, MeshStandardMaterial, BufferGeometry][] = [];
    const groups: [Object3D, Object3D[]][] = [];
    scene.traverseVisible((one) => {
      if (one.userData.still) {
        groups.push([one, one.children]);
        one.children = this.whole(one).of(one);
      }
      if (!(one instanceof Mesh && one.material instanceof MeshStandardMaterial) || one.material.flatShading) return;
      changed.push([one, one.material, one.geometry]);
      one.material = this.of(one.material);
      one.geometry = one.geometry.userData.coarse ?? one.geometry;
    });
    draw();
    for (const [mesh, material, shape] of changed) Object.assign(mesh, { material, geometry: shape });
    for (const [group, children] of groups) group.children = children;
  }

  private whole(group: Object3D): Whole {
    const known = this.wholes.get(group) ?? new Whole();
    this.wholes.set(group, known);
    return known;
  }

  private of(fine: MeshStandardMaterial): ShaderMaterial {
    const known = this.made.get(fine);
    if (known) return known;
    const { vertexColors, transparent, depthTest, depthWrite, polygonOffset } = fine;
    const plain = new ShaderMaterial({
      uniforms: {
        ...this.lights,
        colour: { value: fine.color },
        glow: { value: fine.emissive },
        metal: { value: fine.metalness },
        rough: { value: fine.roughness },
        opacity: { value: fine.opacity },
      },
      vertexShader: VERTEX,
      fragmentShader: FRAGMENT,
      ...{ vertexColors, transparent, depthTest, depthWrite, polygonOffset },
      polygonOffsetFactor: fine.polygonOffsetFactor,
      polygonOffsetUnits: fine.polygonOffsetUnits,
    });
    fine.addEventListener('dispose', () => plain.dispose());
    this.made.set(fine, plain);
    return plain;
  }
}
