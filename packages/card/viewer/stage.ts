/** The pattern on a stage: what three.js draws, and nothing about buttons. */
import type { Vec3 } from '@oddside/core';
import {
  Box3,
  BufferAttribute,
  BufferGeometry,
  Group,
  LineSegments,
  Matrix4,
  Mesh,
  OrthographicCamera,
  Quaternion,
  Scene,
  SphereGeometry,
  Vector2,
  Vector3,
  WebGLRenderer,
} from 'three';
import { cornerNormals } from '../src/corner-normals.js';
import type { SceneMesh } from '../src/read-scene.js';
import { inkMaterial, skinMaterial } from './shade.js';

/** What the stage is told to show. */
export interface StageState {
  readonly way: SceneMesh['ways'][number];
  /** Red, green, blue of each triangle, 0–255. */
  readonly colours: Uint8Array;
  /** Everything above this height over the joint is cut away, mm. */
  readonly cutAt: number;
  /** How far the cope has been lifted and the pattern drawn, mm. */
  readonly copeLift: number;
  readonly patternLift: number;
}

/** Sand to leave round the pattern, mm. */
export interface SandRound {
  readonly above: number;
  readonly below: number;
  readonly toWall: number;
}

/** A stage on a canvas. */
export interface Stage {
  show(state: StageState): void;
  turn(rightRad: number, upRad: number): void;
  zoom(factor: number): void;
  /** The ray under a place of the canvas (0–1 from the left and from the top), in the scene's coordinates. */
  rayAt(x: number, y: number): { origin: Vec3; ray: Vec3 };
  /** Marks a place of the pattern, or none. */
  mark(point: Vec3 | undefined): void;
  resize(): void;
}

const INK = 0x16181d;

/** Opens the stage. Throws where the browser has no WebGL. */
export function openStage(canvas: HTMLCanvasElement, mesh: SceneMesh, sand: SandRound): Stage {
  // Smooth edges come from drawing finer than the screen; in software that would cost more than it is worth.
  const context = canvas.getContext('webgl2', { antialias: false, alpha: false, depth: true, stencil: false });
  if (!context) throw new Error('no WebGL');
  const fineness = isSoftware(context) ? 1 : Math.max(2, Math.min(2.5, window.devicePixelRatio || 1));
  const renderer = new WebGLRenderer({ canvas, context, alpha: false });
  renderer.setClearColor(0xffffff);
  // Asking whether a shader compiled waits for it; these two do wherever there is WebGL 2.
  renderer.debug.checkShaderErrors = false;
  const scene = new Scene();
  const camera = new OrthographicCamera(-1, 1, 1, -1, 0.1, 10);
  camera.up.set(0, 0, 1);

  const body = makeBody(mesh);
  const radius = body.radius;
  const skin = skinMaterial();
  const surface = new Mesh(body.geometry, skin);
  const dot = new Mesh(new SphereGeometry(radius * 0.018, 12, 8), inkMaterial(INK, true));
  // What catches is often under something: its mark shows through.
  dot.renderOrder = 1;
  dot.visible = false;
  const pattern = new Group().add(surface, dot);
  const cope = boxLines(0x2f6690);
  const drag = boxLines(0x8a6414);
  scene.add(pattern, cope, drag);

  const reach = (radius + sand.toWall) * 1.12;
  let heading = -0.55;
  let height = 0.42;
  let scale = 1;
  let queued = false;
  const rotation = new Quaternion();

  const draw = (): void => {
    if (queued) return;
    queued = true;
    requestAnimationFrame(() => {
      queued = false;
      aim();
      renderer.render(scene, camera);
    });
  };
  const aim = (): void => {
    const wide = canvas.width / Math.max(1, canvas.height);
    const half = reach / scale;
    // The stage is as wide as it is high at least; on a tall narrow screen the width decides.
    camera.top = half * Math.max(0.78, Math.min(1, 1 / wide));
    camera.bottom = -camera.top;
    camera.right = camera.top * wide;
    camera.left = -camera.right;
    camera.near = -8 * reach;
    camera.far = 12 * reach;
    const level = Math.cos(height);
    camera.position.set(
      Math.sin(heading) * level * reach * 3,
      -Math.cos(heading) * level * reach * 3,
      Math.sin(height) * reach * 3,
    );
    camera.lookAt(0, 0, 0);
    camera.updateProjectionMatrix();
    camera.updateMatrixWorld();
  };
  const resize = (): void => {
    const box = canvas.getBoundingClientRect();
    const [width, height] = [Math.max(1, box.width), Math.max(1, box.height)];
    const same = Math.floor(width * fineness) === canvas.width && Math.floor(height * fineness) === canvas.height;
    // Setting the size clears the stage, so it is left alone where it is right.
    if (same) return;
    renderer.setPixelRatio(fineness);
    renderer.setSize(width, height, false);
    draw();
  };
  resize();

  return {
    show(state) {
      const { way } = state;
      rotation.setFromUnitVectors(new Vector3(...way.draw), new Vector3(0, 0, 1));
      pattern.quaternion.copy(rotation);
      const box = boxAlong(mesh, rotation);
      const middle = box.getCenter(new Vector3());
      pattern.position.set(-middle.x, -middle.y, state.patternLift - way.jointHeight);
      const wide = (high: number, low: number): number => high - low + 2 * sand.toWall;
      cope.scale.set(wide(box.max.x, box.min.x), wide(box.max.y, box.min.y), box.max.z - way.jointHeight + sand.above);
      drag.scale.set(cope.scale.x, cope.scale.y, box.min.z - way.jointHeight - sand.below);
      cope.position.z = state.copeLift;
      skin.uniforms.cutAt.value = state.cutAt + state.patternLift;
      paint(body.colours, state.colours);
      draw();
    },
    turn(rightRad, upRad) {
      heading += rightRad;
      height = Math.max(-1.55, Math.min(1.55, height + upRad));
      draw();
    },
    zoom(factor) {
      scale = Math.max(0.5, Math.min(12, scale * factor));
      draw();
    },
    rayAt(x, y) {
      aim();
      const at = new Vector2(2 * x - 1, 1 - 2 * y);
      const from = new Vector3(at.x, at.y, -1).unproject(camera);
      const to = new Vector3(at.x, at.y, 1).unproject(camera).sub(from).normalize();
      pattern.updateMatrixWorld();
      const back = new Matrix4().copy(pattern.matrixWorld).invert();
      from.applyMatrix4(back);
      to.transformDirection(back);
      return { origin: [from.x, from.y, from.z], ray: [to.x, to.y, to.z] };
    },
    mark(point) {
      dot.visible = point !== undefined;
      if (point) dot.position.set(point[0], point[1], point[2]);
      draw();
    },
    resize,
  };
}

/** True where pictures are drawn by the processor. */
function isSoftware(context: WebGL2RenderingContext): boolean {
  const about = context.getExtension('WEBGL_debug_renderer_info');
  const name = context.getParameter(about ? about.UNMASKED_RENDERER_WEBGL : context.RENDERER) as string;
  return /swiftshader|llvmpipe|softpipe|software|basic render/i.test(name);
}

function makeBody(mesh: SceneMesh): {
  geometry: BufferGeometry;
  colours: BufferAttribute;
  radius: number;
} {
  const { positions, triangles } = mesh;
  const corners = new Float32Array(triangles.length * 3);
  for (let i = 0; i < triangles.length; i++) {
    for (let k = 0; k < 3; k++) corners[i * 3 + k] = positions[triangles[i] * 3 + k];
  }
  const geometry = new BufferGeometry();
  const colours = new BufferAttribute(new Uint8Array(triangles.length * 3), 3, true);
  geometry.setAttribute('position', new BufferAttribute(corners, 3));
  geometry.setAttribute('normal', new BufferAttribute(cornerNormals(positions, triangles), 3));
  geometry.setAttribute('color', colours);
  geometry.computeBoundingSphere();
  const sphere = geometry.boundingSphere!;
  return { geometry, colours, radius: sphere.radius };
}

/** Gives the three corners of each triangle its colour. */
function paint(colours: BufferAttribute, rgb: Uint8Array): void {
  const corners = colours.array;
  for (let i = 0; i < rgb.length; i += 3) {
    for (let k = 0; k < 9; k++) corners[i * 3 + k] = rgb[i + (k % 3)];
  }
  colours.needsUpdate = true;
}

/** A box one wide, one long and one high, standing on the joint. */
function boxLines(color: number): LineSegments {
  const ring = (z: number): number[][] => [
    [-0.5, -0.5, z],
    [0.5, -0.5, z],
    [0.5, 0.5, z],
    [-0.5, 0.5, z],
  ];
  const [bottom, top] = [ring(0), ring(1)];
  const points: number[] = [];
  for (let i = 0; i < 4; i++) {
    const next = (i + 1) % 4;
    points.push(...bottom[i], ...bottom[next], ...top[i], ...top[next], ...bottom[i], ...top[i]);
  }
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(Float32Array.from(points), 3));
  return new LineSegments(geometry, inkMaterial(color));
}

/** The box of the mesh once it is turned with its draw upright. */
function boxAlong({ positions }: SceneMesh, rotation: Quaternion): Box3 {
  const box = new Box3();
  const point = new Vector3();
  for (let i = 0; i < positions.length; i += 3) {
    box.expandByPoint(point.set(positions[i], positions[i + 1], positions[i + 2]).applyQuaternion(rotation));
  }
  return box;
}
