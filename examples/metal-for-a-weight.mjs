// @ts-check
// The old cleat weighs 1.9 kg on the kitchen scale. What goes into the pot, from what is on the shelf?
//   node examples/metal-for-a-weight.mjs [finished weight in kg]
import { formatMass } from '@oddside/core';
import { BANNER, findAlloy, planMetal } from '@oddside/foundry';

const weight = Number(process.argv[2] ?? 1.9);
const alloy = findAlloy('c90500');
const plan = planMetal({ alloy, castingVolumeMm3: weight / (alloy.densityKgM3.value * 1e-9), yieldFraction: 0.58 });

console.log(BANNER);
console.log(plan.verdict.text);
for (const line of plan.charge) console.log(`  ${line.name}: ${formatMass(line.massKg)}`);
for (const { formula, expression, result, reference } of plan.workings) {
  console.log(`  ${formula}: ${expression} = ${result.value.toPrecision(4)} ${result.unit} [${reference.status}]`);
}
