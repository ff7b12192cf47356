// Writes psat.csv: saturation vapour pressure after Hyland & Wexler (ASHRAE
// Handbook Fundamentals) from the npm package psychrolib 1.1.1 (MIT).
// Run by hand: npm install psychrolib@1.1.1 && node make.js > psat.csv
const psychrolib = require('psychrolib');
psychrolib.SetUnitSystem(psychrolib.SI);
console.log('theta_c,psat_pa');
for (let t = -20; t <= 50; t += 1) {
  console.log(`${t},${psychrolib.GetSatVapPres(t).toFixed(4)}`);
}
