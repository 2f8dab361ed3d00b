// Package hull holds what the water does to a boat: the resistance of her hull,
// the power and drag of a rotor towed through it, the speed she keeps with that
// drag, the apparent wind, and a table of her speed against the wind.
//
// Sources of the formulae:
//
//   - actuator disc: Betz (1920); the stream tube, momentum and energy give
//     CT = 4a(1-a) and CP = 4a(1-a)² for an induction a, valid for a ≤ 1/2;
//   - friction: the line of the International Towing Tank Conference 1957, on
//     0.7 of the waterline (from memory);
//   - residuary resistance: means of the Delft systematic series, Gerritsma,
//     Onnink and Versluis (1981), open data set "Yacht Hydrodynamics";
//   - density: EOS-80, Fofonoff and Millard, UNESCO Technical Papers in Marine
//     Science 44 (1983);
//   - root finding: Newton's method kept inside a bracket, as in any textbook of
//     numerical methods.
//
// Defaults: sea water of 1025 kg/m³ and a viscosity of 1.19e-6 m²/s, usual
// figures at 15 °C; 0.7 of the waterline in the Reynolds number (from memory);
// PassageFactor 0.88 (common practice, no source); the IllustrativePolar, which is
// invented. A rotor has none here: see package sources.
//
// Power from a real rotor is known to some 25 %, the speed it costs to some 40 %.
package hull
