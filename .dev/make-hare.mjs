// Makes examples/patterns/tiller-hare.stl from the scan in the npm package "bunny" (public domain), scaled to a tiller
// ornament 122 mm on its longest axis. The file is kept in the repository; run this only to make it again.
import { writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { fileURLToPath } from 'node:url';
import { encodePattern } from '@oddside/pattern';

const LONGEST = 122;
const scan = createRequire(import.meta.url)('bunny');
const axes = [0, 1, 2];
const low = axes.map((k) => Math.min(...scan.positions.map((p) => p[k])));
const high = axes.map((k) => Math.max(...scan.positions.map((p) => p[k])));
const scale = LONGEST / Math.max(...axes.map((k) => high[k] - low[k]));
// The scan stands on +y; a model to print stands on +z.
const positions = Float64Array.from(
  scan.positions.flatMap(([x, y, z]) => [(x - low[0]) * scale, (high[2] - z) * scale, (y - low[1]) * scale]),
);
const triangles = Uint32Array.from(scan.cells.flat());
const pattern = { name: 'tiller-hare', positions, triangles, unit: { name: 'mm', from: 'caller' }, findings: [] };
writeFileSync(
  fileURLToPath(new URL('../examples/patterns/tiller-hare.stl', import.meta.url)),
  encodePattern(pattern, 'stl'),
);
