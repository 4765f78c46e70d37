/** The viewer inside the card: reads the scene that the card carries, opens the stage, and listens to its buttons. */
import { formatArea, formatLength, formatVolume, plainNumber, type UnitSystem } from '@oddside/core';
import { readScene } from '../src/read-scene.js';
import type { Scene, SceneCatch } from '../src/scene.js';
import { colourScene, type MapName } from './colours.js';
import { firstHit, measurePlace } from './measure.js';
import { openStage, type SandRound, type Stage } from './stage.js';

/** What the card hands over, as JSON in the page. */
export interface ViewerData {
  readonly scene: Scene;
  readonly show: UnitSystem;
  readonly requiredDeg: number;
  readonly sand: SandRound;
}

const need = <T extends HTMLElement>(id: string): T => document.getElementById(id) as T;
const still = (): boolean => window.matchMedia('(prefers-reduced-motion: reduce)').matches;

/** Starts the viewer; leaves the page as it is where there is no WebGL. */
export function startViewer(): void {
  const data = JSON.parse(need('viewer-data').textContent ?? '') as ViewerData;
  const host = need('viewer');
  const canvas = need<HTMLCanvasElement>('viewer-stage');
  const mesh = readScene(data.scene);
  host.hidden = false;
  let stage: Stage;
  try {
    stage = openStage(canvas, mesh, data.sand);
  } catch {
    // The still pictures say it all, so a browser without WebGL simply keeps them.
    host.hidden = true;
    return;
  }

  const says = need('viewer-says');
  const mapBox = need<HTMLSelectElement>('viewer-map');
  const wayBox = need<HTMLSelectElement>('viewer-way');
  const jointBox = need<HTMLSelectElement>('viewer-joint');
  const cutBar = need<HTMLInputElement>('viewer-cut');
  let copeLift = 0;
  let patternLift = 0;
  let running = 0;

  const way = (): (typeof mesh.ways)[number] => mesh.ways[Number(wayBox.value) || 0];
  const reach = (): { low: number; high: number } => {
    const { draw, jointHeight } = way();
    let low = Infinity;
    let high = -Infinity;
    const p = mesh.positions;
    for (let i = 0; i < p.length; i += 3) {
      const h = p[i] * draw[0] + p[i + 1] * draw[1] + p[i + 2] * draw[2] - jointHeight;
      if (h < low) low = h;
      if (h > high) high = h;
    }
    return { low, high };
  };
  let span = reach();
  let map = colourScene(mesh, way(), mapBox.value as MapName, data.requiredDeg);

  const cutAt = (): number => {
    const share = Number(cutBar.value) / Number(cutBar.max);
    return share >= 1 ? span.high + 1e6 : span.low + share * (span.high - span.low);
  };
  const show = (): void => stage.show({ way: way(), colours: map.colours, cutAt: cutAt(), copeLift, patternLift });
  const recolour = (): void => {
    map = colourScene(mesh, way(), mapBox.value as MapName, data.requiredDeg);
    const list = need('viewer-legend');
    list.replaceChildren(
      ...map.legend.map(({ label, rgb }) => {
        const item = document.createElement('li');
        const chip = document.createElement('span');
        chip.className = 'chip';
        chip.style.background = `rgb(${rgb.join(',')})`;
        item.append(chip, label);
        return item;
      }),
    );
    show();
  };
  const say = (text: string): void => void (says.textContent = text);

  /** Moves one lift to a height over half a second, or at once where motion is unwelcome. */
  const move = (set: (lift: number) => void, from: number, to: number, then: () => void): void => {
    const run = ++running;
    const begun = performance.now();
    const last = still() ? 0 : 600;
    const step = (): void => {
      if (run !== running) return;
      const part = last === 0 ? 1 : Math.min(1, (performance.now() - begun) / last);
      set(from + (to - from) * part * part * (3 - 2 * part));
      show();
      if (part < 1) requestAnimationFrame(step);
      else then();
    };
    step();
  };
  const putBack = (): void => {
    running++;
    copeLift = 0;
    patternLift = 0;
    show();
  };
  const NONE: SceneCatch = { areaMm2: 0, sandMm3: 0, at: null };
  /** What catches when a half is moved, with the joint that is chosen. */
  const caught = (half: 'cope' | 'pattern'): SceneCatch =>
    way().catches?.[half][jointBox.value === 'flat' ? 'flat' : 'followed'] ?? NONE;
  const amount = ({ areaMm2, sandMm3 }: SceneCatch): string =>
    `${formatVolume(sandMm3, data.show, 2)} of sand over ${formatArea(areaMm2, data.show, 2)}`;
  /** A nudge, and back: what is caught does not come away. */
  const stopped = (set: (lift: number) => void, at: SceneCatch['at'], text: string): void => {
    stage.mark(at ?? undefined);
    move(set, 0, (span.high - span.low) * 0.03, () => move(set, (span.high - span.low) * 0.03, 0, () => say(text)));
  };

  const liftCope = (then: () => void): void => {
    const stop = caught('cope');
    const set = (lift: number): void => void (copeLift = lift);
    if (stop.areaMm2 > 0) {
      stopped(set, stop.at, `The cope stops at once: metal lies over ${amount(stop)}, most at the mark.`);
      return;
    }
    move(set, copeLift, (span.high - span.low) * 1.6, then);
  };
  need('viewer-lift').addEventListener('click', () => liftCope(() => say('The cope lifts clear.')));
  need('viewer-draw').addEventListener('click', () =>
    liftCope(() => {
      const stop = caught('pattern');
      const set = (lift: number): void => void (patternLift = lift);
      if (stop.areaMm2 > 0) {
        stopped(set, stop.at, `The pattern stops at once: on it lie ${amount(stop)} in the drag, most at the mark.`);
        return;
      }
      move(set, patternLift, (span.high - span.low) * 0.75 - span.low * 0.4, () =>
        say('The pattern draws clear of the drag.'),
      );
    }),
  );
  need('viewer-back').addEventListener('click', () => {
    putBack();
    say('Together again.');
  });
  mapBox.addEventListener('change', recolour);
  jointBox.addEventListener('change', putBack);
  wayBox.addEventListener('change', () => {
    span = reach();
    stage.mark(undefined);
    putBack();
    recolour();
  });
  cutBar.addEventListener('input', () => {
    show();
    const height = cutAt();
    say(height > span.high ? 'Not cut.' : `Cut ${heightWords(height)}.`);
  });
  const heightWords = (height: number): string =>
    `${formatLength(Math.abs(height), data.show)} ${height < 0 ? 'below' : 'above'} the joint`;

  const pick = (x: number, y: number): void => {
    const { origin, ray } = stage.rayAt(x, y);
    const limit = cutAt();
    // What has been cut away cannot be pointed at: go on to the next surface behind it.
    let from = -Infinity;
    let hit = firstHit(mesh, origin, ray, from);
    const { draw, jointHeight } = way();
    for (let tries = 0; hit && tries < 64; tries++) {
      const [a, b, c] = hit.point;
      if (a * draw[0] + b * draw[1] + c * draw[2] - jointHeight <= limit + 1e-6) break;
      from = hit.far + 1e-6;
      hit = firstHit(mesh, origin, ray, from);
    }
    stage.mark(hit?.point);
    if (!hit) {
      say('Nothing there. Point at the pattern.');
      return;
    }
    const figures = measurePlace(mesh, way(), hit);
    const thick =
      figures.thickness === undefined ? '' : `, ${formatLength(figures.thickness, data.show)} of metal behind it`;
    say(`Draft ${plainNumber(figures.draftDeg)}°, ${heightWords(figures.aboveJoint)}${thick}.`);
  };
  listen(canvas, stage, pick);
  new ResizeObserver(() => stage.resize()).observe(canvas);
  recolour();
  host.dataset['ready'] = 'yes';
}

/** Pointer, wheel and keys on the stage. */
function listen(canvas: HTMLCanvasElement, stage: Stage, pick: (x: number, y: number) => void): void {
  const down = new Map<number, { x: number; y: number }>();
  let moved = 0;
  let pinch = 0;
  canvas.addEventListener('pointerdown', (event) => {
    canvas.setPointerCapture(event.pointerId);
    down.set(event.pointerId, { x: event.clientX, y: event.clientY });
    moved = 0;
    pinch = 0;
  });
  canvas.addEventListener('pointermove', (event) => {
    const last = down.get(event.pointerId);
    if (!last) return;
    const [dx, dy] = [event.clientX - last.x, event.clientY - last.y];
    moved += Math.abs(dx) + Math.abs(dy);
    down.set(event.pointerId, { x: event.clientX, y: event.clientY });
    if (down.size === 1) {
      stage.turn(-dx * 0.008, dy * 0.008);
      return;
    }
    const [a, b] = [...down.values()];
    const apart = Math.hypot(a.x - b.x, a.y - b.y);
    if (pinch > 0) stage.zoom(apart / pinch);
    pinch = apart;
  });
  const up = (event: PointerEvent): void => {
    const lone = down.size === 1;
    down.delete(event.pointerId);
    if (event.type !== 'pointerup' || !lone || moved > 6) return;
    const box = canvas.getBoundingClientRect();
    pick((event.clientX - box.left) / box.width, (event.clientY - box.top) / box.height);
  };
  canvas.addEventListener('pointerup', up);
  canvas.addEventListener('pointercancel', up);
  canvas.addEventListener(
    'wheel',
    (event) => {
      // The page scrolls as usual unless the stage is what one works on.
      if (document.activeElement !== canvas) return;
      event.preventDefault();
      stage.zoom(Math.exp(-event.deltaY * 0.0015));
    },
    { passive: false },
  );
  const keys: Readonly<Record<string, () => void>> = {
    ArrowLeft: () => stage.turn(-0.12, 0),
    ArrowRight: () => stage.turn(0.12, 0),
    ArrowUp: () => stage.turn(0, 0.12),
    ArrowDown: () => stage.turn(0, -0.12),
    '+': () => stage.zoom(1.2),
    '=': () => stage.zoom(1.2),
    '-': () => stage.zoom(1 / 1.2),
    Enter: () => pick(0.5, 0.5),
  };
  canvas.addEventListener('keydown', (event) => {
    const act = keys[event.key];
    if (!act) return;
    event.preventDefault();
    act();
  });
}

startViewer();
