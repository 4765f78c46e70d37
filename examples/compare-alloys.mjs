// @ts-check
// The trust has bronze ends, old pistons and a bag of brass taps. What would the same fairlead weigh, and cost in melt?
//   node examples/compare-alloys.mjs [casting volume in cm³]
import { cubicCentimetres, formatMass, formatShare, formatTemperature } from '@oddside/core';
import { findAlloy, planMetal } from '@oddside/foundry';

const volume = Number(process.argv[2] ?? 240);

console.log(`A casting of ${volume} cm³`);
for (const id of ['bz95_5', 'c90500', 'c83600', 'c87300', 'c85400', 'a356', 'gi']) {
  const alloy = findAlloy(id);
  const plan = planMetal({ alloy, castingVolumeMm3: cubicCentimetres(volume) });
  const charge = plan.charge
    .slice(0, 3)
    .map((line) => `${line.name} ${formatMass(line.massKg)}`)
    .join(', ');
  console.log(
    `${alloy.name.padEnd(24)} casting ${formatMass(plan.castingMassKg.value).padEnd(8)} melt ${formatMass(plan.meltMassKg.value).padEnd(8)}` +
      ` pour ${formatTemperature(plan.pouringTemperatureC.heavy.value).padEnd(8)} contracts ${formatShare(alloy.contraction.value).padEnd(7)} ${charge}`,
  );
}
const [first] = planMetal({ alloy: 'c85400', castingVolumeMm3: cubicCentimetres(volume) }).cautions;
console.log(`\n${first?.text}`);
