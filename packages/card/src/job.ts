/** What a mould card is made from: the results of the other packages and the pictures, as plain data. */
import type { Finding, UnitSystem, Vec3 } from '@oddside/core';
import type {
  Caution,
  CopeLift,
  CopeWeights,
  FlaskSand,
  MeltHeat,
  MetalPlan,
  PourPlan,
  SandMargins,
  ShakeOutResult,
  SourcedRange,
} from '@oddside/foundry';
import type { FlatJoint, PartingAdvice, PartingCandidate } from '@oddside/parting';
import type { Inspection, Measures, PatternUnit } from '@oddside/pattern';
import type { Picture } from './picture.js';
import type { Scene } from './scene.js';

/** The sizes of the thing on its way from scan to casting. Three sizes are length, width and height as it lies. */
export interface JobSizes {
  /** What the mesh was taken for: the casting as it should be, or the pattern as it will be rammed. */
  readonly meshIs: 'casting' | 'pattern';
  /** The pattern over the mesh, and the casting over the mesh. */
  readonly patternScale: number;
  readonly castingScale: number;
  /** Linear contraction used, as a share of the casting's length. */
  readonly contraction: SourcedRange;
  readonly pattern: Vec3;
  readonly casting: Vec3;
  readonly patternVolumeMm3: number;
  readonly castingVolumeMm3: number;
  readonly castingVolumeErrorMm3: number;
}

/** How the pattern lies and what the mould must hold. Heights are from the joint, mm. */
export interface JobMould {
  /** Rank of the candidate that is followed; 0 for a draw of the caller's own. */
  readonly candidate: PartingCandidate;
  /** The cope's draw in the file's coordinates, unit vector. */
  readonly direction: Vec3;
  /** Height of the joint along the draw from the file's origin, at pattern size, with its equally good range. */
  readonly joint: FlatJoint;
  readonly copeDepth: number;
  readonly dragDepth: number;
  /** Sand to leave above, below and beside the pattern, with the least inside of the flask that follows. */
  readonly sand: JobSand;
}

/** Sand round the pattern and the flask that follows from it. */
export interface JobSand {
  readonly margins: SandMargins;
  /** Least inside of the flask: length and width, depth of cope and of drag, mm. Room for sprue and feeders is extra. */
  readonly flaskLength: number;
  readonly flaskWidth: number;
  readonly copeHeight: number;
  readonly dragHeight: number;
  /** Sand of such a flask, by half, and what to mix. */
  readonly sand: FlaskSand;
}

/** Getting the metal in and the casting out. */
export interface JobPour {
  /** Pouring time, gating, feeder and the metal they take. */
  readonly plan: PourPlan;
  /** What lifts the cope, and what holds it down. */
  readonly lift: CopeLift;
  readonly weights: CopeWeights;
  readonly heat: MeltHeat;
  readonly shakeOut: ShakeOutResult;
}

/** A mark to make on the pattern, as the parting line's stations are. */
export interface JobStation {
  /** mm, in the laid pattern's coordinates. */
  readonly point: Vec3;
  /** Distance along the outline from the loop's first point, mm. */
  readonly along: number;
  /** Height above a board the pattern stands on, lowest point touching, mm. */
  readonly aboveBoard: number;
  /** Height above (below: negative) the flat joint, mm. */
  readonly fromJoint: number;
}

/** Where cope and drag meet on the pattern, in the laid pattern's coordinates. A `PartingLine` fits, and so does its JSON. */
export interface JobLine {
  readonly loops: readonly {
    /** True round metal, false round a through hole. */
    readonly outer: boolean;
    /** Closed polyline, x y z of each point in turn, mm. */
    readonly points: ArrayLike<number>;
    readonly stations: readonly JobStation[];
  }[];
  /** Highest point above and lowest point below the flat joint, mm. */
  readonly rise: number;
  readonly fall: number;
}

/** The joint outside the pattern, in the laid pattern's coordinates. A `PartingSurface` fits, and so does its JSON. */
export interface JobSurface {
  /** False where no surface within the slope meets the pattern everywhere. */
  readonly feasible: boolean;
  readonly slopeLimitDeg: number;
  /** Sand to take away from a flat-struck drag, and to add to it, mm³; each give or take the error. */
  readonly copeDownMm3: number;
  readonly buildUpMm3: number;
  readonly volumeErrorMm3: number;
  readonly steepestDeg: number;
  /** Least distance from the pattern at which the joint is level again, mm. */
  readonly leastMargin: number;
  readonly contours: readonly {
    /** mm above the flat joint. */
    readonly height: number;
    /** x y z of each point in turn, mm. */
    readonly points: ArrayLike<number>;
    readonly closed: boolean;
  }[];
}

/** The pattern cut upright along its length, in the laid pattern's coordinates. A `Section` fits, and so does its JSON. */
export interface JobSection {
  /** Place of the cut: y of the laid pattern, mm. Left out where it is the middle. */
  readonly across?: number;
  readonly loops: readonly {
    /** Closed outline, x y z of each point in turn, mm; only x and z are drawn. */
    readonly points: ArrayLike<number>;
  }[];
}

/** One kind of joint at its best along the chosen draw. `JointRung` of the parting package has all of it. */
export interface JobRung {
  readonly kind: 'flat' | 'tilted' | 'sloped' | 'free';
  /** Sand trapped, back draft included, and the proven least for any joint of this kind, mm³. */
  readonly trappedMm3: number;
  readonly leastMm3: number;
  /** Sand to move away from a flat joint, mm³. */
  readonly dugMm3: number;
  /** Angle between the joint's plane and a level one, degrees. */
  readonly tiltDeg: number;
  /** Heights over the flat joint at evenly spaced places from `left` to `right` of the ladder, mm. */
  readonly profile: ArrayLike<number>;
}

/** What each kind of joint traps and moves: each may do all that the one before may. */
export interface JobLadder {
  /** Width of the columns it was measured on, mm, and the steepest slope of the tilted and of the sloped joint. */
  readonly column: number;
  readonly slopeLimitDeg: number;
  /** Trapped whatever the joint, mm³. */
  readonly backDraftMm3: number;
  readonly rungs: readonly JobRung[];
  /** The cut that it is drawn over, and x of the first and last place of the profiles, mm in the laid pattern's coordinates. */
  readonly cut: JobSection;
  readonly left: number;
  readonly right: number;
}

/** Which of the founder's flasks fit. `FlaskFits` of the parting package is one, and so is its JSON. */
export interface JobFlasks {
  readonly best: { readonly flask: { readonly name: string } } | null;
  readonly misfits: readonly { readonly flask: { readonly name: string }; readonly reason: string }[];
}

/** One thing that can be done about held or trapped sand. */
export interface JobCure {
  readonly kind: string;
  readonly sentence: string;
  /** The place it is about, as the pattern lies, mm; none where it is about the whole joint or draw. */
  readonly laidAt?: Vec3 | null;
}

/** Everything {@link renderMouldCard} needs; a casting job of the `oddside` package fits it, and so does its JSON. */
export interface MouldCardJob {
  readonly pattern: { readonly name: string; readonly unit: PatternUnit };
  readonly inspection: Inspection;
  readonly measures: Measures;
  readonly advice: PartingAdvice;
  readonly sizes: JobSizes;
  readonly mould: JobMould;
  readonly alloyName: string;
  readonly metal: MetalPlan;
  readonly pour: JobPour;
  readonly pictures: readonly Picture[];
  /** The pattern to turn in the viewer. Without it the pictures carry everything. */
  readonly scene?: Scene;
  /** The parting line, the joint shaped to it, and a cut along the length: drawn on the card and on the templates. */
  readonly line?: JobLine;
  readonly surface?: JobSurface;
  readonly section?: JobSection;
  /** Kinds of joint compared. */
  readonly ladder?: JobLadder;
  /** What can be done about held or trapped sand, the least trouble first. */
  readonly remedies?: readonly JobCure[];
  /** How the pattern fits the flasks at hand. */
  readonly flasks?: JobFlasks | null;
  readonly findings: readonly Finding[];
  readonly cautions: readonly Caution[];
  readonly banner: string;
  /** Units shown to people. The numbers of the job are always mm, kg, °C. */
  readonly show: UnitSystem;
}
