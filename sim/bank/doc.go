// Package bank is the house battery of ampwake: how much charge it holds, at
// what voltage it stands, what it takes and what it gives.
//
// A Model is the battery as fitted (chemistry, size, temperature rules,
// charger); it never changes and may be shared between goroutines. A State is
// what the battery holds at one moment: a small value that may be copied
// freely. Step moves a State through one span of time at the bus node, where
// sources, loads and battery meet. For most use:
//
//	m, err := bank.New(bank.Default(bank.AGM, 230))
//	s := m.Start(0.9, 24)
//	f := m.Step(&s, bank.Node{Supply: 60, Power: 12, Current: 1.4, Temp: 24, Length: 1.0 / 6})
//
// Currents are positive when the battery discharges. Voltages are those of the
// battery's terminals, which are the bus.
//
// # What is modelled
//
// Charge sits in two tanks, one at hand and one bound [Manwell 1993]; voltage
// follows from the total charge, not from the tank at hand, and from a
// resistance; charging is held back by the charger's voltage, an
// amps-to-Ah-to-go rule, the tank and the largest current allowed; part of the
// charge is lost on the way in; the rest leaks away slowly. Capacity and
// resistances change with temperature; charge in Ah does not.
//
// The terminal voltage is good to about ±0.1 V between 20 and 95 % state of
// charge and worse below; between charging and discharging it moves in one
// jump, without the hours of settling a real battery takes. A real battery
// differs from these figures by tens of per cent with age and history.
//
// # Sources
//
//   - [Manwell 1993] J. F. Manwell, J. G. McGowan, Lead acid battery storage
//     model for hybrid energy systems, Solar Energy 50(5), 399-405.
//   - [Copetti 1993] J. B. Copetti, E. Lorenzo, F. Chenlo, A general battery
//     model for PV system simulation, Prog. Photovoltaics 1, 283-292.
//   - [Bode 1977] H. Bode, Lead-Acid Batteries, through the Sulzer 2019
//     parameter set of the PyBaMM library.
//   - [Sulzer 2019] V. Sulzer et al., J. Electrochem. Soc. 166(12), A2363:
//     measured 17 Ah VRLA battery (BSD-3 data).
//   - [ASTM E1049] ASTM E1049-85 (2017), section 5.4.4, rainflow counting.
//   - [IEC 60228] conductor resistances; [ASTM B258] American wire gauge.
//   - [IEEE 485], [IEEE 1013], [IEEE 1562]: sizing steps.
//   - [SOLAS IV/13], [COMSAR/Circ.16]: reserve source of energy.
//
// # Caution
//
// The results are estimates: verify on board with a battery monitor and a real
// capacity test before relying on them. Lead-acid batteries give off hydrogen
// while charging: ventilate, and keep sparks away. Charge voltage must be
// compensated for temperature; a hot battery held at a fixed high voltage can
// run away. Lithium iron phosphate must not be charged below 0 °C, and its
// protection may disconnect the whole bank without warning. Fuse every positive
// conductor close to the battery. Keep an independent supply for distress
// calls and do not plan on the last ampere-hour.
package bank
