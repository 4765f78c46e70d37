// @ts-check
// Another tool's view: the job is plain JSON. Here a shopping list for the hare in red brass is made from it.
import { fileURLToPath } from 'node:url';
import { planCasting, toJson } from 'oddside';

const scan = fileURLToPath(new URL('patterns/tiller-hare.stl', import.meta.url));
const job = await planCasting(scan, { unit: 'mm', alloy: 'c83600', samples: 300, picturePx: 0 });

const text = JSON.stringify(toJson(job));
const { metal, mould, units } = JSON.parse(text);
console.log(`${(text.length / 1000).toFixed(0)} kB of JSON; masses in ${units.mass}, lengths in ${units.length}`);
for (const line of metal.charge) console.log(`buy ${line.massKg.toFixed(2)} ${units.mass} ${line.name}`);
console.log(`dry ${(mould.sand.sand.sandVolumeMm3 / 1e6).toFixed(1)} litres of sand`);
