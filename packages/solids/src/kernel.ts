/**
 * The few operations of the solids kernel that this package uses, as types of our own: the kernel's types stay out of
 * what users see, and what we rely on can be read in one place.
 */

/** Something the kernel allocated. It lives until it is deleted; the garbage collector never frees it. */
export interface Deletable {
  delete(): void;
}

/** A triangle mesh as the kernel hands it over and takes it: 32-bit coordinates. */
export interface KernelMesh {
  readonly numProp: number;
  readonly vertProperties: Float32Array;
  readonly triVerts: Uint32Array;
  readonly mergeFromVert: Uint32Array;
  readonly mergeToVert: Uint32Array;
}

/** A closed solid in the kernel. Every method that returns a body allocates one. */
export interface Body extends Deletable {
  add(other: Body): Body;
  subtract(other: Body): Body;
  intersect(other: Body): Body;
  /** What is in both, and what is only in this one, for little more than one of them. */
  split(cutter: Body): Body[];
  translate(by: readonly [number, number, number]): Body;
  rotate(degrees: readonly [number, number, number]): Body;
  trimByPlane(normal: readonly [number, number, number], offset: number): Body;
  simplify(tolerance?: number): Body;
  asOriginal(): Body;
  decompose(): Body[];
  isEmpty(): boolean;
  numTri(): number;
  volume(): number;
  surfaceArea(): number;
  boundingBox(): { min: [number, number, number]; max: [number, number, number] };
  status(): string;
  getMesh(): KernelMesh;
}

/** The kernel's factory of bodies. */
export interface BodyMaker {
  ofMesh(mesh: KernelMesh): Body;
  cube(size: readonly [number, number, number], centre?: boolean): Body;
  cylinder(height: number, low: number, high?: number, segments?: number, centre?: boolean): Body;
  sphere(radius: number, segments?: number): Body;
  extrude(polygons: [number, number][][], height: number): Body;
  union(bodies: readonly Body[]): Body;
  hull(points: readonly [number, number, number][]): Body;
  levelSet(
    depth: (point: [number, number, number]) => number,
    bounds: { min: [number, number, number]; max: [number, number, number] },
    edge: number,
    level?: number,
    tolerance?: number,
  ): Body;
}

/** Loops in a plane, anticlockwise round what they hold: x y of each corner. */
export type PlaneLoops = [number, number][][];

/** An area in a plane. */
export interface PlaneArea extends Deletable {
  area(): number;
}

/** One instance of the kernel. Bodies of two instances cannot be combined. */
export interface Kernel {
  readonly Manifold: BodyMaker;
  readonly Mesh: new (options: {
    numProp: number;
    vertProperties: Float32Array;
    triVerts: Uint32Array;
    tolerance?: number;
  }) => KernelMesh;
  /** What the loops go round, however often. */
  readonly CrossSection: new (loops: PlaneLoops, rule: 'Positive') => PlaneArea;
  /** Triangles of the area inside loops that do not cross, as places in the list of all corners. */
  triangulate(loops: PlaneLoops): [number, number, number][];
}
